// @ts-check
/** Exhibitor numbers: their natural order, and where a repaired number leads. The twin of `engine/numbers.py`. */

import { compareText } from "../lib/text.js";

/** @typedef {{ digits: boolean, value: number, text: string }} Run */

/** @type {Map<string, Run[]>} */
const known = new Map();

/**
 * Natural order, as a comparison: runs of digits by value and before runs of letters, runs of letters by text, the
 * beginning of another first; the whole text breaks what is left.
 * @param {string} a
 * @param {string} b
 * @returns {number}
 */
export function compareNumbers(a, b) {
  const left = runsOf(a);
  const right = runsOf(b);
  const length = Math.min(left.length, right.length);
  for (let i = 0; i < length; i += 1) {
    const x = /** @type {Run} */ (left[i]);
    const y = /** @type {Run} */ (right[i]);
    if (x.digits !== y.digits) return x.digits ? -1 : 1;
    const order = x.digits ? x.value - y.value : compareText(x.text, y.text);
    if (order !== 0) return order;
  }
  return left.length - right.length || compareText(a, b);
}

/**
 * @param {Iterable<string>} numbers
 * @returns {string[]} each once, in natural order
 */
export function inNaturalOrder(numbers) {
  return [...new Set(numbers)].sort(compareNumbers);
}

/**
 * The number a horse noted under `number` is known by today. A chain that comes back to itself is ignored.
 * @param {string} number
 * @param {ReadonlyMap<string, string>} now
 * @returns {string}
 */
export function follow(number, now) {
  const passed = new Set([number]);
  let here = number;
  for (;;) {
    const next = now.get(here);
    if (next === undefined) return here;
    if (passed.has(next)) return number;
    passed.add(next);
    here = next;
  }
}

/** @param {string} number @returns {Run[]} */
function runsOf(number) {
  let runs = known.get(number);
  if (runs === undefined) {
    runs = (number.match(/[0-9]+|[^0-9]+/g) ?? []).map((text) => {
      const digits = /[0-9]/.test(text);
      return { digits, value: digits ? Number(text) : 0, text };
    });
    known.set(number, runs);
  }
  return runs;
}
