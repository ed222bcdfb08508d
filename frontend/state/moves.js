// @ts-check
/**
 * What moved in the suggested placing, told to a screen reader in a few words once it has come to rest: whoever sees the
 * page goes and looks, whoever hears it would have to ask after each tap.
 */

import { ordinal } from "../lib/phrases.js";
import { tell } from "./voice.js";

const RESTS_AFTER_MS = 3000;
const MOST_TOLD = 2;

/** The order told last, by seat and class; the first horses are no news. @type {Map<string, readonly string[]>} */
const told = new Map();
/** @type {ReturnType<typeof setTimeout> | undefined} */
let timer;

/** @param {string} name of seat and class @param {readonly string[]} order */
export function tellMoves(name, order) {
  const before = told.get(name) ?? [];
  clearTimeout(timer);
  if (before.length === 0) {
    told.set(name, order);
    return;
  }
  timer = setTimeout(() => {
    const moves = movesOf(before, order);
    told.set(name, order);
    if (moves.length > 0) tell(`Suggested: ${moves.slice(0, MOST_TOLD).join("; ")}.`);
  }, RESTS_AFTER_MS);
}

/** @param {readonly string[]} before @param {readonly string[]} after */
function movesOf(before, after) {
  return after.flatMap((number, place) => {
    const was = before.indexOf(number);
    if (was < 0) return `${number} now stands ${ordinal(place + 1)}`;
    const passed = after.slice(place + 1).find((other) => before.includes(other) && before.indexOf(other) < was);
    return passed === undefined ? [] : `${number} now stands over ${passed}`;
  });
}
