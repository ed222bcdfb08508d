// @ts-check
/**
 * What the notes say between two horses that stand one above the other: who stands over whom, on what, how firmly.
 * Usage: `between(card, placing, upper, lower, isOpened, toggle)`; a disclosure button (ARIA expanded) and its sentence.
 */

import { listed } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";
import { openCompare } from "../../state/comparing.js";
import { firmness, isByMarks, isOpen, weighings } from "../../state/firmness.js";
import { pairOf } from "../../state/order.js";
import { go } from "../../state/place.js";
import { criterionTitle, traitOf } from "../../state/telling.js";
import { wedge } from "./wedge.js";

/** @typedef {import("../../engine/placing.js").Placing} Placing */
/** @typedef {import("../../engine/placing.js").Pair} Pair */
/** @typedef {import("../../state/card.js").Card} Card */

const TRAITS_NAMED = 2;

/**
 * @param {Card} card
 * @param {Placing} placing
 * @param {string} upper as they stand on the page, by the notes or by the judge's own order
 * @param {string} lower
 * @param {boolean} isOpened
 * @param {(event: Event) => void} toggle
 */
export function between(card, placing, upper, lower, isOpened, toggle) {
  const pair = pairOf(placing, upper, lower);
  if (pair === null) {
    const apart = [upper, lower].filter((number) => !placing.placing.includes(number));
    const said = `${listed(apart)} ${apart.length === 1 ? "is" : "are"} not placed by the notes`;
    return h("p", { class: "pair none", "data-basis": "rule" }, `${upper} over ${lower} by your order: ${said}.`);
  }
  const isAgainst = pair.upper !== upper;
  const { word, rest } = decided(card, pair);
  const tag = isAgainst ? "against" : pair.basis === "even" ? "tie" : firmness(pair) === "thin" ? "close" : null;
  return h(
    "div",
    { class: "pair", "data-basis": pair.basis, "data-firm": isAgainst ? "against" : firmness(pair) },
    h(
      "button",
      { "aria-expanded": String(isOpened), onclick: toggle },
      wedge(pair.share),
      h(
        "span",
        { class: "words" },
        h("b", null, `${isAgainst ? "Notes: " : ""}${pair.upper} over ${pair.lower}${word}`),
        rest === "" ? null : h("span", null, rest),
      ),
      tag === null ? null : h("i", { class: "tag" }, tag),
    ),
    isOpened ? why(card, pair) : null,
  );
}

/** @param {Card} card @param {Pair} pair */
function why(card, pair) {
  /** @type {[string, string]} */
  const two = [pair.upper, pair.lower];
  return h(
    "div",
    { class: "why" },
    h("p", { class: "sentence" }, pair.sentence, isByMarks(pair) && isOpen(pair) ? ` ${weighings(pair)}` : null),
    h(
      "div",
      { class: "choices" },
      h("button", { onclick: () => openCompare(card, ...two) }, "Compare"),
      h("button", { onclick: () => go({ page: "pair", class: card.class.id, pair: two }) }, "How firm?"),
      h("button", { onclick: () => go({ page: "reasons", class: card.class.id, pair: two }) }, "Reasons"),
    ),
  );
}

/** @param {Card} card @param {Pair} pair */
function decided(card, pair) {
  /** @param {string | null} criterion */
  const on = (criterion) => criterionTitle(criterion ?? "", card.class.id).toLowerCase();
  switch (pair.basis) {
    case "rule":
      return { word: " by rule", rest: "" };
    case "call":
      return {
        word: " by direct call",
        rest: pair.margin < 0 ? "the notes would have it the other way round" : (pair.chain ?? []).join(" over "),
      };
    case "carried":
      return { word: ", carried by a call", rest: "a direct call raised another horse" };
    case "even":
      if (pair.decided_by === null) return { word: ": even", rest: "nothing noted separates them: settle by eye" };
      return { word: ": level", rest: `then ${on(pair.decided_by)}` };
    default:
      return { word: ` on ${on(pair.decided_by)}`, rest: traits(card, pair) };
  }
}

/** The traits behind it, a fault with the horse that shows it, and how firm it is. @param {Card} card @param {Pair} pair */
function traits(card, pair) {
  const named = pair.for
    .filter((each) => each.criterion === pair.decided_by)
    .slice(0, TRAITS_NAMED)
    .map(({ trait }) => traitOf(trait, card.class.id));
  const merits = named.flatMap((trait) => (trait?.good ? trait.title.toLowerCase() : []));
  const faults = named.flatMap((trait) => (trait && !trait.good ? `${pair.lower}: ${trait.faulty}` : []));
  const firm = { firm: "", turns: "turns on the weighing", thin: "one step could turn it", against: "most weighings differ" };
  const said = named.length === 0 ? ["taken as a whole"] : [listed(merits), ...faults];
  return [...said, firm[firmness(pair)]].filter((each) => each).join("; ");
}
