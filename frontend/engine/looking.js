// @ts-check
/**
 * Which look would settle a close pair: a view of a horse not yet taken, where one clear mark could turn it. The twin
 * of `engine/looking.py`.
 *
 * @typedef {import("./sheets.js").Scheme} Scheme
 * @typedef {import("./sheets.js").Sheet} Sheet
 * @typedef {import("./steps.js").Changes} Changes
 * @typedef {{ number: string, view: string, pair: string[] }} Look
 */

import { DOWN, UP, clearMark } from "./steps.js";

/**
 * The looks worth taking: by margin, then place of the pair, upper before lower, order of views.
 * @param {Scheme} scheme
 * @param {ReadonlyMap<string, Sheet>} sheets
 * @param {ReadonlyMap<string, Changes>} changes
 * @param {readonly { upper: string, lower: string, margin: number }[]} adjacent pairs compared by their marks
 * @returns {Look[]}
 */
export function lookAgain(scheme, sheets, changes, adjacent) {
  /** @type {{ margin: number, look: Look }[]} */
  const found = [];
  for (const { upper, lower, margin } of adjacent) {
    for (const [number, direction] of /** @type {[string, number][]} */ ([
      [upper, DOWN],
      [lower, UP],
    ])) {
      const sheet = /** @type {Sheet} */ (sheets.get(number));
      for (const view of scheme.standard.views) {
        if (sheet.seen.includes(view)) continue;
        const moved = clearMark(scheme, sheet, view, direction, /** @type {Changes} */ (changes.get(number)));
        if (moved !== null && moved >= margin) found.push({ margin, look: { number, view, pair: [upper, lower] } });
      }
    }
  }
  // They were found in the order of what breaks ties, and the sort keeps it.
  return found.sort((a, b) => a.margin - b.margin).map(({ look }) => look);
}
