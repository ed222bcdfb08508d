// @ts-check
/**
 * The placing: between two horses stands what decides between them; the sentence on a tap. Then all that is open.
 *
 * Usage: `<placing-page></placing-page>`; a page. Every pair is a disclosure button (ARIA expanded).
 */

import { Part, show } from "../../lib/part.js";
import { clock, counted, listed, ordinal } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";
import { openCompare } from "../../state/comparing.js";
import { firmness, isByMarks, isOpen, weighings } from "../../state/firmness.js";
import { handOn } from "../../state/handing.js";
import { closeness, nearestLooks } from "../../state/looks.js";
import { go, place } from "../../state/place.js";
import { suggestion } from "../../state/placing.js";
import { openStop } from "../../state/ring.js";
import { session } from "../../state/session.js";
import { criterionTitle, traitOf, viewFrom } from "../../state/telling.js";
import { callCircle } from "../call-circle/call-circle.js";
import { disputeBox } from "../dispute-box/dispute-box.js";
import { wedge } from "./wedge.js";

/** @typedef {import("../../engine/placing.js").Placing} Placing */
/** @typedef {import("../../engine/placing.js").Pair} Pair */
/** @typedef {import("../../state/card.js").Card} Card */

const LOOKS_SHOWN = 3;
const TRAITS_NAMED = 2;

export class PlacingPage extends Part {
  /** @type {Set<string>} pairs whose sentence is shown */
  #opened = new Set();
  #showsAllLooks = false;

  draw() {
    const classId = place().class ?? "";
    const card = session.notebook?.card(classId) ?? null;
    const { placing } = suggestion(classId);
    return [
      h("class-bar", { ".about": "placing" }),
      h(
        "main",
        null,
        this.#origin(placing),
        card === null ? null : this.#disputes(card),
        placing === null || card === null ? null : this.#placing(card, placing),
      ),
      h(
        "footer",
        null,
        h("button", { class: "to-ring", onclick: () => go({ page: "ring" }) }, "‹ Ring"),
        placing === null || card === null || session.alone === "practice" ? null : this.#file(card),
        h(
          "button",
          { class: "main", disabled: !placing?.placing.length, onclick: () => go({ page: "reasons", pair: null }) },
          "Reasons",
        ),
      ),
    ];
  }

