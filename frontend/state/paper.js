// @ts-check
/**
 * One's own card on paper: a line a horse, with its place, its number, what it is known by, and what is noted of it.
 *
 * @typedef {import("./card.js").Card} Card
 * @typedef {import("../engine/placing.js").Placing} Placing
 */

import { moment, ordinal } from "../lib/phrases.js";
import { leftOut, ownOrder } from "./order.js";
import { LEFT_OUT, saidBy, standingSaid, viewTitle } from "./telling.js";

/** The lines of a card, in its order; below them who is not placed. @param {Card} card @param {Placing} placing @returns {string[][]} */
export function paperLines(card, placing) {
  const order = orderOf(card) ?? placing.placing;
  return [...order, ...leftOut(card, order)].map((number, place) => [
    place < order.length ? `${ordinal(place + 1)}${placing.last_by_rule.includes(number) ? ", last by rule" : ""}${card.isAbsent(number) ? ", absent by the gate" : ""}` : standingSaid(placing.unplaced.find((each) => each.number === number) ?? LEFT_OUT),
    number,
    card.horse(number)?.identification ?? "",
    noted(card, number),
  ]);
}

/** Whose order it is, and whether it is signed. @param {Card} card */
export function paperSaid(card) {
  if (card.signature !== null) return `Signed ${moment(card.signature.at)}.`;
  return `${orderOf(card) === null ? "Suggested from the notes" : "Own order"}. Not signed.`;
}

/** The order on the card, or null where it is only suggested. @param {Card} card */
export function orderOf(card) {
  return card.signature?.numbers ?? ownOrder(card)?.numbers ?? null;
}

/** Marks and remarks of a horse in the standard's order; then the calls, each by the card or with who observed it. @param {Card} card @param {string} number */
function noted(card, number) {
  const traits = card.standard.criteria.flatMap((criterion) => criterion.traits);
  const marks = traits.flatMap(({ key, views }) =>
    views.flatMap((view) => {
      const mark = card.used(["mark", card.name, number, key, view]);
      return mark?.degree ? [`${saidBy(mark)} (${viewTitle(view).toLowerCase()})`] : [];
    }),
  );
  const calls = card.calls(number).map((call) => `${saidBy(call)}, an observation, no diagnosis`);
  return [...marks, ...card.remarks(number).map(saidBy), ...calls].join("; ");
}
