// @ts-check
/**
 * The gate: every number of the class, in and out of the ring with one tap; how many are in; the calls of the class; a late
 * entry. What else there is to do about a horse stands behind its last button. For seats that keep no card.
 *
 * Usage: `<gate-page></gate-page>`; a page of three sheets, chosen by toggle buttons (ARIA pressed).
 */

import { Part } from "../../lib/part.js";
import { h } from "../../lib/view.js";
import { callsWritten } from "../../state/calls.js";
import { isNumber, tidyNumber } from "../../state/entering.js";
import { countSaid, gateCount, tapGate } from "../../state/gate.js";
import { go, place } from "../../state/place.js";
import { enter, tapPresence } from "../../state/ring.js";
import { session } from "../../state/session.js";
import { isSigned } from "../../state/shut.js";
import { callList } from "../call-page/call-page.js";
import { badge } from "../class-bar/badge.js";
import { disputeBox } from "../dispute-box/dispute-box.js";
import { undoButton } from "../thumb-bar/undo-button.js";

/** @typedef {import("../../state/card.js").Card} Card */
/** @typedef {import("../../state/card.js").Horse} Horse */
/** @typedef {keyof typeof SHEETS} Sheet */

const SHEETS = { gate: "Gate", calls: "Calls", late: "Late entry" };
const STAGES = { ring: "In the ring", gate: "At the gate" };
/** @type {Readonly<Record<string, string>>} */
const STATES = { present: "In", absent: "Absent" };

export class GatePage extends Part {
  /** @type {Sheet} */
  #sheet = "gate";
  #number = "";
  #marks = "";

  draw() {
    const { card } = session;
    if (card === null) return [h("class-bar", { ".about": "gate" }), h("p", { class: "opening" }, "Opening the class")];
    const calls = callsWritten(card);
    const sheet = this.#sheet;
    return [
      h("class-bar", { ".about": "gate" }),
      h("p", { class: "count", role: "status" }, countSaid(gateCount(card))),
      h(
        "main",
        { key: sheet },
        nowOn(),
        sheet === "gate" ? this.#gate(card) : sheet === "calls" ? this.#calls(card, calls) : this.#late(card),
      ),
      h(
        "footer",
        null,
        undoButton(),
        ...Object.entries(SHEETS).map(([key, title]) =>
          (key === "late" && !session.writes("entry")) || (key === "calls" && !session.writes("lameness"))
            ? null
            : h(
                "button",
                { key, "aria-pressed": String(key === sheet), onclick: () => this.#turn(/** @type {Sheet} */ (key)) },
                key === "calls" && calls.length > 0 ? `${title} ${calls.filter(({ isChanged, note }) => !isChanged && typeof note.grade === "number").length}` : title,
              ),
        ),
      ),
      h("gate-horse", null),
    ];
  }

  /** @param {Card} card */
  #gate(card) {
    return [
      ...card.disputes.map((dispute) => disputeBox(card, dispute, true)),
      h("ul", { class: "at-gate" }, ...card.horses.map((horse) => this.#row(card, horse))),
      card.horses.length === 0 ? h("p", { class: "none" }, "No number is entered yet. A late entry enters one.") : null,
    ];
  }

  /** @param {Card} card @param {Horse} horse */
  #row(card, { number, identification, entered }) {
    const state = String(card.presence(number)?.state ?? "");
    const isClosed = !session.writes("presence");
    const marks = entered ? (identification ?? "no description") : "not entered";
    return h(
      "li",
      { key: number, "data-state": state },
      h(
        "button",
        {
          class: "in",
          "aria-pressed": String(state === "present"),
          "aria-label": `${number}, ${marks}: in the ring`,
          disabled: isClosed,
          onclick: () => tapGate(card, number),
        },
        h("b", null, number),
        h("span", null, h("strong", null, STATES[state] ?? "Out"), h("small", null, marks)),
      ),
      isClosed
        ? null
        : h(
            "button",
            { class: "away", "aria-pressed": String(state === "absent"), "aria-label": `${number} absent`, onclick: () => tapPresence(card, number, "absent") },
            "Absent",
          ),
      isClosed ? null : h("button", { class: "more", "aria-label": `More about ${number}`, onclick: () => this.#more(number) }, "More"),
    );
  }

  /** @param {Card} card @param {ReturnType<typeof callsWritten>} calls */
  #calls(card, calls) {
    return [
      h("h2", null, "Lameness calls of this class"),
      h("p", { class: "caution" }, "What was seen at one moment, no diagnosis. The show's rules and its veterinarian decide."),
      calls.length === 0 ? h("p", null, "None is written down. To write one, open a horse at the gate by More.") : callList(card, calls, true),
    ];
  }

  /** @param {Card} card */
  #late(card) {
    const isKnown = card.horse(this.#number) !== null;
    const isOver = isSigned(card);
    return h(
      "form",
      {
        onsubmit: (/** @type {Event} */ event) => {
          event.preventDefault();
          if (!isNumber(this.#number) || isKnown) return;
          enter(card, this.#number, this.#marks);
          this.#number = this.#marks = "";
          this.#turn("gate");
        },
      },
      h("h2", null, "A late entry"),
      h(
        "label",
        null,
        "Number",
        h("input", {
          class: "number",
          ".value": this.#number,
          autocomplete: "off",
          autocapitalize: "characters",
          inputmode: card.horses.some(({ number }) => /[A-Z]/.test(number)) ? "text" : "numeric",
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
          placeholder: "color, white, sex",
          oninput: (/** @type {Event} */ event) => {
            this.#marks = /** @type {HTMLInputElement} */ (event.target).value;
          },
        }),
      ),
      isKnown ? h("p", { role: "status" }, `${this.#number} is in the class already.`) : null,
      isOver ? h("p", { class: "caution" }, "This class is signed: a horse entered now stands on no card.") : null,
      h("button", { type: "submit", class: isOver ? null : "main", disabled: !isNumber(this.#number) || isKnown }, isOver ? "Enter it all the same" : "Enter it"),
    );
  }

  /** @param {Sheet} sheet */
  #turn(sheet) {
    this.#sheet = sheet;
    this.repaint();
    this.querySelector("main")?.scrollTo(0, 0);
    if (sheet === "late") this.querySelector("input")?.focus();
  }

  /** @param {string} number */
  #more(number) {
    go({ number });
    const sheet = this.querySelector("gate-horse");
    /** @type {import("./gate-horse.js").GateHorse | null} */ (sheet)?.open();
  }
}

/** Which class is in the ring and which at the gate, by the show's running list; one tap opens another. */
function nowOn() {
  const day = session.day;
  const classes = day?.classes ?? [];
  const on = Object.entries(STAGES).flatMap(([stage, words]) =>
    classes.flatMap((each) => (day?.about_classes?.[each.id]?.stage === stage && !isSigned(session.notebook?.card(each.id)) ? { each, words } : [])),
  );
  if (on.length === 0) return null;
  return h(
    "div",
    { class: "now-on", role: "group", "aria-label": "Now on" },
    ...on.map(({ each, words }) => {
      const isHere = each.id === place().class;
      return h(
        "button",
        {
          key: each.id,
          "aria-current": isHere ? "true" : null,
          "aria-label": `${words}: ${each.title}`,
          onclick: () => isHere || go({ page: "gate", class: each.id, number: null }),
        },
        h("small", null, words),
        badge(each, classes),
      );
    }),
  );
}
