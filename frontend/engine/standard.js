// @ts-check
/** Which traits of a standard a class is judged on. The twin of the reading half of `engine/standard.py`. */

/** @typedef {import("./shapes.js").Standard} Standard */
/** @typedef {import("./shapes.js").Trait} Trait */

/**
 * Whether a trait is judged in a class of these sexes.
 * @param {Trait} trait
 * @param {readonly string[]} sexes
 */
export function isJudged(trait, sexes) {
  const only = trait.sexes ?? null;
  return only === null || sexes.some((sex) => only.includes(sex));
}

/** Whether the trait has no good end: correct is expected there, not a prize. @param {Trait} trait */
export function isFaultOnly(trait) {
  return (trait.good ?? null) === null;
}

/**
 * The traits judged in a class, in the standard's order, each with the place of its criterion (from 0).
 * @param {Standard} standard
 * @param {readonly string[]} sexes
 * @returns {{ place: number, trait: Trait }[]}
 */
export function judgedTraits(standard, sexes) {
  return standard.criteria.flatMap((criterion, place) =>
    criterion.traits.filter((trait) => isJudged(trait, sexes)).map((trait) => ({ place, trait })),
  );
}
