// @ts-check
/**
 * What was noted under a wrong number: moved to the horse it belongs to, swapped with what is noted of that one, or the
 * number itself put right.
 *
 * Usage: `h("wrong-number", { role: "group", "aria-label": "Wrong number" })`, in a dialog, which it closes when done.
 */

import { Part } from "../../lib/part.js";
import { capital } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";
import { MOST_TEXT } from "../../state/card.js";
import { isNumber, tidyNumber } from "../../state/entering.js";
import { counts, heldOf, hindrance, move, seenFrom } from "../../state/moving.js";
import { nameHorse, openNow } from "../../state/ring.js";
import { session } from "../../state/session.js";

/** @typedef {import("../../state/card.js").Card} Card */
/** @typedef {import("../../state/moving.js").Move} Move */

const REASONS = ["misread", "wrong number worn", "typed wrong"];

export class WrongNumber extends Part {
  #now = "";
  #reason = "";
  #isOneView = false;

  draw() {
    const { card } = session;
    if (card === null) return null;
    const { horse, pass } = openNow(card);
    if (horse === null) return null;
    const from = horse.number;
    const to = this.#now;
    const other = card.horse(to);
    const isOther = isNumber(to) && other?.number !== from && to !== from;
    // At the gate, where no marks can be moved, one slip of the finger would make one horse of two.
    const isTwo = isOther && other?.entered === true && horse.entered && !session.writes("mark");
    const views = this.#isOneView ? pass.views : null;
    /** @param {string} number @param {string} [marks] */
    const held = (number, marks = "") =>
      `${number}${marks} holds ${counts(heldOf(card, number, views)) || "nothing"}${seenFrom(views)}`;
    return [
      h(
        "label",
        null,
        `What is noted of ${from} belongs to number`,
        h("input", {
          ".value": to,
          inputmode: card.horses.some(({ number }) => /[A-Z]/.test(number)) ? "text" : "numeric",
          autocapitalize: "characters",
          autocomplete: "off",
          oninput: (/** @type {Event} */ event) => {
            this.#now = tidyNumber(/** @type {HTMLInputElement} */ (event.target).value);
            this.repaint();
          },
        }),
      ),
      session.writes("mark")
        ? h(
            "div",
            { class: "tags", role: "group", "aria-label": "How much of it" },
            ...["All views", `${pass.title} only`].map((words, isOne) =>
              h(
                "button",
                {
                  "aria-pressed": String(this.#isOneView === (isOne === 1)),
                  onclick: () => {
                    this.#isOneView = isOne === 1;
                    this.repaint();
                  },
                },
                words,
              ),
            ),
          )
        : null,
      h(
        "p",
        { role: "status" },
        to === "" || !isNumber(to)
          ? `${held(from)}.`
          : !isOther
            ? `${to} is this horse.`
            : other === null
              ? session.writes("mark") ? `${to} is not in this class.` : `${to} is not in this class yet.`
              : `${held(from)}; ${held(other.number, `, ${other.identification ?? "no description"},`)}.`,
      ),
      isOther && other !== null && session.writes("mark")
        ? [false, true].map((isSwap) => this.#moveButton(card, { from, to: other.number, isSwap, views }))
        : null,
      isTwo
        ? h(
            "p",
            { class: "caution" },
            `${from} and ${to} are two horses of this class. Do they wear each other's number? Correct the marks to know each by.`,
          )
        : isOther && session.writes("entry")
          ? this.#putRight(card, from, to, other !== null)
          : null,
    ];
  }

  /** @param {Card} card @param {Move} asked */
  #moveButton(card, asked) {
    const { from, to, isSwap } = asked;
    const why = hindrance(card, asked);
    return [
      h(
        "button",
        {
          class: "main",
          disabled: why !== null,
          onclick: () => {
            this.#close();
            move(card, asked);
          },
        },
        isSwap ? `Swap ${from} and ${to}` : `Move it to ${to}`,
      ),
      why === null ? null : h("p", { class: "why" }, why),
    ];
  }

  /** @param {Card} card @param {string} number @param {string} now @param {boolean} isKnown */
  #putRight(card, number, now, isKnown) {
    return [
      h("p", { class: "caution" },
        isKnown
          ? `Or is it one horse under two numbers? Then all noted of both, by anyone, meets on ${now}.`
          : `The number itself was read wrong: all noted of ${number}, by anyone, goes by ${now} from now on.`,
      ),
      h("label", { for: "why-corrected" }, "Why is the number corrected?"),
      h(
        "div",
        { class: "tags", role: "group", "aria-label": "Why" },
        ...REASONS.map((each) =>
          h("button", { type: "button", "aria-pressed": String(this.#reason === each), onclick: () => this.#why(this.#reason === each ? "" : each) }, capital(each)),
        ),
      ),
      h("input", {
        id: "why-corrected",
        ".value": this.#reason,
        maxlength: MOST_TEXT,
        autocomplete: "off",
        oninput: (/** @type {Event} */ event) => this.#why(/** @type {HTMLInputElement} */ (event.target).value),
      }),
      h(
        "button",
        {
          class: session.writes("mark") ? null : "main",
          disabled: this.#reason.trim() === "",
          onclick: () => {
            this.#close();
            nameHorse(card, number, now, this.#reason.trim());
          },
        },
        this.#reason.trim() === "" ? "A reason is needed" : `${number} is really ${now}`,
      ),
    ];
  }

  /** @param {string} reason */
  #why(reason) {
    this.#reason = reason;
    this.repaint();
  }

  #close() {
    this.closest("dialog")?.close();
  }
}
