// @ts-check
/**
 * Oral reasons for reading aloud: for the first four of the placing or for one pair, long or short, with the time they
 * take. The words are the engine's.
 *
 * @typedef {import("./card.js").Card} Card
 * @typedef {import("../engine/oral.js").Reasons} Reasons
 * @typedef {import("../engine/oral.js").Statement} Statement
 * @typedef {import("../engine/placing.js").Placing} Placing
 */

import { oralReasons, spokenOrder, wordsSpoken } from "../engine/oral.js";
import { session } from "./session.js";

const TOP = 4;

/** @type {WeakMap<Placing, Map<string, Reasons>>} */
const known = new WeakMap();

/**
 * The numbers reasons are given for, as they are placed: the pair asked for, or else the first four.
 * @param {Placing} placing
 * @param {readonly string[] | null} pair
 */
export function spokenNumbers(placing, pair) {
  const order = spokenOrder(placing);
  const two = order.filter((number) => pair?.includes(number));
  return two.length === 2 ? two : order.slice(0, TOP);
}

/** @param {Card} card @param {Placing} placing of this card @param {readonly string[]} numbers @returns {Reasons | null} */
export function reasonsFor(card, placing, numbers) {
  if (numbers.length === 0) return null;
  let ofPlacing = known.get(placing);
  if (ofPlacing === undefined) known.set(placing, (ofPlacing = new Map()));
  const name = numbers.join(" ");
  let reasons = ofPlacing.get(name);
  if (reasons === undefined) {
    ofPlacing.set(name, (reasons = oralReasons(card.file, card.standard, session.day?.words, placing, numbers)));
  }
  return reasons;
}

/** How long the statements take, at the pace the engine reckons with. @param {Reasons} reasons @param {readonly Statement[]} statements */
export function secondsToSay(reasons, statements) {
  const count = statements.reduce((sum, { text }) => sum + wordsSpoken(text), 0);
  return reasons.words === 0 ? 0 : Math.ceil((count * reasons.seconds) / reasons.words);
}

/** "about 1 min 50 s", "about 20 s": to the next ten seconds. @param {number} seconds */
export function aboutTime(seconds) {
  const tens = Math.max(10, Math.ceil(seconds / 10) * 10);
  const minutes = Math.floor(tens / 60);
  const rest = tens % 60;
  return `about ${[minutes > 0 ? `${minutes} min` : "", rest > 0 ? `${rest} s` : ""].filter((each) => each).join(" ")}`;
}
