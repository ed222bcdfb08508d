// @ts-check
/**
 * The reasons, in large type for reading aloud: in full, or short for the microphone; each statement opens on the marks
 * behind it.
 *
 * Usage: `<reasons-page></reasons-page>`; a page. A statement with marks behind it is a disclosure button.
 */

import { copyText } from "../../lib/clipboard.js";
import { Part, show } from "../../lib/part.js";
import { capital } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";
import { go, place } from "../../state/place.js";
import { suggestion } from "../../state/placing.js";
import { session } from "../../state/session.js";
import { aboutTime, reasonsFor, secondsToSay, spokenNumbers } from "../../state/speaking.js";
import { told, viewFrom } from "../../state/telling.js";
import { say } from "../../state/voice.js";

/** @typedef {import("../../engine/oral.js").Reasons} Reasons */
/** @typedef {import("../../engine/oral.js").Statement} Statement */
/** @typedef {import("../../engine/placing.js").Placing} Placing */
/** @typedef {import("../../engine/shapes.js").Note} Note */
/** @typedef {import("../../state/card.js").Card} Card */

export class ReasonsPage extends Part {
  #isShort = false;
  /** Statements whose marks are shown, by their text. @type {Set<string>} */
  #opened = new Set();
  /** Shown for copying by hand, where the browser does not copy. */
  #byHand = false;
  /** @type {Placing | null} */
  #placing = null;

  draw() {
    const { card } = session;
    const { placing, isCurrent } = suggestion();
    // Words and marks must be of one moment.
    if (isCurrent) this.#placing = placing;
    const shown = this.#placing;
    const numbers = shown === null ? [] : spokenNumbers(shown, place().pair);
    const reasons = card === null || shown === null ? null : reasonsFor(card, shown, numbers);
    const statements = reasons === null ? [] : this.#isShort ? reasons.short : reasons.statements;
    return [
      h("class-bar", { ".about": "reasons" }),
      h(
        "main",
        null,
        shown === null
          ? h("p", null, "Working out the placing.")
          : numbers.length === 0
            ? h("p", null, "No horse is placed yet: mark some in the ring.")
            : this.#chosen(shown, numbers),
        card === null || reasons === null ? null : this.#spoken(card, reasons, statements),
      ),
      h("footer", { class: "two-rows" }, this.#forms(), this.#moves(statements)),
    ];
  }

  /** @param {Placing} placing @param {readonly string[]} numbers */
  #chosen(placing, numbers) {
    const order = placing.own ?? placing.placing;
    const isPair = place().pair !== null && numbers.length === 2;
    const [upper = "", lower = ""] = numbers;
    /** @param {string} label @param {string} chosen @param {string} other @param {(number: string) => void} choose */
    const horses = (label, chosen, other, choose) =>
      h(
        "select",
        {
          "aria-label": label,
          ".value": chosen,
          onchange: (/** @type {Event} */ event) => choose(/** @type {HTMLSelectElement} */ (event.target).value),
        },
        ...order
          .filter((number) => number !== other)
          .map((number) => h("option", { key: number, value: number, selected: number === chosen }, number)),
      );
    return h(
      "div",
      { class: "chosen", role: "group", "aria-label": "Which horses" },
      h(
        "button",
        { "aria-pressed": String(!isPair), onclick: () => go({ pair: null }) },
        order.length > 4 ? "First four" : "All",
      ),
      h(
        "button",
        { "aria-pressed": String(isPair), disabled: order.length < 2, onclick: () => go({ pair: [upper, lower] }) },
        "A pair",
      ),
      isPair
        ? [
            horses("First horse of the pair", upper, lower, (number) => go({ pair: [number, lower] })),
            horses("Second horse of the pair", lower, upper, (number) => go({ pair: [upper, number] })),
          ]
        : null,
    );
  }

  /** @param {Card} card @param {Reasons} reasons @param {readonly Statement[]} statements */
  #spoken(card, reasons, statements) {
    if (statements.length === 0) return h("p", null, "With one horse there is no pair to give reasons for.");
    return [
      h(
        "p",
        { class: "time" },
        h("b", null, capital(aboutTime(secondsToSay(reasons, statements)))),
        " aloud. Tap a sentence for the marks behind it.",
      ),
      this.#byHand ? h("textarea", { "aria-label": "Text to copy", readonly: true, rows: 6, ".value": textOf(statements) }) : null,
      h("ol", { class: "spoken" }, ...statements.map((each, place) => h("li", { key: place }, ...this.#statement(card, each)))),
    ];
  }

  /** @param {Card} card @param {Statement} statement */
  #statement(card, { text, notes }) {
    const behind = notes.flatMap((id) => card.notes.get(id) ?? []);
    if (behind.length === 0) return [h("p", null, text)];
    const isOpened = this.#opened.has(text);
    return [
      h(
        "button",
        {
          "aria-expanded": String(isOpened),
          onclick: (/** @type {Event} */ event) => {
            if (isOpened) this.#opened.delete(text);
            else this.#opened.add(text);
            this.repaint();
            show(event);
          },
        },
        text,
      ),
      isOpened
        ? h("ul", { "aria-label": "The marks behind it" }, ...behind.map((note) => h("li", { key: note.id }, markSaid(note))))
        : null,
    ];
  }

  #forms() {
    return h(
      "div",
      { role: "group", "aria-label": "How long" },
      ...[false, true].map((isShort) =>
        h(
          "button",
          {
            "aria-pressed": String(this.#isShort === isShort),
            "aria-label": isShort ? "Short, for the microphone" : null,
            onclick: () => {
              this.#isShort = isShort;
              this.#byHand = false;
              this.repaint();
            },
          },
          isShort ? "Short" : "In full",
        ),
      ),
    );
  }

  /** @param {readonly Statement[]} statements */
  #moves(statements) {
    return h(
      "div",
      null,
      h("button", { onclick: () => go({ page: "placing" }) }, "‹ Placing"),
      h(
        "button",
        { class: "main", disabled: statements.length === 0, onclick: () => void this.#copy(textOf(statements)) },
        "Copy",
      ),
    );
  }

  /** @param {string} text */
  async #copy(text) {
    this.#byHand = !(await copyText(text));
    say(this.#byHand ? "This browser does not copy by itself. The text stands above, for copying by hand." : "Copied.", true);
    this.repaint();
    if (this.#byHand) this.querySelector("textarea")?.select();
  }
}

/** @param {readonly Statement[]} statements */
function textOf(statements) {
  return statements.map(({ text }) => text).join(" ");
}

/** @param {Note} note */
function markSaid(note) {
  return note.view === undefined ? told(note) : `${told(note)}, ${viewFrom(note.view)}`;
}
