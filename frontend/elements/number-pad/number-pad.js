// @ts-check
/**
 * Opening a horse by its number on a big keypad; a number not in the class says so and can be entered in the ring. Or
 * saying which number an unread horse goes by.
 *
 * Usage: `h("number-pad", null)`, then `open()`, or `open("T1")` to give that horse its number. A modal dialog (ARIA dialog); a keyboard types straight into it.
 */

import { Part } from "../../lib/part.js";
import { h } from "../../lib/view.js";
import { isNumber, tidyNumber, unreadNumber } from "../../state/entering.js";
import { enter, nameHorse, openNow, openStop } from "../../state/ring.js";
import { session } from "../../state/session.js";

/** @typedef {import("../../state/card.js").Card} Card */

const KEYS = ["1", "2", "3", "4", "5", "6", "7", "8", "9"];

export class NumberPad extends Part {
  #typed = "";
  #identification = "";
  #hasLetters = false;
  #isOpen = false;
  /** The horse to give its number. @type {string | null} */
  #unnamed = null;

  /** @param {string | null} [unnamed] */
  open(unnamed = null) {
    this.#unnamed = unnamed;
    this.#typed = "";
    this.#identification = "";
    this.#hasLetters = false;
    this.#isOpen = true;
    this.repaint();
    this.querySelector("dialog")?.showModal();
    this.querySelector("input")?.focus();
  }

  draw() {
    const { card } = session;
    return h(
      "dialog",
      {
        "aria-label": this.#unnamed === null ? "Open a horse by its number" : `The number of ${this.#unnamed}`,
        onclose: () => {
          this.#isOpen = false;
          this.repaint();
        },
      },
      this.#isOpen && card !== null ? this.#form(card) : null,
    );
  }

  /** @param {Card} card */
  #form(card) {
    return h(
      "form",
      {
        onsubmit: (/** @type {Event} */ event) => {
          event.preventDefault();
          this.#go(card);
        },
      },
      h("label", { for: "pad-number" }, this.#unnamed === null ? "Number" : `${this.#unnamed} is really number`),
      h("input", {
        id: "pad-number",
        ".value": this.#typed,
        autocomplete: "off",
        autocapitalize: "characters",
        spellcheck: "false",
        enterkeyhint: "go",
        // Our own keys serve; the phone's keyboard comes only for letters.
        inputmode: this.#hasLetters ? "text" : "none",
        "aria-describedby": "pad-found",
        oninput: (/** @type {Event} */ event) => this.#type(/** @type {HTMLInputElement} */ (event.target).value),
      }),
      h("p", { id: "pad-found", role: "status" }, this.#found(card)),
      this.#stranger(card) && session.writes("entry") && this.#unnamed === null ? this.#entry() : null,
      h(
        "div",
        { class: "keys" },
        ...KEYS.map((key) => h("button", { type: "button", onclick: () => this.#type(this.#typed + key) }, key)),
        h("button", { type: "button", class: "small", onclick: () => this.#letters() }, "A–Z"),
        h("button", { type: "button", onclick: () => this.#type(`${this.#typed}0`) }, "0"),
        h(
          "button",
          { type: "button", class: "small", "aria-label": "Delete the last", onclick: () => this.#type(this.#typed.slice(0, -1)) },
          "⌫",
        ),
      ),
      h(
        "div",
        { class: "choices" },
        h("button", { type: "button", onclick: () => this.#close() }, "Cancel"),
        session.writes("entry") && this.#typed === "" && this.#unnamed === null
          ? h("button", { type: "button", onclick: () => this.#unread(card) }, "Number not read yet")
          : null,
        h(
          "button",
          { type: "submit", class: this.#stranger(card) ? "enter" : "main", disabled: !isNumber(this.#typed) || this.#typed === this.#unnamed || (this.#stranger(card) && !session.writes("entry")) },
          this.#unnamed !== null
            ? `${this.#unnamed} is ${this.#typed}`
            : this.#stranger(card)
              ? `Enter ${this.#typed}`
              : `Open ${this.#typed}`,
        ),
      ),
    );
  }

  #entry() {
    return h(
      "label",
      { class: "identification" },
      "Marks to know it by (may stay empty)",
      h("input", {
        ".value": this.#identification,
        autocomplete: "off",
        maxlength: 200,
        oninput: (/** @type {Event} */ event) => {
          this.#identification = /** @type {HTMLInputElement} */ (event.target).value;
        },
      }),
    );
  }

  /** @param {Card} card */
  #stranger(card) {
    return isNumber(this.#typed) && card.horse(this.#typed) === null;
  }

  /** @param {Card} card */
  #found(card) {
    if (this.#typed === "") return "";
    const horse = card.horse(this.#typed);
    if (horse === null) {
      return `${this.#typed} is not in this class. Look again, or ${this.#unnamed === null ? "enter it here" : "it is entered so"}.`;
    }
    if (horse.number === this.#unnamed) return "";
    const marks = horse.identification ?? "no description";
    const now = horse.number === this.#typed ? "" : `now ${horse.number}, `;
    const meets = this.#unnamed === null ? "" : ". What is noted of both meets on one horse";
    return `${now}${marks}${card.isAbsent(horse.number) ? ", absent" : ""}${meets}`;
  }

  /** @param {string} typed */
  #type(typed) {
    this.#typed = tidyNumber(typed);
    this.repaint();
  }

  #letters() {
    this.#hasLetters = !this.#hasLetters;
    this.repaint();
    const input = this.querySelector("input");
    input?.blur();
    input?.focus();
  }

  /** @param {Card} card */
  #go(card) {
    const number = this.#typed;
    if (!isNumber(number) || number === this.#unnamed) return;
    if (this.#unnamed !== null) {
      nameHorse(card, this.#unnamed, number);
      return this.#close();
    }
    if (this.#stranger(card)) {
      if (!session.writes("entry")) return;
      enter(card, number, this.#identification);
    }
    this.#close();
    openStop(card, { number: card.horse(number)?.number ?? number, view: openNow(card).view });
  }

  /** @param {Card} card */
  #unread(card) {
    const number = unreadNumber(card);
    enter(card, number, "");
    this.#close();
    openStop(card, { number, view: openNow(card).view });
  }

  #close() {
    this.querySelector("dialog")?.close();
  }
}
