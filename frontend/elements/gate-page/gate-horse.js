// @ts-check
/**
 * What there is to do about one horse at the gate: a lameness call, the marks it is known by, its number put right.
 *
 * Usage: `h("gate-horse", null)`, then `open()` with the horse in the place. A modal dialog.
 */

import { Part } from "../../lib/part.js";
import { h } from "../../lib/view.js";
import { answer } from "../../state/answer.js";
import { identify } from "../../state/gate.js";
import { go } from "../../state/place.js";
import { openNow } from "../../state/ring.js";
import { session } from "../../state/session.js";
import { saidBy } from "../../state/telling.js";

const MOST_MARKS = 200;

/** @typedef {import("../../state/card.js").Card} Card */
/** @typedef {import("../../state/card.js").Horse} Horse */

/** Marks typed and not kept yet, by class and horse. @type {Map<string, string>} */
const drafts = new Map();

export class GateHorse extends Part {
  #isOpen = false;
  #isWrong = false;

  open() {
    this.#isOpen = true;
    this.#isWrong = false;
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
          const marks = card === null || horse === null ? undefined : drafts.get(nameOf(card, horse));
          if (marks !== undefined) answer(`Not kept yet, it waits under More: ${marks}`);
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
        h("button", { onclick: () => (this.#isWrong || this.#keep(card, horse)) && this.#close() }, "Done"),
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
  #more(card, horse) {
    const { identification } = horse;
    const typed = drafts.get(nameOf(card, horse)) ?? identification ?? "";
    const marks = typed.trim();
    return [
      this.#isWrong
        ? null
        : h(
            "form",
            {
              onsubmit: (/** @type {Event} */ event) => {
                event.preventDefault();
                if (this.#keep(card, horse)) this.#close();
              },
            },
            h("label", { for: "known-by" }, "Marks to know it by"),
            h("input", {
              id: "known-by",
              ".value": typed,
              maxlength: MOST_MARKS,
              autocomplete: "off",
              oninput: (/** @type {Event} */ event) => {
                drafts.set(nameOf(card, horse), /** @type {HTMLInputElement} */ (event.target).value);
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

  /** Keep what is typed, if it says something new. @param {Card} card @param {Horse} horse @returns {boolean} whether nothing is left to keep */
  #keep(card, horse) {
    const marks = drafts.get(nameOf(card, horse))?.trim() ?? "";
    if (marks !== "" && marks !== horse.identification && !identify(card, horse.number, marks)) return false;
    drafts.delete(nameOf(card, horse));
    return true;
  }

  #close() {
    this.querySelector("dialog")?.close();
  }
}

/** @param {Card} card @param {Horse} horse */
function nameOf(card, { number }) {
  return `${card.class.id} ${number}`;
}
