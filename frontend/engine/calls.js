// @ts-check
/**
 * Direct calls: who is said to stand over whom, circles among them, and the order they ask for. The twin of
 * `engine/calls.py`.
 *
 * @typedef {[string, string]} Call winner, loser
 * @typedef {{ below: Map<string, string[]>, circles: string[][], setAside: Call[] }} Calls
 */

import { compareNumbers, inNaturalOrder } from "./numbers.js";

/**
 * The calls that count among the horses placed by marks, the circles, and the calls set aside.
 * @param {readonly Call[]} calls
 * @param {readonly string[]} placedByMarks
 * @returns {Calls}
 */
export function sortedCalls(calls, placedByMarks) {
  const among = new Set(placedByMarks);
  const every = [...calls].sort((a, b) => compareNumbers(a[0], b[0]) || compareNumbers(a[1], b[1]));
  const inside = every.filter(([winner, loser]) => among.has(winner) && among.has(loser));
  const reach = new Map([...among].map((number) => [number, reached(belowOf(inside), number)]));
  /** @type {Map<string, string[]>} */
  const circleOf = new Map();
  for (const [number, under] of reach) {
    if (!under.includes(number)) continue;
    circleOf.set(number, inNaturalOrder([number, ...under.filter((other) => reach.get(other)?.includes(number))]));
  }
  const kept = inside.filter(([winner, loser]) => !(circleOf.get(winner) ?? []).includes(loser));
  const circles = new Map([...circleOf.values()].map((circle) => [circle.join(" "), circle]));
  return {
    below: belowOf(kept),
    circles: [...circles.values()].sort(compareCircles),
    setAside: every.filter((call) => !kept.includes(call)),
  };
}

/**
 * The horses in the order of their keys, called winners raised just above the horses they beat.
 * @param {readonly string[]} byKey
 * @param {Calls} calls
 * @returns {string[]}
 */
export function calledOrder(byKey, calls) {
  /** @type {Map<string, string[]>} */
  const over = new Map(byKey.map((number) => [number, []]));
  for (const winner of byKey) for (const loser of reached(calls.below, winner)) over.get(loser)?.push(winner);
  const left = [...byKey];
  /** @type {Set<string>} */
  const order = new Set();
  while (left.length > 0) {
    const first = /** @type {string} */ (left[0]);
    const free = (over.get(first) ?? []).filter(
      (number) => !order.has(number) && (over.get(number) ?? []).every((each) => order.has(each)),
    );
    const taken = left.find((number) => free.includes(number)) ?? first;
    left.splice(left.indexOf(taken), 1);
    order.add(taken);
  }
  return [...order];
}

/**
 * The shortest path of calls from upper to lower, both included; null where none leads there.
 * @param {Calls} calls
 * @param {string} upper
 * @param {string} lower
 * @returns {string[] | null}
 */
export function chain(calls, upper, lower) {
  /** @type {Map<string, string | null>} */
  const cameFrom = new Map([[upper, null]]);
  const queue = [upper];
  for (const here of queue) {
    if (here === lower) {
      const path = [here];
      for (let before = cameFrom.get(here) ?? null; before !== null; before = cameFrom.get(before) ?? null) {
        path.unshift(before);
      }
      return path;
    }
    for (const number of calls.below.get(here) ?? []) {
      if (!cameFrom.has(number)) {
        cameFrom.set(number, here);
        queue.push(number);
      }
    }
  }
  return null;
}

/** The calls come in natural order, so the lists do too. @param {readonly Call[]} calls @returns {Map<string, string[]>} */
function belowOf(calls) {
  /** @type {Map<string, string[]>} */
  const below = new Map();
  for (const [winner, loser] of calls) below.set(winner, [...(below.get(winner) ?? []), loser]);
  return below;
}

/**
 * The horses under `start` by one call or more; `start` itself only where a circle leads back to it.
 * @param {ReadonlyMap<string, string[]>} below
 * @param {string} start
 * @returns {string[]}
 */
function reached(below, start) {
  /** @type {string[]} */
  const found = [];
  const waiting = [...(below.get(start) ?? [])];
  for (let number = waiting.pop(); number !== undefined; number = waiting.pop()) {
    if (found.includes(number)) continue;
    found.push(number);
    waiting.push(...(below.get(number) ?? []));
  }
  return found;
}

/** @param {readonly string[]} a @param {readonly string[]} b */
function compareCircles(a, b) {
  for (let i = 0; i < a.length && i < b.length; i += 1) {
    const order = compareNumbers(a[i] ?? "", b[i] ?? "");
    if (order !== 0) return order;
  }
  return a.length - b.length;
}
