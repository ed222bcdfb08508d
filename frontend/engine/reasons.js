// @ts-check
/**
 * Words for a recorded comparison, in the words of the standard. Does no arithmetic and decides nothing. The twin of
 * `engine/reasons.py`: every pattern comes from `words.json`.
 *
 * @typedef {import("./sheets.js").Scheme} Scheme
 * @typedef {import("./placing.js").Pair} Pair
 * @typedef {any} Words the sentence patterns, `words.json`
 * @typedef {{ pair: Pair, differs: boolean, sameTier: boolean, lastByCall: boolean, grade: number,
 *   byVeterinarian: boolean, onlyUpperSeen: string[], onlyLowerSeen: string[] }} Comparison
 */

import { at } from "./sheets.js";

const TRAITS_NAMED = 3;
const ALL_WEIGHINGS = 1000;
const HALF_OF_WEIGHINGS = 500;

/**
 * The pair in words: what it rests on, the traits, the strongest grant, how firm it is, what was not seen.
 * @param {Comparison} comparison
 * @param {Scheme} scheme
 * @param {Words} words
 * @returns {string}
 */
export function sentence(comparison, scheme, words) {
  const { pair } = comparison;
  const patterns = words.sentence;
  const parts = [
    ...grounds(comparison, scheme, words),
    ...grant(pair, scheme, words),
    ...firmness(comparison, scheme, patterns),
  ];
  for (const [number, other, views] of /** @type {[string, string, string[]][]} */ ([
    [pair.lower, pair.upper, comparison.onlyUpperSeen],
    [pair.upper, pair.lower, comparison.onlyLowerSeen],
  ])) {
    if (views.length === 0) continue;
    const seenFrom = listed(
      views.map((view) => viewPhrase(view, words)),
      words,
    );
    parts.push(fill(patterns.unseen, { number, other, views: seenFrom }));
  }
  return parts.join(" ");
}

/**
 * The pattern with each `{name}` replaced once; what is put in is never read as a pattern itself.
 * @param {string} pattern
 * @param {Readonly<Record<string, string>>} values
 * @returns {string}
 */
export function fill(pattern, values) {
  return pattern.replace(/\{([a-z_]+)\}/g, (_, name) => String(values[name]));
}

/**
 * Phrases as a list in a sentence: `a`, `a and b`, `a, b, and c`; a comma more where a phrase holds an `and`.
 * @param {readonly string[]} phrases
 * @param {Words} words
 * @returns {string}
 */
export function listed(phrases, words) {
  if (phrases.length < 2) return phrases.join("");
  const joints = words.list;
  const isPlain = phrases.length === 2 && !phrases.some((phrase) => phrase.includes(joints.last_of_two));
  const last = isPlain ? joints.last_of_two : joints.last;
  return phrases.slice(0, -1).join(joints.between) + last + phrases[phrases.length - 1];
}

/**
 * Where one stands to see it, as it is said: `from the rear`.
 * @param {string} view
 * @param {Words} words
 * @returns {string}
 */
export function viewPhrase(view, words) {
  return Object.hasOwn(words.views, view) ? words.views[view].from : fill(words.other_view, { view });
}

/**
 * The better horse's side of some traits, to follow `is`: comparatives, then of which faults it has less.
 * @param {readonly string[]} traitKeys
 * @param {Scheme} scheme
 * @param {Words} words
 * @returns {string}
 */
export function betterSide(traitKeys, scheme, words) {
  const traits = traitKeys.map((key) => at(scheme.traits, scheme.placeOf.get(key) ?? -1));
  const phrases = traits.flatMap((trait) => trait.more ?? []);
  const faults = traits.filter((trait) => (trait.more ?? null) === null).map((trait) => trait.faulty);
  if (faults.length > 0) phrases.push(fill(words.less_faulted, { faulty: listed(faults, words) }));
  return listed(phrases, words);
}

