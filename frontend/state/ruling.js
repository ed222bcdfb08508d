// @ts-check
/** What may be ruled of a horse, what must be said with it, and ruling so. */

import { GRADES } from "./grades.js";
import { write } from "./ring.js";

/** @typedef {import("./card.js").Card} Card */

/** @type {Readonly<Record<string, string>>} */
export const OUTCOMES = { placed: "Placed after all", last: "Last by rule", excused: "Excused", disqualified: "Disqualified" };

/** Whether a horse is ruled so only with a reason. @param {unknown} outcome */
export function needsReason(outcome) {
  return outcome === "excused" || outcome === "disqualified";
}

/** The reason that the calls on a horse give; empty where there are none. @param {Card} card @param {string} number */
export function reasonCalled(card, number) {
  const grade = Math.max(0, ...card.calls(number).map((call) => call.grade ?? 0));
  return grade === 0 ? "" : `lame: ${GRADES[grade]}`;
}

/** Rule so, or with null take the ruling back. @param {Card} card @param {string} number @param {string | null} outcome @param {string} reason */
export function rule(card, number, outcome, reason) {
  const words = outcome === null ? "ruling taken back" : outcome;
  return write(card, [{ kind: "ruling", number, outcome, reason: reason.trim() || null }], `${number}: ${words}`);
}
