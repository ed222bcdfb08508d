// @ts-check
/**
 * From marks to figures: how a horse's marks count, how criteria weigh, how firm a comparison is. The twin of
 * `engine/weighing.py`, where every formula is explained with its source.
 */

/** Within a criterion the plainest mark counts in full, the next a half, and so on to the sixth; in sixtieths. */
export const IMPRESSION = [60, 30, 20, 15, 12, 10];
const IN_FULL = 60;

/**
 * What each of n criteria weighs, known only their order: rank-order centroid weights times n lcm(1..n).
 * @param {number} n
 * @returns {number[]} descending
 */
export function orderWeights(n) {
  const common = lcmTo(n);
  return Array.from({ length: n }, (_, i) => {
    let weight = 0;
    for (let k = i + 1; k <= n; k += 1) weight += common / k;
    return weight;
  });
}

/** What a total is divided by to stand on the scale of one criterion's plainest mark. @param {number} n */
export function weighingScale(n) {
  return n * lcmTo(n) * IN_FULL;
}

/**
 * The good and the faulty end of a trait, from its degrees over the views it was seen from.
 * @param {Iterable<number>} degrees
 * @param {readonly number[]} counts what a slight, a clear, a marked degree counts
 * @returns {[number, number]}
 */
export function plainest(degrees, counts) {
  let good = 0;
  let faulty = 0;
  for (const degree of degrees) {
    if (degree > 0) good = Math.max(good, counts[degree - 1] ?? 0);
    else if (degree < 0) faulty = Math.max(faulty, counts[-degree - 1] ?? 0);
  }
  return [good, faulty];
}

/**
 * What the marks of one end of a criterion come to: the six strongest, each counting less than the one before.
 * @param {readonly number[]} strengths
 * @returns {number} sixtieths
 */
export function impression(strengths) {
  const strongest = [...strengths].sort((a, b) => b - a);
  let sum = 0;
  for (let i = 0; i < IMPRESSION.length && i < strongest.length; i += 1) {
    sum += /** @type {number} */ (IMPRESSION[i]) * /** @type {number} */ (strongest[i]);
  }
  return sum;
}

/**
 * `impression` once one trait's strength has gone from `old` to `next`; `strengths` stays as it is.
 * @param {readonly number[]} strengths
 * @param {number} old
 * @param {number} next
 */
export function impressionAfter(strengths, old, next) {
  const changed = [...strengths];
  if (old > 0) changed.splice(changed.indexOf(old), 1);
  changed.push(next);
  return impression(changed);
}

/**
 * The part, per mille, of all weightings that keep the criteria in their order under which the upper horse leads.
 * @param {readonly number[]} differences D_c, criteria in order of importance
 * @returns {number} 0 to 1000; 500 where all are 0
 */
export function shareOfWeighings(differences) {
  /** @type {number[]} */
  const corners = [];
  let soFar = 0;
  differences.forEach((difference, i) => {
    soFar += difference;
    corners.push(soFar / (i + 1));
  });
  return Math.floor(1000 * partAbove(corners.sort(ascending)) + 0.5);
}

/**
 * The part of a simplex on which a linear function is above 0, from its values at the corners.
 * @param {readonly number[]} values ascending
 * @returns {number} 0 to 1; a half where all are 0
 */
export function partAbove(values) {
  const lowest = /** @type {number} */ (values[0]);
  const highest = /** @type {number} */ (values[values.length - 1]);
  if (lowest >= 0) return highest > 0 ? 1 : 0.5;
  if (highest <= 0) return 0;
  const rest = values.slice(1, -1);
  const upperPart = partAbove([highest, 0, ...rest].sort(ascending));
  const lowerPart = partAbove([lowest, 0, ...rest].sort(ascending));
  return (highest * upperPart - lowest * lowerPart) / (highest - lowest);
}

/** @param {number} a @param {number} b */
function ascending(a, b) {
  return a - b;
}

/** The least common multiple of 1 to n. @param {number} n */
function lcmTo(n) {
  let common = 1;
  for (let k = 2; k <= n; k += 1) common = (common / gcd(common, k)) * k;
  return common;
}

/** @param {number} a @param {number} b @returns {number} */
function gcd(a, b) {
  return b === 0 ? a : gcd(b, a % b);
}
