// @ts-check
/** What may be ruled of a horse, and what must be said with it. */

/** @type {Readonly<Record<string, string>>} */
export const OUTCOMES = { last: "Last by rule", excused: "Excused", disqualified: "Disqualified", placed: "Placed after all" };

/** Whether a horse is ruled so only with a reason. @param {unknown} outcome */
export function needsReason(outcome) {
  return outcome === "excused" || outcome === "disqualified";
}
