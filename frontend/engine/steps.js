// @ts-check
/**
 * What one more step, or one more look, could do to a horse's total. The twin of `engine/steps.py`. Steps show how
 * firm a pair is; they are no advice to mark otherwise.
 *
 * @typedef {import("./sheets.js").Scheme} Scheme
 * @typedef {import("./sheets.js").Sheet} Sheet
 * @typedef {{ trait: string, view: string, before: number, after: number, change: number }} Step
 */

import { at } from "./sheets.js";
import { isFaultOnly } from "./standard.js";
import { impressionAfter, plainest } from "./weighing.js";

export const UP = 1;
export const DOWN = -1;
const PLAINEST_DEGREE = 3;
const CLEAR = 2;
const NONE = 0;

/** What changes of a trait's strength do to one horse's total; each is worked out once. */
export class Changes {
  /** @param {Scheme} scheme @param {Sheet} sheet */
  constructor(scheme, sheet) {
    this.scheme = scheme;
    this.sheet = sheet;
    /** @type {Map<number, number>} */
    this.known = new Map();
  }

  /**
   * The change of T when the trait at this place comes to these counts.
   * @param {number} place
   * @param {number} good
   * @param {number} faulty
   */
  ofTrait(place, good, faulty) {
    const { scheme, sheet } = this;
    const { weight } = at(scheme.traits, place);
    const criterion = at(scheme.criterionOf, place);
    return (
      this.ofEnd(criterion, true, at(sheet.good, place), weight * good) -
      this.ofEnd(criterion, false, at(sheet.faulty, place), weight * faulty)
    );
  }

  /**
   * @param {number} criterion
   * @param {boolean} isGood
   * @param {number} old
   * @param {number} next
   */
  ofEnd(criterion, isGood, old, next) {
    if (old === next) return 0;
    // Strengths are weight x count, at most 4 x 9: two of them and the end fit one small integer.
    const key = ((criterion * 2 + (isGood ? 1 : 0)) * 64 + old) * 64 + next;
    let change = this.known.get(key);
    if (change === undefined) {
      const { scheme, sheet } = this;
      const ends = at(isGood ? sheet.goodEnds : sheet.faultyEnds, criterion);
      const part = at(isGood ? sheet.goodParts : sheet.faultyParts, criterion);
      change = at(scheme.weights, criterion) * (impressionAfter(ends, old, next) - part);
      this.known.set(key, change);
    }
    return change;
  }
}

/** @type {ReadonlyMap<string, number>} */
const NO_DEGREES = new Map();

/**
 * Every single step of one horse in one direction (1 up, -1 down), in the standard's order, view by view.
 * @param {Scheme} scheme
 * @param {Sheet} sheet
 * @param {number} direction
 * @param {Changes} changes
 * @returns {Step[]}
 */
export function steps(scheme, sheet, direction, changes) {
  /** @type {Step[]} */
  const found = [];
  scheme.traits.forEach((trait, place) => {
    const byView = sheet.degrees.get(trait.key) ?? NO_DEGREES;
    const highest = isFaultOnly(trait) ? NONE : PLAINEST_DEGREE;
    for (const view of trait.views) {
      const before = byView.get(view) ?? NONE;
      const after = before + direction;
      if (after < -PLAINEST_DEGREE || after > highest) continue;
      let [good, faulty] = /** @type {[number, number]} */ (scheme.endsOf.get(after));
      if (byView.size > (byView.has(view) ? 1 : 0)) {
        [good, faulty] = plainest(new Map([...byView, [view, after]]).values(), scheme.standard.degrees);
      }
      found.push({ trait: trait.key, view, before, after, change: changes.ofTrait(place, good, faulty) });
    }
  });
  return found;
}

/** The most by which one step up raises the total. @param {Scheme} scheme @param {Sheet} sheet @param {Changes} changes */
export function rise(scheme, sheet, changes) {
  return steps(scheme, sheet, UP, changes).reduce((most, step) => Math.max(most, step.change), 0);
}

/** The most by which one step down lowers it, 0 or more. @param {Scheme} scheme @param {Sheet} sheet @param {Changes} changes */
export function fall(scheme, sheet, changes) {
  return steps(scheme, sheet, DOWN, changes).reduce((most, step) => Math.max(most, -step.change), 0);
}

/**
 * The most that one clear mark in a view without degrees could move the total that way; null: no trait there.
 * @param {Scheme} scheme
 * @param {Sheet} sheet
 * @param {string} view
 * @param {number} direction 1 for a clear good mark, -1 for a clear faulty one
 * @param {Changes} changes
 * @returns {number | null}
 */
export function clearMark(scheme, sheet, view, direction, changes) {
  /** @type {number | null} */
  let most = null;
  scheme.traits.forEach((trait, place) => {
    if (!trait.views.includes(view) || (direction === UP && isFaultOnly(trait))) return;
    const byView = sheet.degrees.get(trait.key) ?? NO_DEGREES;
    const [good, faulty] = plainest([...byView.values(), direction * CLEAR], scheme.standard.degrees);
    const moved = direction * changes.ofTrait(place, good, faulty);
    most = most === null ? moved : Math.max(most, moved);
  });
  return most;
}
