// @ts-check
/**
 * A lameness call that waits for the judge: one bar that opens it, and never a window over the marks. It comes once the
 * thumb rests, so that nothing moves under it.
 *
 * Usage: `h("call-bar", null)`. What it says is told to a screen reader as it comes.
 */

import { Part } from "../../lib/part.js";
import { h } from "../../lib/view.js";
import { asksRuling, openCalls, seenSaid, sourceOf, STEWARD, VETERINARIAN, whoSays } from "../../state/calls.js";
import { go, place } from "../../state/place.js";
import { session } from "../../state/session.js";
import { tell } from "../../state/voice.js";

const RESTS_MS = 600;
/** Whose word it is, where there is little room. @type {Readonly<Record<string, string>>} */
const SHORT = { [STEWARD]: "Steward asks", [VETERINARIAN]: "Veterinarian" };

let touchedAt = 0;
/** The calls the bar has come for, by their ids. */
let shown = "";

addEventListener("pointerdown", () => (touchedAt = performance.now()), true);

export class CallBar extends Part {
  draw() {
    const { card } = session;
    if (card === null || place().page === "call") return null;
    const [first, ...more] = openCalls(card);
    const ids = [first, ...more].map((call) => call?.id).join();
    const rests_ms = touchedAt + RESTS_MS - performance.now();
    if (ids !== shown && rests_ms > 0 && touchedAt > 0) {
      setTimeout(() => this.repaint(), rests_ms);
      return null;
    }
    if (first === undefined) return null;
    const number = String(first.number);
    const words = `${whoSays(card, first)}: ${seenSaid(first)}`;
    if (ids !== shown) tell(`${number}. ${words}. ${asksRuling(first) ? "A ruling is asked for." : ""}`);
    shown = ids;
    return h(
      "button",
      { class: asksRuling(first) ? "grave" : null, "aria-label": `${number}. ${words}`, onclick: () => go({ page: "call", number }) },
      h("b", null, number),
      h("span", { class: "whole" }, words, asksRuling(first) ? h("strong", null, " Your ruling is asked for.") : null),
      h("span", { class: "short" }, `${SHORT[sourceOf(first)] ?? "Your card"}, grade ${first.grade}`),
      more.length > 0 ? h("small", null, `and ${more.length} more`) : null,
      h("i", { "aria-hidden": "true" }, "›"),
    );
  }
}
