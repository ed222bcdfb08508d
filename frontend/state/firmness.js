// @ts-check
/**
 * How firm a pair stands: the share of weighings in words, who leads by each criterion, and the single steps that would
 * turn it. It shows; it advises nothing.
 *
 * @typedef {import("./card.js").Card} Card
 * @typedef {import("../engine/placing.js").Pair} Pair
 * @typedef {import("../engine/placing.js").Placing} Placing
 * @typedef {import("../engine/turning.js").Turn} Turn
 */

import { turningSteps } from "../engine/turning.js";
import { degreeWord } from "../lib/phrases.js";
import { traitOf } from "./telling.js";

const ALL_WEIGHINGS = 1000;
const HALF_OF_WEIGHINGS = 500;

/** How firm a pair stands that rests on the notes. @param {Pair} pair */
export function firmness({ basis, one_step, share }) {
  if (!isByMarks({ basis })) return "firm";
  if (one_step) return "thin";
  if (share === ALL_WEIGHINGS) return "firm";
  return share < HALF_OF_WEIGHINGS ? "against" : "turns";
}

/** Whether the marks decide the pair. @param {{ basis: string }} pair */
export function isByMarks({ basis }) {
  return basis === "notes" || basis === "even";
}

/** Whether the weighings differ about the pair. @param {Pair} pair */
export function isOpen({ share, basis, decided_by }) {
  return share > 0 && share < ALL_WEIGHINGS && (basis !== "even" || decided_by !== null);
}

/** Under how many of 100 weighings the upper horse leads; never all or none of them where it is not so. @param {number} share_per_mille */
export function inHundred(share_per_mille) {
  const rounded = Math.round(share_per_mille / 10);
  if (share_per_mille > 0 && rounded === 0) return 1;
  return share_per_mille < ALL_WEIGHINGS && rounded === 100 ? 99 : rounded;
}

/** The share of weighings in words. @param {Pair} pair */
export function weighings({ upper, lower, share, basis, decided_by }) {
  if (basis === "even" && decided_by === null) return `${upper} and ${lower} are level under every weighing.`;
  if (share === ALL_WEIGHINGS) return `${upper} leads under every weighing that keeps the criteria in their order.`;
  if (share === 0) return `${upper} leads under no weighing that keeps the criteria in their order.`;
  return `${upper} leads under ${inHundred(share)} of 100 weighings that keep the criteria in their order.`;
}

/**
 * Who leads by each criterion, in their order, and who would at the two ends of all weighings: the first criterion
 * alone, and all alike. A number, or null where they are level.
 * @param {Placing} placing
 * @param {Pair} pair
 */
export function leaders(placing, { upper, lower }) {
  /** @param {string} number */
  const scores = (number) => placing.totals.find((each) => each.number === number)?.criteria ?? [];
  const below = scores(lower);
  const differences = scores(upper).map(({ criterion, score }, place) => ({
    criterion,
    difference: score - (below[place]?.score ?? 0),
  }));
  /** @param {number} difference */
  const leader = (difference) => (difference > 0 ? upper : difference < 0 ? lower : null);
  const sum = differences.reduce((so_far, { difference }) => so_far + difference, 0);
  return {
    byCriterion: differences.map(({ criterion, difference }) => ({ criterion, leader: leader(difference) })),
    ifFirstAlone: leader(differences[0]?.difference ?? 0),
    ifAllAlike: leader(sum),
  };
}

/** @type {WeakMap<Card, Map<string, Turn[]>>} */
const known = new WeakMap();

/** The single steps that would even or turn a pair, the worst first. @param {Card} card @param {Pair} pair @returns {Turn[]} */
export function turns(card, { upper, lower }) {
  let ofCard = known.get(card);
  if (ofCard === undefined) known.set(card, (ofCard = new Map()));
  const name = `${upper} ${lower}`;
  let found = ofCard.get(name);
  if (found === undefined) ofCard.set(name, (found = turningSteps(card.file, card.standard, upper, lower)));
  return found;
}

/** A step in the words of the trade. @param {Turn} turn @param {string} classId */
export function stepSaid({ trait, before, after }, classId) {
  const found = traitOf(trait, classId);
  const plainer = Math.abs(before) > Math.abs(after) ? before : after;
  const end = (plainer < 0 ? found?.faulty : found?.good) ?? trait;
  return `from ${degreeSaid(before)} to ${degreeSaid(after)}: ${end}`;
}

/** @param {number} degree */
function degreeSaid(degree) {
  return degree === 0 ? "no mark" : degreeWord(degree);
}
