// @ts-check
/**
 * The placing: the judge's own order where there is one, else the suggestion. Between two horses stands what the notes
 * say of them, with the sentence on a tap. Then all that is open.
 *
 * Usage: `<placing-page></placing-page>`; a page. Every pair is a disclosure button (ARIA expanded).
 */

import { Part, show } from "../../lib/part.js";
import { clock, counted, listed, ordinal } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";
import { handOn } from "../../state/handing.js";
import { closeness, nearestLooks } from "../../state/looks.js";
import { heldOf } from "../../state/moving.js";
import { changedSince, ownOrder, pairOf } from "../../state/order.js";
import { go } from "../../state/place.js";
import { DECIDES, suggestion } from "../../state/placing.js";
import { openStop } from "../../state/ring.js";
import { session } from "../../state/session.js";
import { shutSaid } from "../../state/shut.js";
import { LEFT_OUT, standingSaid, viewFrom } from "../../state/telling.js";
import { callCircle } from "../call-circle/call-circle.js";
import { disputeBox } from "../dispute-box/dispute-box.js";
import { between } from "./between.js";
import { placesEnd } from "./places-end.js";
import { wedge } from "./wedge.js";

/** @typedef {import("../../engine/placing.js").Placing} Placing */
/** @typedef {import("../../state/card.js").Card} Card */

const LOOKS_SHOWN = 3;

export class PlacingPage extends Part {
  /** @type {Set<string>} pairs whose sentence is shown */
  #opened = new Set();
  #showsAllLooks = false;

  draw() {
    const { card } = session;
    const { placing } = suggestion();
    return [
      h("class-bar", { ".about": "placing" }),
      h(
        "main",
        null,
        card === null || placing === null
          ? h("p", { class: "origin", role: "status" }, "Working out the placing.")
          : this.#origin(card),
        card === null ? null : this.#disputes(card),
        placing === null || card === null ? null : this.#placing(card, placing),
      ),
      h(
        "footer",
        null,
        h("button", { onclick: () => go({ page: "ring" }) }, "‹ Ring"),
        h("button", { disabled: placing === null, onclick: () => go({ page: "order" }) }, "Arrange"),
        h("button", { disabled: !placing?.placing.length, onclick: () => go({ page: "reasons", pair: null }) }, "Reasons"),
        h("button", { class: "main", disabled: placing === null, onclick: () => go({ page: "sign" }) }, card?.signature ? "Signed" : "Sign"),
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

  /** Where the order comes from, since when, and what may be missing in it. @param {Card} card */
  #origin(card) {
    const { trouble, ok_at } = session.status;
    const since = ok_at === null ? "" : ` since ${clock(ok_at, Date.now())}`;
    const own = ownOrder(card);
    const changes = own === null ? [] : changedSince(card, own);
    return [
      card.signature === null ? null : h("p", { class: "shut" }, shutSaid(card)),
      h(
        "p",
        { class: "origin" },
        h("b", null, own === null ? "Suggested from your notes" : `Your own order, set ${clock(own.at, Date.now())}`),
        own === null ? ", worked out here." : ".",
        changes.length === 0 ? null : h("b", { class: "changed" }, ` Notes changed since: ${listed(changes)}.`),
        trouble === null ? null : ` What other devices noted on this card${since} may not be in it yet.`,
      ),
    ];
  }

  /** @param {Card} card @param {Placing} placing */
  #placing(card, placing) {
    const order = placing.own ?? placing.placing;
    return [
      ...placing.circles.map((circle) => callCircle(card, placing, circle)),
      this.#looks(card, placing),
      session.alone === "practice" ? h("practice-aid", { ".spot": "pair" }) : null,
      order.length === 0
        ? h("p", null, "No horse is placed yet: mark some in the ring, or arrange them.")
        : h("p", { class: "legend" }, wedge(650), "filled as weighings agree, dashed where close"),
      h(
        "ol",
        { class: "order", "aria-label": placing.own === null ? "Suggested placing" : "Your own order" },
        ...order.map((number, index) => {
          const lower = order[index + 1];
          return h(
            "li",
            { key: number },
            this.#horse(card, placing, number, index),
            lower === undefined ? null : this.#between(card, placing, number, lower),
            placesEnd(index, order, card.class.places),
          );
        }),
      ),
      this.#against(placing),
      this.#unplaced(card, placing),
      this.#open(placing),
      h("p", { class: "decides" }, `A suggestion from the notes. ${DECIDES}`),
      h("button", { class: "to-how", onclick: () => go({ page: "print" }) }, "Print this card"),
      h("button", { class: "to-how", onclick: () => go({ page: "how" }) }, "How a placing is worked out"),
      session.alone === "practice" ? null : this.#file(card),
    ];
  }

  /** @param {Card} card @param {Placing} placing @param {string} number @param {number} index */
  #horse(card, placing, number, index) {
    const unseen = placing.unseen.find((each) => each.number === number)?.views.length ?? 0;
    const { length } = card.standard.views;
    const byNotes = placing.placing.indexOf(number);
    const held = heldOf(card, number, null);
    const facts = [
      placing.last_by_rule.includes(number) ? "last by rule" : null,
      placing.own === null ? null : byNotes === -1 ? "not placed by the notes" : `notes: ${ordinal(byNotes + 1)}`,
      held.length > 0 && held.every(({ kind }) => kind === "looked") ? "looked at, nothing noted" : null,
      unseen === 0 ? null : `${length - unseen} of ${length} views seen`,
    ].filter((each) => each !== null);
    return h(
      "div",
      { class: "horse" },
      h("span", { class: "place" }, ordinal(index + 1)),
      h("span", { class: "number" }, number),
      h(
        "span",
        { class: "marks" },
        card.horse(number)?.identification ?? "",
        facts.length === 0 ? null : h("b", null, facts.join(", ")),
      ),
    );
  }

