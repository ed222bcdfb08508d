// @ts-check
/**
 * The traits of a view as they hang on the plumb line: grouped by criterion, those to show first, and the rest.
 *
 * @typedef {import("../engine/shapes.js").Standard} Standard
 * @typedef {import("../engine/shapes.js").Trait} Trait
 * @typedef {{ criterion: string, title: string, traits: Trait[] }} Group
 * @typedef {{ first: Group[], rest: Group[], more: number }} Sheet
 */

import { judgedTraits } from "../engine/standard.js";

/** What a thumb reaches without scrolling. */
const FIRST_AT_MOST = 8;

/**
 * @param {Standard} standard
 * @param {readonly string[]} sexes of the class
 * @param {string} view
 * @returns {Sheet}
 */
export function sheetOf(standard, sexes, view) {
  const judged = judgedTraits(standard, sexes).filter(({ trait }) => trait.views.includes(view));
  const named = judged.filter(({ trait }) => trait.first === true);
  // Few enough: all at once. None named as first: the standard's own order decides.
  const first = judged.length <= FIRST_AT_MOST ? judged : named.length > 0 ? named : judged.slice(0, FIRST_AT_MOST);
  const rest = judged.filter((each) => !first.includes(each));
  return { first: grouped(standard, first), rest: grouped(standard, rest), more: rest.length };
}

/** @param {Standard} standard @param {{ place: number, trait: Trait }[]} judged @returns {Group[]} */
function grouped(standard, judged) {
  return standard.criteria.flatMap(({ key, title }, place) => {
    const traits = judged.filter((each) => each.place === place).map((each) => each.trait);
    return traits.length === 0 ? [] : [{ criterion: key, title, traits }];
  });
}