  /** The class file, made here; its address is the office's copy. @param {Card} card */
  #file(card) {
    return h(
      "a",
      {
        class: "button",
        href: `/api/classes/${encodeURIComponent(card.class.id)}/file`,
        download: "",
        onclick: (/** @type {Event} */ event) => {
          event.preventDefault();
          void handOn(card);
        },
      },
      "Class file",
    );
  }

  /** Where the placing comes from, and what may be missing in it. @param {Placing | null} placing */
  #origin(placing) {
    if (placing === null) return h("p", { class: "origin", role: "status" }, "Working out the placing.");
    const { trouble, ok_at } = session.status;
    const since = ok_at === null ? "" : ` since ${clock(ok_at, Date.now())}`;
    return h(
      "p",
      { class: "origin" },
      h("b", null, "Suggested from your notes"),
      ", worked out here.",
      trouble === null ? null : ` What other devices noted on this card${since} may not be in it yet.`,
    );
  }

  /** @param {Card} card @param {Placing} placing */
  #placing(card, placing) {
    /** @type {Map<string, Pair>} */
    const below = new Map(placing.pairs.filter((pair) => pair.adjacent).map((pair) => [pair.upper, pair]));
    const { places } = card.class;
    return [
      ...placing.circles.map((circle) => callCircle(card, placing, circle)),
      this.#looks(card, placing),
      session.alone === "practice" ? h("practice-aid", { ".spot": "pair" }) : null,
      placing.placing.length === 0 ? h("p", null, "No horse is placed yet: mark some in the ring.") : null,
      h(
        "ol",
        { class: "order", "aria-label": "Suggested placing" },
        ...placing.placing.map((number, index) => {
          const pair = below.get(number);
          const isEnd = index + 1 === places && placing.placing.length > places;
          return h(
            "li",
            { key: number },
            this.#horse(card, placing, number, index),
            pair === undefined ? null : this.#pair(card, pair),
            isEnd ? h("p", { class: "places-end" }, "Places end here") : null,
          );
        }),
      ),
      this.#unplaced(card, placing),
      this.#open(placing),
      h("p", { class: "decides" }, "A suggestion from the notes. The judge decides; the show's rules and its veterinarian stand above it."),
      h("button", { class: "to-how", onclick: () => go({ page: "print" }) }, "Print this card"),
      h("button", { class: "to-how", onclick: () => go({ page: "how" }) }, "How a placing is worked out"),
    ];
  }

  /** @param {Card} card @param {Placing} placing @param {string} number @param {number} index */
  #horse(card, placing, number, index) {
    const isLast = placing.last_by_rule.includes(number);
    return h(
      "div",
      { class: "horse" },
      h("span", { class: "place" }, ordinal(index + 1)),
      h("span", { class: "number" }, number),
      h(
        "span",
        { class: "marks" },
        card.horse(number)?.identification ?? "",
        isLast ? h("b", null, "last by rule") : null,
      ),
    );
  }

  /** @param {Card} card @param {Pair} pair */
  #pair(card, pair) {
    const name = `${pair.upper} ${pair.lower}`;
    const isOpened = this.#opened.has(name);
    const { word, rest } = this.#decided(card, pair);
    return h(
      "div",
      { class: "pair", "data-basis": pair.basis, "data-firm": firmness(pair) },
      h(
        "button",
        {
          "aria-expanded": String(isOpened),
          onclick: (/** @type {Event} */ event) => {
            if (isOpened) this.#opened.delete(name);
            else this.#opened.add(name);
            this.repaint();
            show(event);
          },
        },
        wedge(pair.share),
        h("span", { class: "words" }, h("b", null, word), rest === "" ? null : h("span", null, rest)),
        h("span", { class: "aside" }, `between ${pair.upper} and ${pair.lower}`),
      ),
      isOpened
        ? h(
            "div",
            { class: "why" },
            h(
              "p",
              { class: "sentence" },
              pair.sentence,
              isByMarks(pair) && isOpen(pair) ? ` ${weighings(pair)}` : null,
            ),
            h(
              "div",
              { class: "choices" },
              h("button", { onclick: () => openCompare(card, pair.upper, pair.lower) }, "Compare"),
              h(
                "button",
                { onclick: () => go({ page: "pair", class: card.class.id, pair: [pair.upper, pair.lower] }) },
                "How firm?",
              ),
              h(
                "button",
                { onclick: () => go({ page: "reasons", class: card.class.id, pair: [pair.upper, pair.lower] }) },
                "Reasons",
              ),
            ),
          )
        : null,
    );
  }

  /** @param {Card} card @param {Pair} pair */
  #decided(card, pair) {
    switch (pair.basis) {
      case "rule":
        return { word: "By rule", rest: "" };
      case "call":
        return {
          word: "Direct call",
          rest: pair.margin < 0 ? "the notes would have it the other way round" : (pair.chain ?? []).join(" over "),
        };
      case "carried":
        return { word: "Carried by a call", rest: "a direct call raised another horse" };
      case "even":
        if (pair.decided_by === null) return { word: "Even", rest: "nothing noted separates them: settle by eye" };
        return { word: "Level", rest: `then ${criterionTitle(pair.decided_by, card.class.id)}` };
      default:
        return { word: criterionTitle(pair.decided_by ?? "", card.class.id), rest: this.#traits(card, pair) };
    }
  }

  /** @param {Card} card @param {Pair} pair */
  #traits(card, pair) {
    const named = pair.for
      .filter((each) => each.criterion === pair.decided_by)
      .slice(0, TRAITS_NAMED)
      .map((each) => (traitOf(each.trait, card.class.id)?.title ?? each.trait).toLowerCase());
    const traits = named.length === 0 ? "taken as a whole" : listed(named);
    const firm = { firm: "", turns: "turns on the weighing", thin: "one step could turn it", against: "most weighings differ" };
    return [traits, firm[firmness(pair)]].filter((each) => each).join("; ");
  }

  /** @param {Card} card @param {Placing} placing */
  #looks(card, placing) {
    const looks = nearestLooks(card, placing);
    const left = looks.length - LOOKS_SHOWN;
    if (looks.length === 0) return null;
    return h(
      "section",
      { class: "looks", "aria-labelledby": "looks" },
      h("h2", { id: "looks" }, "Worth another look"),
      ...looks.slice(0, this.#showsAllLooks ? looks.length : LOOKS_SHOWN).map(({ number, view, pairs }) =>
        h(
          "button",
          { key: `${number} ${view}`, onclick: () => openStop(card, { number, view }) },
          h("b", null, `${number} ${viewFrom(view)}`),
          h(
            "span",
            null,
            `could settle ${listed(pairs.map((pair) => `${pair.upper} over ${pair.lower} (${closeness(pair)})`))}`,
          ),
        ),
      ),
      left <= 0
        ? null
        : h(
            "button",
            {
              key: "more looks",
              class: "more-looks",
              "aria-expanded": String(this.#showsAllLooks),
              onclick: () => {
                this.#showsAllLooks = !this.#showsAllLooks;
                this.repaint();
              },
            },
            this.#showsAllLooks ? "Fewer looks" : counted(left, "more look"),
          ),
    );
  }

  /** @param {Card} card @param {Placing} placing */
  #unplaced(card, placing) {
    const words = session.day?.words.standings ?? {};
    const { unplaced } = placing;
    if (unplaced.length === 0) return null;
    const view = String(card.standard.views[0]);
    return h(
      "section",
      { class: "unplaced" },
      h("h2", null, "Not placed"),
      h(
        "ul",
        null,
        ...unplaced.map(({ number, standing, reason }) =>
          h(
            "li",
            { key: number },
            h("b", null, number),
            h("span", null, ` ${words[standing ?? ""] ?? standing}${reason ? `: ${reason}` : ""}`),
            standing === "not_looked"
              ? h("button", { "aria-label": `Look at ${number}`, onclick: () => openStop(card, { number, view }) }, "Look")
              : null,
          ),
        ),
      ),
    );
  }

  /** All that is open besides disputes. @param {Placing} placing */
  #open(placing) {
    const lines = [
      ...placing.even.map((run) => `${listed(run)} are even: their order here is by number only. Settle it by eye.`),
      ...setAside(placing),
      ...placing.asks.map(
        ({ number, grade }) => `The steward asks you to look at ${number} again: seen as grade ${grade}. No diagnosis.`,
      ),
      ...placing.conflicts.map((number) => `${number} is absent by the gate, but your card speaks of it.`),
      ...placing.strangers.map((number) => `${number} was noted but never entered in the class.`),
    ];
    const unseen = placing.unseen.map(({ number, views }) => `${number} ${listed(views.map(viewFrom))}`);
    return [
      lines.length === 0
        ? null
        : h(
            "section",
            { class: "to-see-to" },
            h("h2", null, "To see to"),
            h("ul", null, ...lines.map((line) => h("li", { key: line }, line))),
          ),
      unseen.length === 0
        ? null
        : h(
            "details",
            { class: "unseen" },
            h("summary", null, `Not seen from every side: ${counted(unseen.length, "horse")}`),
            h("ul", null, ...unseen.map((line) => h("li", { key: line }, line))),
          ),
    ];
  }

  /** Disputes as this phone knows them now, each settled with one tap. @param {Card} card */
  #disputes(card) {
    if (card.disputes.length === 0) return null;
    return h(
      "section",
      { class: "disputes", "aria-labelledby": "disputes" },
      h("h2", { id: "disputes" }, "Disputed"),
      ...card.disputes.map((dispute) => disputeBox(card, dispute, true)),
    );
  }
}

/** The calls that count for nothing without being in a circle, and why. @param {Placing} placing */
function setAside({ calls_set_aside, circles, placing, last_by_rule }) {
  return calls_set_aside
    .filter(({ winner, loser }) => !circles.some((circle) => circle.includes(winner) && circle.includes(loser)))
    .map((call) => {
      const outside = [call.winner, call.loser].filter(
        (number) => !placing.includes(number) || last_by_rule.includes(number),
      );
      return `Your call ${call.winner} over ${call.loser} is set aside: ${listed(outside)} ${outside.length === 1 ? "is" : "are"} not placed by the marks.`;
    });
}
