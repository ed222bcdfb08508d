// @ts-check
/**
 * What there is to do about one horse at the gate: a lameness call, the marks it is known by, its number put right.
 *
 * Usage: `h("gate-horse", null)`, then `open()` with the horse in the place. A modal dialog.
 */

import { Part } from "../../lib/part.js";
import { h } from "../../lib/view.js";
import { identify } from "../../state/gate.js";
import { go } from "../../state/place.js";
import { openNow } from "../../state/ring.js";
import { session } from "../../state/session.js";
import { saidBy } from "../../state/telling.js";

const MOST_MARKS = 200;

/** @typedef {import("../../state/card.js").Card} Card */
/** @typedef {import("../../state/card.js").Horse} Horse */

export class GateHorse extends Part {
  #isOpen = false;
  #isWrong = false;
  #marks = "";

  open() {
    const { card } = session;
    this.#isOpen = true;
    this.#isWrong = false;
    this.#marks = (card === null ? null : openNow(card).horse?.identification) ?? "";
    this.repaint();
    this.querySelector("dialog")?.showModal();
  }

  draw() {
    const { card } = session;
    const horse = card === null ? null : openNow(card).horse;
    return h(
      "dialog",
      {
        "aria-label": `More about ${horse?.number ?? ""}`,
        onclose: () => {
          this.#isOpen = false;
          this.repaint();
        },
      },
      this.#isOpen && card !== null && horse !== null ? this.#sheet(card, horse) : null,
    );
  }

  /** @param {Card} card @param {Horse} horse */
  #sheet(card, horse) {
    const { number } = horse;
    const calls = card.calls(number).map(saidBy);
    return h(
      "div",
      { class: "sheet" },
      h(
        "header",
        null,
        h("h2", null, h("b", null, number), ` ${horse.identification ?? ""}`),
        h("button", { onclick: () => this.#close() }, "Done"),
      ),
      session.writes("lameness") && !this.#isWrong
        ? h(
            "button",
            {
              class: "main",
              onclick: () => {
                this.#close();
                go({ page: "call", number });
              },
            },
            h("span", null, "Lameness call", h("small", null, calls.join("; ") || "none yet")),
          )
        : null,
      session.writes("entry") ? this.#more(card, horse) : null,
    );
  }

  /** @param {Card} card @param {Horse} horse */
  #more(card, { number, identification }) {
    const marks = this.#marks.trim();
    return [
      this.#isWrong
        ? null
        : h(
            "form",
            {
              onsubmit: (/** @type {Event} */ event) => {
                event.preventDefault();
                if (marks !== "" && marks !== identification && identify(card, number, marks)) this.#close();
              },
            },
            h("label", { for: "known-by" }, "Marks to know it by"),
            h("input", {
              id: "known-by",
              ".value": this.#marks,
              maxlength: MOST_MARKS,
              autocomplete: "off",
              oninput: (/** @type {Event} */ event) => {
                this.#marks = /** @type {HTMLInputElement} */ (event.target).value;
                this.repaint();
              },
            }),
            h("button", { disabled: marks === "" || marks === identification }, "Keep the marks"),
          ),
      h(
        "button",
        {
          "aria-pressed": String(this.#isWrong),
          onclick: () => {
            this.#isWrong = !this.#isWrong;
            this.repaint();
            if (this.#isWrong) /** @type {HTMLElement | null} */ (this.querySelector("wrong-number input"))?.focus();
          },
        },
        "Wrong number",
      ),
      this.#isWrong ? h("wrong-number", { role: "group", "aria-label": "Wrong number" }) : null,
    ];
  }

  #close() {
    this.querySelector("dialog")?.close();
  }
}
