// @ts-check
/**
 * The open horse: number, identification marks, what the gate and the veterinarian say; "nothing to note"; more.
 *
 * Usage: `h("horse-bar", null)`.
 */

import { Part } from "../../lib/part.js";
import { capital, counted } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";
import { place } from "../../state/place.js";
import { openNow, takesMarks, tapLooked } from "../../state/ring.js";
import { session } from "../../state/session.js";
import { saidBy, viewTitle } from "../../state/telling.js";

/** @typedef {import("../../state/card.js").Card} Card */
/** @typedef {import("../../state/card.js").Horse} Horse */

export class HorseBar extends Part {
  draw() {
    const card = session.notebook?.card(place().class ?? "") ?? null;
    const { horse, view } = card === null ? { horse: null, view: "" } : openNow(card);
    if (card === null || horse === null) return null;
    return this.kept([card, horse.number, view], () => this.#bar(card, horse, view));
  }

  /** @param {Card} card @param {Horse} horse @param {string} view */
  #bar(card, horse, view) {
    const { number, identification, entered } = horse;
    const isLooked = card.isLooked(number, view);
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
          h("span", null, entered ? (identification ?? "no marks known") : "not entered"),
          remarks.length > 0 ? h("span", { class: "remarks" }, counted(remarks.length, "remark")) : null,
        ),
        h("button", { class: "more", onclick: () => this.#openPad() }, "Note", h("span", { class: "aside" }, ` on ${number}`)),
        h(
          "button",
          {
            class: "looked",
            "aria-pressed": String(isLooked),
            "aria-label": `${isLooked ? "Looked at" : "Nothing to note"}, ${viewTitle(view)}`,
            disabled: !takesMarks(card, number),
            onclick: () => tapLooked(card, { number, view }),
          },
          h("span", { class: "tick", "aria-hidden": "true" }, isLooked ? "✓" : ""),
          isLooked ? "Looked at" : "Nothing to note",
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

  #openPad() {
    const pad = document.querySelector("horse-pad");
    /** @type {import("../horse-pad/horse-pad.js").HorsePad | null} */ (pad)?.open();
  }
}
