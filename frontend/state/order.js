// @ts-check
/**
 * The judge's own order of a class: read, typed, changed by one horse at a time. Each change is a note of its own.
 *
 * @typedef {import("./card.js").Card} Card
 * @typedef {import("../engine/placing.js").Pair} Pair
 * @typedef {import("../engine/placing.js").Placing} Placing
 * @typedef {import("../engine/shapes.js").Note} Note
 */

import { isEmpty } from "../engine/merging.js";
import { inNaturalOrder } from "../engine/numbers.js";
import { capital, listed } from "../lib/phrases.js";
import { numbersIn } from "./entering.js";
import { write } from "./ring.js";

/** Notes that may move a horse in the suggestion. */
const MAY_MOVE = ["mark", "over", "ruling", "lameness", "presence", "entry"];

/** The own order in force. @param {Card} card @returns {(Note & { numbers: string[] }) | null} */
export function ownOrder(card) {
  const note = card.used(["order", card.name]);
  return note === null || isEmpty(note) ? null : /** @type {Note & { numbers: string[] }} */ (note);
}

/** @param {Card} card @param {readonly string[]} numbers @param {string} words what was done */
export function setOrder(card, numbers, words) {
  write(card, [{ kind: "order", numbers: numbers.length === 0 ? null : [...numbers] }], words, capital(words));
}

/** The horses whose notes changed since the order was set. @param {Card} card @param {Note} order */
export function changedSince(card, order) {
  const numbers = new Set();
  for (const { used } of card.slots.values()) {
    if (used.at > order.at && MAY_MOVE.includes(used.kind)) for (const each of used.pair ?? [used.number]) numbers.add(each);
  }
  return inNaturalOrder(/** @type {string[]} */ ([...numbers]));
}

/** The horses that are not in an order. @param {Card} card @param {readonly string[]} order */
export function leftOut(card, order) {
  return card.horses.map(({ number }) => number).filter((number) => !order.includes(number));
}

/** Why a horse is not placed by the notes; empty where it is. @param {Placing} placing @param {string} number */
export function standingOf({ unplaced }, number) {
  return unplaced.find((each) => each.number === number)?.standing ?? "";
}

/** What two horses are to each other by the notes, whichever stands above. @param {Placing} placing @param {string} a @param {string} b @returns {Pair | null} */
export function pairOf(placing, a, b) {
  return placing.pairs.find(({ upper, lower }) => (upper === a && lower === b) || (upper === b && lower === a)) ?? null;
}

/**
 * A typed order: numbers with anything between them.
 * @param {Card} card
 * @param {string} typed
 * @returns {{ numbers: string[], problem: string | null }}
 */
export function readOrder(card, typed) {
  /** @type {string[]} */
  const numbers = [];
  /** @type {string[]} */
  const unknown = [];
  /** @type {string[]} */
  const twice = [];
  for (const each of numbersIn(typed)) {
    const horse = card.horse(each);
    if (horse === null) unknown.push(each);
    else (numbers.includes(horse.number) ? twice : numbers).push(horse.number);
  }
  const problem = [
    unknown.length === 0 ? "" : `${listed(unknown)} ${unknown.length === 1 ? "is" : "are"} not in this class.`,
    twice.length === 0 ? "" : `${listed(twice)} ${twice.length === 1 ? "stands" : "stand"} twice.`,
  ].filter((each) => each);
  return { numbers, problem: problem.join(" ") || null };
}
