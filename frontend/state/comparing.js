// @ts-check
/**
 * Two horses side by side, and who is said to stand over whom: direct calls, written and taken back.
 *
 * @typedef {import("./card.js").Card} Card
 * @typedef {import("../engine/placing.js").Placing} Placing
 * @typedef {{ winner: string, loser: string }} Call
 */

import { go, place } from "./place.js";
import { neighbor, openNow, takes, write } from "./ring.js";

/** The two horses and the pass that are open. @param {Card} card */
export function openPair(card) {
  const [left, right] = place().pair ?? [];
  const horse = left === undefined ? null : card.horse(left);
  const other = right === undefined ? null : card.horse(right);
  const isTwo = horse !== null && other !== null && horse.number !== other.number;
  return { two: isTwo ? [horse, other] : null, pass: openNow(card).pass };
}

/** Put two horses side by side; where only one is named, its neighbor in line beside it. @param {Card} card @param {string} number @param {string} [other] */
export function openCompare(card, number, other = neighbor(card, number, -1) ?? neighbor(card, number, 1) ?? number) {
  go({ page: "compare", class: card.class.id, pair: [number, other] });
}

/** Say that one stands over the other; said again, it is taken back. @param {Card} card @param {Call} call */
export function tapCall(card, { winner, loser }) {
  if (!takes(card, "over")) return;
  const isTaken = card.winner(winner, loser) === winner;
  const words = isTaken ? `call ${winner} over ${loser} taken back` : `${winner} over ${loser}`;
  const said = isTaken ? `Taken back: ${winner} over ${loser}.` : `${words}, by direct call.`;
  write(card, [{ kind: "over", pair: [winner, loser], winner: isTaken ? null : winner }], words, said);
}

/** The calls that go round in a circle of horses. @param {Placing} placing @param {readonly string[]} circle @returns {Call[]} */
export function callsOfCircle(placing, circle) {
  return placing.calls_set_aside.filter(({ winner, loser }) => circle.includes(winner) && circle.includes(loser));
}

/** The horses of a circle as the calls lead round it, as far as one can follow them. @param {readonly Call[]} calls @param {readonly string[]} circle */
export function roundOf(calls, circle) {
  const [first] = circle;
  /** @type {string[]} */
  const round = first === undefined ? [] : [first];
  for (let here = first; here !== undefined; ) {
    const winner = here;
    here = calls.find((call) => call.winner === winner && !round.includes(call.loser))?.loser;
    if (here !== undefined) round.push(here);
  }
  return [...round, ...circle.filter((number) => !round.includes(number))];
}
