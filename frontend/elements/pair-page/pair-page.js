// @ts-check
/**
 * One pair: why it stands so, how firmly under other weighings, and the single steps that would turn it. It stands
 * apart from the marking, so that nobody taps marks to fit.
 *
 * Usage: `<pair-page></pair-page>`; a page. The picture is told in words beside it.
 */

import { Part } from "../../lib/part.js";
import { counted, listed } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";
import { isByMarks, leaders, stepSaid, turns, weighings } from "../../state/firmness.js";
import { pairOf } from "../../state/order.js";
import { go, place } from "../../state/place.js";
import { suggestion } from "../../state/placing.js";
import { session } from "../../state/session.js";
import { criterionTitle, traitOf, viewFrom } from "../../state/telling.js";
import { picture } from "../placing-page/wedge.js";

/** @typedef {import("../../engine/placing.js").Pair} Pair */
/** @typedef {import("../../engine/placing.js").Placing} Placing */
/** @typedef {import("../../state/card.js").Card} Card */

const STEPS_SHOWN = 5;

export class PairPage extends Part {
  #showsAllSteps = false;
  #shown = "";

  draw() {
    const { card } = session;
    const { placing } = suggestion();
    const [one = "", other = ""] = place().pair ?? [];
    const pair = placing === null ? null : pairOf(placing, one, other);
    return [
      h("class-bar", { ".about": "a pair" }),
      h(
        "main",
        { tabindex: 0 },
        card === null || placing === null
          ? h("p", null, "Working out the placing.")
          : pair === null
            ? h("p", null, `${listed(place().pair ?? [])} do not both stand in the placing now.`)
            : this.#pair(card, placing, pair),
      ),
      h("footer", null, h("button", { onclick: () => go({ page: "placing" }) }, "‹ Placing"), this.#next(placing, pair)),
    ];
  }

  repaint() {
    super.repaint();
    const shown = String(place().pair);
    if (shown !== this.#shown) /** @type {HTMLElement | null} */ (this.querySelector("main"))?.scrollTo(0, 0);
    this.#shown = shown;
  }

  /** @param {Card} card @param {Placing} placing @param {Pair} pair */
  #pair(card, placing, pair) {
    return [
      h("h2", { class: "title" }, `${pair.upper} over ${pair.lower}`),
      h("p", { class: "sentence" }, pair.sentence),
      this.#weighing(card, placing, pair),
      this.#turning(card, pair),
    ];
  }

  /** @param {Card} card @param {Placing} placing @param {Pair} pair */
  #weighing(card, placing, pair) {
    const { byCriterion, ifFirstAlone, ifAllAlike } = leaders(placing, pair);
    const titles = byCriterion.map(({ criterion }) => criterionTitle(criterion, card.class.id));
    const first = (titles[0] ?? "").toLowerCase();
    const isLevel = byCriterion.every(({ leader }) => leader === null);
    return h(
      "section",
      { "aria-labelledby": "weighing" },
      h("h2", { id: "weighing" }, isByMarks(pair) ? "However one weighs it" : "By the marks alone"),
      isLevel ? null : picture(pair),
      isLevel
        ? h("p", null, `By their marks ${pair.upper} and ${pair.lower} are level under every weighing.`)
        : h("p", null, `${weighings(pair)} If ${first} alone counted, ${led(ifFirstAlone)}; if all counted alike, ${led(ifAllAlike)}.`),
      h(
        "ol",
        { class: "criteria", "aria-label": "Criterion by criterion" },
        ...byCriterion.map(({ criterion, leader }, place) =>
          h("li", { key: criterion }, h("span", null, titles[place] ?? criterion), h("b", null, leader === null ? "level" : `${leader} leads`)),
        ),
      ),
    );
  }

  /** @param {Card} card @param {Pair} pair */
  #turning(card, pair) {
    const title = h("h2", { id: "turning" }, "What would turn it");
    if (!isByMarks(pair)) {
      const why = { rule: "A rule decides", call: "Your direct call decides", carried: "Your direct call on another horse decides" };
      const because = why[/** @type {keyof typeof why} */ (pair.basis)];
      return h("section", { "aria-labelledby": "turning" }, title, h("p", null, `${because}: no step on the marks turns it.`));
    }
    const found = turns(card, pair);
    const left = found.length - STEPS_SHOWN;
    return h(
      "section",
      { "aria-labelledby": "turning" },
      title,
      found.length === 0
        ? h("p", null, "No single step on one trait in one view would turn it or make it level.")
        : h("p", null, `${counted(found.length, "single step")} on one trait in one view would turn it or make it level.`),
      h("p", { class: "caution" }, "This shows how firm the pair is. It is no advice to mark otherwise: mark what you see."),
      h(
        "ol",
        { class: "steps" },
        ...found.slice(0, this.#showsAllSteps ? found.length : STEPS_SHOWN).map((turn) =>
          h(
            "li",
            { key: `${turn.number} ${turn.trait} ${turn.view}` },
            h("b", null, `${turn.number}, ${viewFrom(turn.view)}: ${traitOf(turn.trait, card.class.id)?.title ?? turn.trait}`),
            h("span", null, stepSaid(turn, card.class.id)),
            h("i", null, turn.margin === 0 ? "makes it level" : "turns it"),
          ),
        ),
      ),
      left <= 0
        ? null
        : h(
            "button",
            {
              class: "more-traits",
              "aria-expanded": String(this.#showsAllSteps),
              onclick: () => {
                this.#showsAllSteps = !this.#showsAllSteps;
                this.repaint();
              },
            },
            this.#showsAllSteps ? "Fewer steps" : counted(left, "more step"),
          ),
    );
  }

  /** @param {Placing | null} placing @param {Pair | null} pair */
  #next(placing, pair) {
    const at = pair === null || placing === null ? -1 : placing.placing.indexOf(pair.lower);
    const [upper, lower] = at === -1 ? [] : placing?.placing.slice(at, at + 2) ?? [];
    if (upper === undefined || lower === undefined) return h("button", { disabled: true }, "Last pair");
    const name = `${upper} over ${lower}`;
    return h("button", { "aria-label": `Next pair, ${name}`, onclick: () => go({ pair: [upper, lower] }) }, `${name} ›`);
  }
}

/** @param {string | null} leader */
function led(leader) {
  return leader === null ? "they would be level" : `${leader} would lead`;
}
