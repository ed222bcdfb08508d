// @ts-check
/**
 * What a tap on a trait means: one tap one degree, more taps more, never less; and one that takes it back.
 *
 * @typedef {import("./card.js").Card} Card
 * @typedef {import("./ring.js").Stop} Stop whose view is the one the mark is seen from
 * @typedef {import("../engine/shapes.js").Trait} Trait
 */

import { answer } from "./answer.js";
import { takesMarks, write } from "./ring.js";
import { markSaid } from "./telling.js";

const MOST = 3;
/** The weight of a serious fault. */
export const SERIOUS = 4;

/** One tap on an end of a trait; on the other end it starts anew. @param {Card} card @param {Stop} stop @param {Trait} trait @param {1 | -1} end */
export function tapTrait(card, stop, trait, end) {
  const now = card.degree(stop.number, trait.key, stop.view);
  // Once more, by a wet or hurried thumb, loses nothing.
  if (now * end === MOST) answer(`${stop.number}: ${markSaid(trait, now)}, is the most.`);
  else mark(card, stop, trait, now * end > 0 ? now + end : end);
}

/** Take a mark back, whatever its degree. @param {Card} card @param {Stop} stop @param {Trait} trait */
export function takeMarkBack(card, stop, trait) {
  mark(card, stop, trait, 0);
}

/** @param {Card} card @param {Stop} stop @param {Trait} trait @param {number} degree 0 for none */
function mark(card, { number, view }, trait, degree) {
  if (!takesMarks(card, number)) return;
  const words = `${number}: ${markSaid(trait, degree)}`;
  const said = degree < 0 && trait.weight === SERIOUS ? `${words}. A serious fault.` : words;
  write(card, [{ kind: "mark", number, trait: trait.key, view, degree: degree || null }], words, said);
}
