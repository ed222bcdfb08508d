// @ts-check
/**
 * The looks worth taking, nearest the next walk first: those that touch the places before the rest, then as one comes
 * to them on the way from the open horse, down the line and on into the next pass.
 *
 * @typedef {import("./card.js").Card} Card
 * @typedef {import("../engine/placing.js").Pair} Pair
 * @typedef {import("../engine/placing.js").Placing} Placing
 * @typedef {{ number: string, view: string, pairs: Pair[] }} Look one stop, with every pair it could settle
 */

import { lineOf } from "./line.js";
import { passesOf, passOf } from "./passes.js";
import { openNow } from "./ring.js";

/** @param {Card} card @param {Placing} placing @returns {Look[]} */
export function nearestLooks(card, placing) {
  /** @type {Map<string, Look>} */
  const looks = new Map();
  for (const { number, view, pair } of placing.look_again) {
    const found = placing.pairs.find(({ upper, lower }) => upper === pair[0] && lower === pair[1]);
    if (found === undefined) continue;
    const look = looks.get(`${number} ${view}`);
    if (look === undefined) looks.set(`${number} ${view}`, { number, view, pairs: [found] });
    else look.pairs.push(found);
  }
  const placed = new Set(placing.placing.slice(0, card.class.places));
  /** @param {Look} look */
  const isBelowPlaces = (look) => !look.pairs.some(({ upper }) => placed.has(upper));
  const walk = walkFrom(card);
  return [...looks.values()].sort((a, b) => Number(isBelowPlaces(a)) - Number(isBelowPlaces(b)) || walk(a) - walk(b));
}

/** How close a pair is, in words. @param {Pair} pair */
export function closeness({ margin, one_step }) {
  if (margin === 0) return "level now";
  return one_step ? "one step apart" : "a clear mark apart";
}

/** How many stops away a look is on the walk. @param {Card} card */
function walkFrom(card) {
  const passes = passesOf(card.standard);
  const numbers = lineOf(card).map((horse) => horse.number);
  const { horse, view } = openNow(card);
  /** @param {string} number @param {string} from */
  const stopAt = (number, from) => passes.indexOf(passOf(card.standard, from)) * numbers.length + numbers.indexOf(number);
  const here = stopAt(horse?.number ?? "", view);
  const all = passes.length * numbers.length;
  return (/** @type {Look} */ look) => (stopAt(look.number, look.view) - here + all) % all;
}
