// @ts-check
/**
 * The gate: the numbers of a class, each present or absent, and the late ones entered. For seats that keep no card.
 *
 * Usage: `<gate-page></gate-page>`; a page.
 */

import { Part } from "../../lib/part.js";
import { counted } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";
import { isNumber, tidyNumber } from "../../state/entering.js";
import { enter } from "../../state/ring.js";
import { session } from "../../state/session.js";
import { disputeBox } from "../dispute-box/dispute-box.js";
import { undoButton } from "../thumb-bar/undo-button.js";
import { gateRow } from "./gate-row.js";

/** @typedef {import("../../state/card.js").Card} Card */

export class GatePage extends Part {
  #number = "";
  #marks = "";

  draw() {
    const { card } = session;
    if (card === null) return [h("class-bar", { ".about": "gate" }), h("p", { class: "opening" }, "Opening the class")];
    const states = card.horses.map((horse) => card.presence(horse.number)?.state ?? null);
    const present = states.filter((state) => state === "present").length;
    const absent = states.filter((state) => state === "absent").length;
    return [
      h("class-bar", { ".about": "gate" }),
      h(
        "main",
        null,
        h("p", { class: "count" }, `${counted(card.horses.length, "horse")}: ${present} present, ${absent} absent.`),
        ...card.disputes.map((dispute) => disputeBox(card, dispute, true)),
        h("ul", { class: "gate" }, ...card.horses.map((horse) => gateRow(card, horse))),
        session.writes("entry") ? this.#enter(card) : null,
      ),
      h("footer", null, undoButton()),
    ];
  }

  /** @param {Card} card */
  #enter(card) {
    const isKnown = card.horse(this.#number) !== null;
    return h(
      "form",
      {
        onsubmit: (/** @type {Event} */ event) => {
          event.preventDefault();
          if (!isNumber(this.#number) || isKnown) return;
          enter(card, this.#number, this.#marks);
          this.#number = this.#marks = "";
          this.repaint();
        },
      },
      h("h2", null, "A late entry"),
      h(
        "label",
        null,
        "Number",
        h("input", {
          ".value": this.#number,
          autocomplete: "off",
          autocapitalize: "characters",
          oninput: (/** @type {Event} */ event) => {
            this.#number = tidyNumber(/** @type {HTMLInputElement} */ (event.target).value);
            this.repaint();
          },
        }),
      ),
      h(
        "label",
        null,
        "Marks to know it by",
        h("input", {
          ".value": this.#marks,
          autocomplete: "off",
          maxlength: 200,
          oninput: (/** @type {Event} */ event) => {
            this.#marks = /** @type {HTMLInputElement} */ (event.target).value;
          },
        }),
      ),
      isKnown ? h("p", { role: "status" }, `${this.#number} is in the class already.`) : null,
      h("button", { type: "submit", class: "main", disabled: !isNumber(this.#number) || isKnown }, "Enter it"),
    );
  }
}
