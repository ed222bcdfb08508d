// @ts-check
/**
 * What would turn a pair: the single steps on one trait in one view that would even it or turn it. The twin of
 * `engine/turning.py`. It is no advice to mark otherwise, and so it stands away from the marking.
 *
 * @typedef {import("./placing.js").ClassFile} ClassFile
 * @typedef {import("./shapes.js").Standard} Standard
 * @typedef {{ number: string, trait: string, view: string, before: number, after: number, margin: number }} Turn
 */

import { merge } from "./merging.js";
import { cardFacts, schemeOf, sheetOf } from "./sheets.js";
import { Changes, DOWN, UP, steps } from "./steps.js";

/**
 * The steps after which the upper horse no longer leads by its marks, the worst for it first; 0 stands for no degree.
 * @param {ClassFile} classFile
 * @param {Standard} standard
 * @param {string} upper
 * @param {string} lower
 * @returns {Turn[]}
 */
export function turningSteps(classFile, standard, upper, lower) {
  const facts = cardFacts(merge(classFile.entries, classFile.notes, classFile.card));
  const scheme = schemeOf(standard, classFile.class.sexes);
  const above = sheetOf(upper, facts, scheme);
  const below = sheetOf(lower, facts, scheme);
  const margin = above.total - below.total;
  /** @type {Turn[]} */
  const found = [];
  for (const [sheet, direction] of /** @type {[import("./sheets.js").Sheet, number][]} */ ([
    [above, DOWN],
    [below, UP],
  ])) {
    for (const { trait, view, before, after, change } of steps(scheme, sheet, direction, new Changes(scheme, sheet))) {
      const left = margin - direction * change;
      if (left <= 0 && change !== 0) found.push({ number: sheet.number, trait, view, before, after, margin: left });
    }
  }
  return found.sort((a, b) => a.margin - b.margin);
}