  /** @param {Card} card @param {Placing} placing @param {string} upper @param {string} lower */
  #between(card, placing, upper, lower) {
    const name = `${upper} ${lower}`;
    const isOpened = this.#opened.has(name);
    return between(card, placing, upper, lower, isOpened, (event) => {
      if (isOpened) this.#opened.delete(name);
      else this.#opened.add(name);
      this.repaint();
      show(event);
    });
  }

  /** Every adjacent pair of the own order that stands against the notes, with what these say. @param {Placing} placing */
  #against(placing) {
    if (placing.against.length === 0) return null;
    return h(
      "section",
      { class: "against", "aria-labelledby": "against" },
      h("h2", { id: "against" }, `Against your notes: ${counted(placing.against.length, "pair")}`),
      h(
        "ul",
        null,
        ...placing.against.map(({ upper, lower }) =>
          h("li", { key: upper }, h("b", null, `You have ${upper} over ${lower}. `), pairOf(placing, upper, lower)?.sentence ?? ""),
        ),
      ),
    );
  }

  /** @param {Card} card @param {Placing} placing */
  #looks(card, placing) {
    const looks = nearestLooks(card, placing);
    const left = looks.length - LOOKS_SHOWN;
    if (looks.length === 0) return null;
    const [first] = looks;
    return h(
      "details",
      { class: "looks" },
      h("summary", null, `Worth another look: ${first?.number} ${viewFrom(first?.view ?? "")}${looks.length > 1 ? `, and ${looks.length - 1} more` : ""}`),
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
    const left = placing.placing.filter((number) => placing.own?.includes(number) === false);
    const unplaced = [
      ...left.map((number) => ({ number, ...LEFT_OUT })),
      ...placing.unplaced.filter(({ number }) => placing.own?.includes(number) !== true),
    ];
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
            h("span", null, ` ${standingSaid({ standing, reason })}`),
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