/** A title inside a sentence: its first letter small. @param {string} title */
export function spoken(title) {
  return title.replace(/^[A-Z]/, (first) => first.toLowerCase());
}

/**
 * What the pair rests on, the basis first.
 * @param {Comparison} comparison
 * @param {Scheme} scheme
 * @param {Words} words
 * @returns {string[]}
 */
function grounds(comparison, scheme, words) {
  const { pair } = comparison;
  const patterns = words.sentence;
  /** @type {Record<string, string>} */
  const names = { upper: pair.upper, lower: pair.lower };
  if (pair.basis === "rule") {
    return [fill(patterns[rulePattern(comparison)], { ...names, grade: words.grades[comparison.grade] })];
  }
  if (pair.basis === "call" || pair.basis === "carried") {
    const said = [pair.basis === "carried" ? fill(patterns.carried, names) : called(pair, patterns, names)];
    const named = pair.for.slice(0, TRAITS_NAMED).map(({ trait }) => trait);
    if (named.length > 0) said.push(fill(patterns.marks, { ...names, traits: betterSide(named, scheme, words) }));
    return said;
  }
  if (pair.decided_by === null) return [fill(patterns.even, names)];
  const criterion = scheme.standard.criteria.find(({ key }) => key === pair.decided_by);
  const named = pair.for
    .filter((each) => each.criterion === pair.decided_by)
    .slice(0, TRAITS_NAMED)
    .map(({ trait }) => trait);
  const pattern = pair.basis === "notes" ? "notes" : "even_first";
  return [
    fill(patterns[named.length > 0 ? pattern : `${pattern}_as_a_whole`], {
      ...names,
      criterion: spoken(criterion?.title ?? ""),
      traits: betterSide(named, scheme, words),
    }),
  ];
}

/** @param {Comparison} comparison */
function rulePattern(comparison) {
  if (comparison.sameTier) return "more_lame";
  if (!comparison.lastByCall) return "last_by_ruling";
  return comparison.byVeterinarian ? "last_by_veterinarian" : "last_by_call";
}

/** @param {Pair} pair @param {any} patterns @param {Record<string, string>} names @returns {string} */
function called(pair, patterns, names) {
  const numbers = pair.chain ?? [];
  if (numbers.length === 2) return fill(patterns.call, names);
  const links = numbers
    .slice(1)
    .map((loser, place) => fill(patterns.chain_link, { winner: at(numbers, place), loser }));
  return fill(patterns.call_chain, { ...names, chain: links.join(patterns.chain_between) });
}

/** @param {Pair} pair @param {Scheme} scheme @param {Words} words @returns {string[]} */
function grant(pair, scheme, words) {
  const strongest = pair.grants[0];
  if (strongest === undefined) return [];
  const traits = betterSide([strongest.trait], scheme, words);
  return [fill(words.sentence.grant, { lower: pair.lower, traits })];
}

/**
 * How firm the pair is, the margin first, then the weighing; for calls, what the notes alone say.
 * @param {Comparison} comparison
 * @param {Scheme} scheme
 * @param {any} patterns
 * @returns {string[]}
 */
function firmness(comparison, scheme, patterns) {
  const { pair } = comparison;
  const names = { lower: pair.lower, first: spoken(at(scheme.standard.criteria, 0).title) };
  if (pair.basis === "rule") return [];
  if (pair.basis === "call" || pair.basis === "carried") {
    const said = pair.margin > 0 ? "notes_agree" : pair.margin === 0 ? "notes_level" : "notes_against";
    return [fill(patterns[said], names)];
  }
  const weighing = pair.share === ALL_WEIGHINGS ? "firm" : pair.share >= HALF_OF_WEIGHINGS ? "turns" : "other_way";
  if (comparison.differs && pair.one_step && weighing === "firm") return [fill(patterns.one_step_firm, names)];
  const said = pair.one_step ? [patterns.one_step] : [];
  if (comparison.differs) said.push(fill(patterns[weighing], names));
  return said;
}
