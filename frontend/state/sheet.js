// @ts-check
/**
 * The traits of a pass as they hang on the plumb line, each row with the view its marks are seen from: those to show
 * first, and the rest.
 *
 * Standing, the rows are grouped by criterion. Coming and going they are grouped by view, for the view is what a mark
 * there says besides; a trait seen from several of them stands once among the first, from the first of these.
 *
 * @typedef {import("../engine/shapes.js").Standard} Standard
 * @typedef {import("../engine/shapes.js").Trait} Trait
 * @typedef {import("./passes.js").Pass} Pass
 * @typedef {{ trait: Trait, view: string }} Row
 * @typedef {{ title: string, rows: Row[] }} Group
 * @typedef {{ first: Group[], rest: Group[], more: number }} TraitSheet
 */

import { judgedTraits } from "../engine/standard.js";
import { capital } from "../lib/phrases.js";
import { GAITS } from "./passes.js";
import { viewFrom } from "./telling.js";

/** What a thumb reaches without scrolling. */
const FIRST_AT_MOST = 8;
/** However much there is to say of the way of going, some of the legs stays in sight. */
const LEGS_AT_LEAST = 2;

/**
 * @param {Standard} standard
 * @param {readonly string[]} sexes of the class
 * @param {Pass} pass
 * @returns {TraitSheet}
 */
export function traitSheet(standard, sexes, { views }) {
  const judged = judgedTraits(standard, sexes).map(({ trait }) => trait);
  const rows = views.flatMap((view) => judged.filter((trait) => trait.views.includes(view)).map((trait) => ({ trait, view })));
  const first = rows.length <= FIRST_AT_MOST ? rows : firstOf(rows, views);
  /** @param {Row[]} some */
  const grouped = (some) => (views.length > 1 ? byView(views, some) : byCriterion(standard, some));
  const rest = rows.filter((row) => !first.includes(row));
  return { first: grouped(rows.filter((row) => first.includes(row))), rest: grouped(rest), more: rest.length };
}

/** @param {Row[]} rows @param {readonly string[]} views @returns {Row[]} */
function firstOf(rows, views) {
  const once = rows.filter((row, place) => rows.findIndex(({ trait }) => trait === row.trait) === place);
  /** One of each view in turn. @param {string[]} some */
  const inTurn = (some) => {
    const named = some.map((view) => leading(once.filter((row) => row.view === view)));
    const longest = Math.max(0, ...named.map((list) => list.length));
    return Array.from({ length: longest }, (_, turn) => named.flatMap((list) => list[turn] ?? [])).flat();
  };
  const legs = inTurn(views.filter((view) => !GAITS.includes(view)));
  const going = inTurn(views.filter((view) => GAITS.includes(view)));
  const goingAtMost = FIRST_AT_MOST - Math.min(LEGS_AT_LEAST, legs.length);
  return [...going.slice(0, goingAtMost), ...legs].slice(0, FIRST_AT_MOST);
}

/** Those named as first; where none is, the standard's own order decides. @param {Row[]} rows */
function leading(rows) {
  const named = rows.filter(({ trait }) => trait.first === true);
  return named.length > 0 ? named : rows;
}

/** @param {Standard} standard @param {Row[]} rows @returns {Group[]} */
function byCriterion(standard, rows) {
  return standard.criteria.flatMap(({ title, traits }) => {
    const own = rows.filter(({ trait }) => traits.includes(trait));
    return own.length === 0 ? [] : [{ title, rows: own }];
  });
}

/** @param {readonly string[]} views @param {Row[]} rows @returns {Group[]} */
function byView(views, rows) {
  return views.flatMap((view) => {
    const own = rows.filter((row) => row.view === view);
    return own.length === 0 ? [] : [{ title: capital(viewFrom(view)), rows: own }];
  });
}
