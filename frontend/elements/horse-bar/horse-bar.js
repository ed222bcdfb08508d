// @ts-check
/**
 * The open horse: number, identification marks, what the gate and the veterinarian say; "looked at"; more.
 *
 * Usage: `h("horse-bar", null)`.
 */

import { Part } from "../../lib/part.js";
import { capital, counted } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";
import { isUnread } from "../../state/entering.js";
import { isLookedThrough, openNow, takesMarks, tapLooked } from "../../state/ring.js";
import { session } from "../../state/session.js";
import { saidBy } from "../../state/telling.js";

/** @typedef {import("../../state/card.js").Card} Card */
/** @typedef {import("../../state/card.js").Horse} Horse */

export class HorseBar extends Part {
  draw() {
    const { card } = session;
    if (card === null) return null;
    const { horse, pass } = openNow(card);
    if (horse === null) return null;
    return this.kept([card, horse.number, pass], () => this.#bar(card, horse, pass));
  }

  /** @param {Card} card @param {Horse} horse @param {import("../../state/passes.js").Pass} pass */
  #bar(card, horse, pass) {
    const { number, identification, entered } = horse;
    const stop = { number, view: pass.key };
    const isLooked = isLookedThrough(card, stop);
    const remarks = card.remarks(number);
    const calls = card.calls(number);
    const ruling = card.ruling(number);
    return [
      h(
        "div",
        { class: "horse" },
        h("strong", { class: number.length > 3 ? "long" : null }, number),
        h(
          "p",
          null,
          isUnread(card, number) && session.writes("entry")
            ? h("button", { class: "name-it", onclick: () => this.#openNumberPad(number) }, "Give its number")
            : h("span", null, entered ? (identification ?? "no description") : "not entered"),
          remarks.length > 0 ? h("span", { class: "remarks" }, counted(remarks.length, "remark")) : null,
        ),
        h("button", { class: "more", onclick: () => this.#openPad() }, "Note", h("span", { class: "aside" }, ` on ${number}`)),
        h(
          "button",
          {
            class: "looked",
            "aria-pressed": String(isLooked),
            "aria-label": `Looked at, ${pass.title}`,
            disabled: !takesMarks(card, number),
            onclick: () => tapLooked(card, stop),
          },
          h("span", { class: "tick", "aria-hidden": "true" }, isLooked ? "✓" : ""),
          "Looked at",
        ),
      ),
      ruling === null ? null : h("p", { class: "word-on" }, h("b", null, capital(saidBy(ruling)))),
      ...calls.map((call) =>
        h(
          "p",
          { key: call.id, class: "word-on" },
          h("b", null, capital(saidBy(call))),
          " An observation, no diagnosis.",
        ),
      ),
    ];
  }

  /** @param {string} number */
  #openNumberPad(number) {
    const pad = document.querySelector("number-pad");
    /** @type {import("../number-pad/number-pad.js").NumberPad | null} */ (pad)?.open(number);
  }

  #openPad() {
    const pad = document.querySelector("horse-pad");
    /** @type {import("../horse-pad/horse-pad.js").HorsePad | null} */ (pad)?.open();
  }
}
