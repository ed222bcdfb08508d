// @ts-check
/**
 * Where each horse of a class stands before marks are compared. The twin of `engine/standing.py`, where the order of
 * the rules is explained. A call is an observation at one moment, never a diagnosis.
 *
 * @typedef {import("./shapes.js").Lameness} Lameness
 * @typedef {import("./sheets.js").CardFacts} CardFacts
 * @typedef {{ tier: number | null, standing: string | null, reason: string | null, by: "ruling" | "call" | null,
 *   isConflict: boolean }} Stands
 */

export const BY_MARKS = 0;
export const LAST = 1;

/**
 * The grade that counts for a horse, and whether it is a veterinarian's: the card's own, or where it has none the
 * highest of the veterinarians.
 * @param {CardFacts} facts
 * @param {string} number
 * @returns {{ grade: number | null, isVeterinarians: boolean }}
 */
export function standingCall(facts, number) {
  const own = facts.ownGrade.get(number);
  if (own !== undefined) return { grade: own, isVeterinarians: false };
  return { grade: facts.veterinarianGrade.get(number) ?? null, isVeterinarians: true };
}

/**
 * How a horse stands.
 * @param {CardFacts} facts
 * @param {string} number
 * @param {Lameness} lameness
 * @returns {Stands}
 */
export function stands(facts, number, lameness) {
  const ruling = facts.rulings.get(number);
  const outcome = ruling?.outcome ?? null;
  if (ruling !== undefined && (outcome === "excused" || outcome === "disqualified")) {
    return { ...unplaced(outcome), reason: ruling.reason ?? null, by: "ruling" };
  }
  const isAbsent = facts.absent.has(number);
  if (outcome === "placed") return { ...inTier(BY_MARKS), isConflict: isAbsent };
  if (isAbsent) return { ...unplaced("absent"), isConflict: facts.saysSomethingOf(number) };
  if (outcome === "last") return { ...inTier(LAST), by: "ruling" };
  const { grade } = standingCall(facts, number);
  if (grade !== null && grade >= lameness.from_grade) {
    if (lameness.outcome === "last") return { ...inTier(LAST), by: "call" };
    if (lameness.outcome === "not_placed") return { ...unplaced("not_placed"), by: "call" };
  }
  return facts.saysSomethingOf(number) ? inTier(BY_MARKS) : unplaced("not_looked");
}

/**
 * The steward's grade at which the judge is asked to look again; null where there is nothing to ask.
 * @param {CardFacts} facts
 * @param {string} number
 * @param {Lameness} lameness
 * @returns {number | null}
 */
export function asksAgain(facts, number, lameness) {
  const grade = facts.stewardGrade.get(number) ?? null;
  if (grade === null || grade < lameness.from_grade) return null;
  return facts.rulings.has(number) || facts.ownGrade.has(number) ? null : grade;
}

/** @param {number} tier @returns {Stands} */
function inTier(tier) {
  return { tier, standing: null, reason: null, by: null, isConflict: false };
}

/** @param {string} standing @returns {Stands} */
function unplaced(standing) {
  return { tier: null, standing, reason: null, by: null, isConflict: false };
}
