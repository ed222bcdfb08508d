// @ts-check
/** The trade's words for what the show's records say by key. */

/** @typedef {Record<string, string>} Words by key */

/** @type {Words} */
export const SEXES = { mare: "Mares", stallion: "Stallions", gelding: "Geldings" };
/** @type {Words} */
export const AGES = { weanling: "Weanling", yearling: "Yearling", two: "Two", three: "Three", aged: "Four and over" };
/** @type {Words} */
export const OUTCOMES = { last: "stands last", not_placed: "is not placed", ignored: "nothing follows" };
/** @type {Words} */
export const METHODS = {
  separate: "Separate cards, each its own result",
  majority: "Majority placing",
  points: "Points for places, ties to the call judge",
  dropped_majority: "Drop high and low, then majority",
  dropped_points: "Drop high and low, then points",
};
/** @type {Words} */
export const ROLES = {
  office: "Office",
  judge: "Judge",
  scribe: "Scribe",
  steward: "Steward",
  trainee: "Trainee",
  announcer: "Announcer",
};
