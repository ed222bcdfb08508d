// @ts-check
/**
 * The lameness grades in words, for choosing one. The published 0 to 5 scale (reproduced in BMC Veterinary Research
 * 2016, 12:873, table 1), worded here for the ringside. An observation at one moment, never a diagnosis.
 */

export const GRADES = [
  "nothing seen, in any circumstance",
  "hard to see and not there every time",
  "hard to see at walk or straight trot, but there every time in some circumstance, as on a circle",
  "there every time at the trot",
  "plain at the walk",
  "hardly bears weight, or cannot move",
];

/** Those one is asked for first. */
export const FIRST_GRADES = [3, 4];

export const OBSERVATION =
  "What is seen here at one moment is no diagnosis. The show's veterinarian and the show's rules decide.";

export const CAUTION = `${OBSERVATION} A horse in distress is stopped at once.`;
