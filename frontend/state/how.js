// @ts-check
/**
 * The class that explains how a placing is worked out: a small class file, placed by the engine itself, with the
 * figures on the way. Whatever the engine does, the explanation shows.
 *
 * @typedef {import("../engine/placing.js").ClassFile} ClassFile
 * @typedef {import("../engine/placing.js").Placing} Placing
 * @typedef {import("../engine/sheets.js").Scheme} Scheme
 * @typedef {import("../engine/sheets.js").Sheet} Sheet
 * @typedef {import("../engine/shapes.js").Standard} Standard
 * @typedef {{ title: string, text: string }[]} Parts
 * @typedef {{ intro: string, judges: Parts, title: string, figures: Parts, whole: string }} Told
 * @typedef {{ file: ClassFile, standard: Standard, placing: Placing, scheme: Scheme, sheets: Sheet[], told: Told }} Worked
 *   sheets in placing order
 */

import { merge } from "../engine/merging.js";
import { place } from "../engine/placing.js";
import { cardFacts, schemeOf, sheetOf } from "../engine/sheets.js";
import { IMPRESSION } from "../engine/weighing.js";
import { asset } from "../offline/basics.js";
import { session } from "./session.js";

const IN_FULL = IMPRESSION[0] ?? 1;

/** @returns {Promise<Worked>} */
export async function workedClass() {
  const [file, told] = await Promise.all([asset("/how/class.json"), asset("/how/words.json")]);
  const standard = /** @type {Standard} */ (file.class.standard);
  const placing = place(file, standard, session.day?.words);
  const scheme = schemeOf(standard, file.class.sexes);
  const facts = cardFacts(merge(file.entries, file.notes, file.card));
  return { file, standard, placing, scheme, sheets: placing.placing.map((number) => sheetOf(number, facts, scheme)), told };
}

/** A whole number of parts as whole and fraction: "10 2/3", "−4", "0". @param {number} parts @param {number} [of] sixtieths, where nothing is said */
export function figure(parts, of = IN_FULL) {
  const size = Math.abs(parts);
  const whole = Math.floor(size / of);
  const part = size % of === 0 ? "" : fraction(size % of, of);
  return `${parts < 0 ? "−" : ""}${whole === 0 && part !== "" ? part : [whole, part].filter((each) => each !== "").join(" ")}`;
}

/** In lowest terms: "11/39". @param {number} above @param {number} below */
export function fraction(above, below) {
  const common = greatestDivisor(above, below);
  return `${above / common}/${below / common}`;
}

/** Strengths as they add up: "8 + 4/2 + 2/3". @param {readonly number[]} strengths */
export function addedUp(strengths) {
  return [...strengths]
    .sort((a, b) => b - a)
    .slice(0, IMPRESSION.length)
    .map((strength, rank) => (rank === 0 ? strength : `${strength}/${rank + 1}`))
    .join(" + ");
}

/**
 * What the criteria say between two horses, under the corners of all weighings: the first alone, the first two alike,
 * and so on to all alike. In whole parts, of which one unit has `of`.
 * @param {Scheme} scheme
 * @param {Sheet} upper
 * @param {Sheet} lower
 */
export function corners(scheme, upper, lower) {
  const of = scheme.scale / upper.scores.length; // divisible by sixty and by every count of criteria
  let so_far = 0;
  const values = upper.scores.map((score, place) => {
    so_far += score - (lower.scores[place] ?? 0);
    return (so_far * (of / IN_FULL)) / (place + 1);
  });
  return { values, of };
}

/** @param {number} a @param {number} b @returns {number} */
function greatestDivisor(a, b) {
  return b === 0 ? a : greatestDivisor(b, a % b);
}
