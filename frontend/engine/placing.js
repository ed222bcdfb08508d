// @ts-check
/**
 * The placing of a class from one card's notes, with what decides every pair. The twin of `engine/placing.py`, so that
 * a phone without a signal suggests what the server would, to the byte. The engine suggests; the judge decides.
 *
 * @typedef {import("./shapes.js").Entry} Entry
 * @typedef {import("./shapes.js").Note} Note
 * @typedef {import("./shapes.js").ShowClass} ShowClass
 * @typedef {import("./shapes.js").Standard} Standard
 * @typedef {import("./shapes.js").Dispute} Dispute
 * @typedef {import("./sheets.js").CardFacts} CardFacts
 * @typedef {import("./sheets.js").Scheme} Scheme
 * @typedef {import("./sheets.js").Sheet} Sheet
 * @typedef {import("./standing.js").Stands} Stands
 * @typedef {import("./calls.js").Calls} Calls
 * @typedef {import("./looking.js").Look} Look
 * @typedef {{ criterion: string, trait: string, difference: number }} TraitDifference
 * @typedef {"rule" | "call" | "notes" | "even" | "carried"} Basis
 * @typedef {{ upper: string, lower: string, adjacent: boolean, basis: Basis, chain: string[] | null, margin: number,
 *   share: number, decided_by: string | null, for: TraitDifference[], grants: TraitDifference[], one_step: boolean,
 *   sentence: string }} Pair
 * @typedef {{ number: string, total: number, criteria: { criterion: string, score: number }[] }} Figures
 * @typedef {{ format: string, class: string, card: string, placing: string[], last_by_rule: string[],
 *   unplaced: { number: string, standing: string | null, reason: string | null }[], totals: Figures[], scale: number,
 *   pairs: Pair[], even: string[][], circles: string[][], calls_set_aside: { winner: string, loser: string }[],
 *   asks: { number: string, grade: number }[], conflicts: string[], strangers: string[],
 *   unseen: { number: string, views: string[] }[], disputes: Dispute[], look_again: Look[], own: string[] | null,
 *   against: { upper: string, lower: string, margin: number }[] }} Placing
 *
 * @typedef {{ class: ShowClass, entries: readonly Entry[], card: string, notes: readonly Note[] }} ClassFile
 *
 * A class as it is compared: the scheme, and for each number how it stands and what its marks come to.
 * @typedef {{ scheme: Scheme, facts: CardFacts, standing: Map<string, Stands>, sheets: Map<string, Sheet>,
 *   calls: Calls, words: any }} Ring
 * @typedef {{ differs: boolean, pair: Pair }} Compared
 */

import { calledOrder, chain, sortedCalls } from "./calls.js";
import { lookAgain } from "./looking.js";
import { merge } from "./merging.js";
import { compareNumbers, inNaturalOrder } from "./numbers.js";
import { sentence } from "./reasons.js";
import { DEFAULT_LAMENESS } from "./shapes.js";
import { at, cardFacts, schemeOf, sheetsOf } from "./sheets.js";
import { BY_MARKS, LAST, asksAgain, standingCall, stands } from "./standing.js";
import { Changes, fall, rise } from "./steps.js";
import { shareOfWeighings } from "./weighing.js";

const FORMAT = "nearside-placing/1";

/**
 * The suggested placing of a class.
 * @param {ClassFile} classFile
 * @param {Standard} standard whole, its `degrees` and weights filled in
 * @param {any} words the sentence patterns
 * @returns {Placing}
 */
export function place(classFile, standard, words) {
  const { class: showClass, card } = classFile;
  const merged = merge(classFile.entries, classFile.notes, card);
  const facts = cardFacts(merged);
  const lameness = showClass.lameness ?? DEFAULT_LAMENESS;
  const numbers = inNaturalOrder(merged.entries.map((entry) => entry.number));
  const scheme = schemeOf(standard, showClass.sexes);
  const standing = new Map(numbers.map((number) => [number, stands(facts, number, lameness)]));
  /** @param {string} number */
  const tierOf = (number) => standing.get(number)?.tier ?? null;
  const sheets = sheetsOf(
    numbers.filter((number) => tierOf(number) !== null),
    facts,
    scheme,
  );
  /** @param {string} a @param {string} b */
  const byKey = (a, b) => compareKeys(sheet(sheets, a), sheet(sheets, b));
  const byMarks = [...sheets.keys()].filter((number) => tierOf(number) === BY_MARKS).sort(byKey);
  const last = [...sheets.keys()]
    .filter((number) => tierOf(number) === LAST)
    .sort((a, b) => gradeOf(facts, a) - gradeOf(facts, b) || byKey(a, b));
  const calls = sortedCalls(facts.calls, byMarks);
  const order = [...calledOrder(byMarks, calls), ...last];

  /** @type {Ring} */
  const ring = { scheme, facts, standing, sheets, calls, words };
  const changes = new Map(order.map((number) => [number, new Changes(scheme, sheet(sheets, number))]));
  const compared = comparedPairs(ring, order, changes);
  const adjacent = compared.filter(({ pair }) => pair.adjacent);
  const own = facts.order;
  return {
    format: FORMAT,
    class: showClass.id,
    card,
    placing: order,
    last_by_rule: last,
    unplaced: numbers
      .filter((number) => tierOf(number) === null)
      .map((number) => ({
        number,
        standing: standing.get(number)?.standing ?? null,
        reason: standing.get(number)?.reason ?? null,
      })),
    totals: order.map((number) => figures(scheme, sheet(sheets, number))),
    scale: scheme.scale,
    pairs: compared.map(({ pair }) => pair),
    even: evenRuns(adjacent),
    circles: calls.circles,
    calls_set_aside: calls.setAside.map(([winner, loser]) => ({ winner, loser })),
    asks: numbers.flatMap((number) => {
      const grade = asksAgain(facts, number, lameness);
      return grade === null ? [] : [{ number, grade }];
    }),
    conflicts: numbers.filter((number) => standing.get(number)?.isConflict),
    strangers: inNaturalOrder([...facts.noted].filter((number) => !standing.has(number))),
    unseen: order.flatMap((number) => {
      const { seen } = sheet(sheets, number);
      const views = scheme.standard.views.filter((view) => !seen.includes(view));
      return views.length > 0 ? [{ number, views }] : [];
    }),
    disputes: merged.disputes,
    look_again: lookAgain(
      scheme,
      sheets,
      changes,
      adjacent.map(({ pair }) => pair).filter(({ basis }) => basis === "notes" || basis === "even"),
    ),
    own,
    against: own === null ? [] : against(ring, own),
  };
}

/** @param {ReadonlyMap<string, Sheet>} sheets @param {string} number */
function sheet(sheets, number) {
  return /** @type {Sheet} */ (sheets.get(number));
}

/** @param {CardFacts} facts @param {string} number */
function gradeOf(facts, number) {
  return standingCall(facts, number).grade ?? 0;
}

/** By total, then score by score, then number: the smaller stands higher. @param {Sheet} a @param {Sheet} b */
function compareKeys(a, b) {
  if (a.total !== b.total) return b.total - a.total;
  for (let criterion = 0; criterion < a.scores.length; criterion += 1) {
    const order = at(b.scores, criterion) - at(a.scores, criterion);
    if (order !== 0) return order;
  }
  return compareNumbers(a.number, b.number);
}

/**
 * Every pair of the placing, 1-2, 1-3, ..., 2-3, ...
 * @param {Ring} ring
 * @param {readonly string[]} order
 * @param {ReadonlyMap<string, Changes>} changes
 * @returns {Compared[]}
 */
function comparedPairs(ring, order, changes) {
  const { scheme } = ring;
  const sheets = order.map((number) => sheet(ring.sheets, number));
  const weights = scheme.criterionOf.map((criterion) => at(scheme.weights, criterion));
  const nets = sheets.map(({ good, faulty }) =>
    weights.map((weight, trait) => weight * (at(good, trait) - at(faulty, trait))),
  );
  const changesOf = order.map((number) => /** @type {Changes} */ (changes.get(number)));
  const falls = sheets.map((each, i) => fall(scheme, each, at(changesOf, i)));
  const rises = sheets.map((each, i) => rise(scheme, each, at(changesOf, i)));
  /** @type {Compared[]} */
  const compared = [];
  sheets.forEach((upper, i) => {
    for (let j = i + 1; j < sheets.length; j += 1) {
      const lower = at(sheets, j);
      const differences = upper.scores.map((score, criterion) => score - at(lower.scores, criterion));
      const differs = differences.some((difference) => difference !== 0);
      const margin = upper.total - lower.total;
      const [basis, calls] = basisOf(ring, upper.number, lower.number, margin);
      const [above, below] = byTrait(scheme, weights, at(nets, i), at(nets, j));
      const isByMarks = basis === "notes" || basis === "even";
      /** @type {Pair} */
      const pair = {
        upper: upper.number,
        lower: lower.number,
        adjacent: j === i + 1,
        basis,
        chain: calls,
        margin,
        share: shareOfWeighings(differences),
        decided_by: decidedBy(basis, differences, scheme),
        for: above,
        grants: below,
        one_step: isByMarks && margin <= Math.max(at(rises, j), at(falls, i)),
        sentence: "",
      };
      pair.sentence = sentence(comparison(ring, pair, differs), scheme, ring.words);
      compared.push({ differs, pair });
    }
  });
  return compared;
}

/**
 * What a pair rests on, with the chain of calls where it rests on calls.
 * @param {Ring} ring
 * @param {string} upper
 * @param {string} lower
 * @param {number} margin
 * @returns {[Basis, string[] | null]}
 */
function basisOf(ring, upper, lower, margin) {
  const tier = ring.standing.get(upper)?.tier;
  if (tier !== ring.standing.get(lower)?.tier) return ["rule", null];
  if (tier === LAST && gradeOf(ring.facts, upper) !== gradeOf(ring.facts, lower)) return ["rule", null];
  const calls = ring.calls.below.has(upper) ? chain(ring.calls, upper, lower) : null;
  if (calls !== null) return ["call", calls];
  if (margin > 0) return ["notes", null];
  return [margin === 0 ? "even" : "carried", null];
}

/**
 * What the marks themselves say, before any discount: for the upper horse, and granted to the lower.
 * @param {Scheme} scheme
 * @param {readonly number[]} weights W_c of each trait
 * @param {readonly number[]} upper W_c x net of each trait
 * @param {readonly number[]} lower
 * @returns {[TraitDifference[], TraitDifference[]]}
 */
function byTrait(scheme, weights, upper, lower) {
  const weighed = upper.map((figure, trait) => figure - at(lower, trait));
  /** @type {number[]} */
  const above = [];
  /** @type {number[]} */
  const below = [];
  weighed.forEach((difference, trait) => {
    if (difference > 0) above.push(trait);
    else if (difference < 0) below.push(trait);
  });
  above.sort((a, b) => at(weighed, b) - at(weighed, a));
  below.sort((a, b) => at(weighed, a) - at(weighed, b));
  /** @param {number} trait @returns {TraitDifference} */
  const row = (trait) => ({
    criterion: at(scheme.standard.criteria, at(scheme.criterionOf, trait)).key,
    trait: at(scheme.traits, trait).key,
    difference: at(weighed, trait) / at(weights, trait),
  });
  return [above.map(row), below.map(row)];
}

/**
 * The criterion with the largest W_c x D_c, the earlier of equals; for an even pair the first that differs.
 * @param {Basis} basis
 * @param {readonly number[]} differences
 * @param {Scheme} scheme
 * @returns {string | null}
 */
function decidedBy(basis, differences, scheme) {
  const { criteria } = scheme.standard;
  if (basis === "notes") {
    const weighed = differences.map((difference, criterion) => at(scheme.weights, criterion) * difference);
    return at(criteria, weighed.indexOf(Math.max(...weighed))).key;
  }
  if (basis === "even") return criteria[differences.findIndex((difference) => difference !== 0)]?.key ?? null;
  return null;
}

/** @param {Ring} ring @param {Pair} pair @param {boolean} differs @returns {import("./reasons.js").Comparison} */
function comparison(ring, pair, differs) {
  const above = sheet(ring.sheets, pair.upper).seen;
  const below = sheet(ring.sheets, pair.lower).seen;
  const lower = ring.standing.get(pair.lower);
  const { grade, isVeterinarians } = standingCall(ring.facts, pair.lower);
  return {
    pair,
    differs,
    sameTier: ring.standing.get(pair.upper)?.tier === lower?.tier,
    lastByCall: lower?.by === "call",
    grade: grade ?? 0,
    byVeterinarian: isVeterinarians,
    onlyUpperSeen: above.filter((view) => !below.includes(view)),
    onlyLowerSeen: below.filter((view) => !above.includes(view)),
  };
}

/** @param {Scheme} scheme @param {Sheet} of @returns {Figures} */
function figures(scheme, of) {
  const criteria = scheme.standard.criteria.map(({ key }, place) => ({ criterion: key, score: at(of.scores, place) }));
  return { number: of.number, total: of.total, criteria };
}

/** Maximal runs of adjacent horses that nothing separates. @param {readonly Compared[]} adjacent @returns {string[][]} */
function evenRuns(adjacent) {
  /** @type {string[][]} */
  const runs = [];
  let isOpen = false;
  for (const { differs, pair } of adjacent) {
    const isEven = pair.basis === "even" && !differs;
    if (isEven && isOpen) at(runs, runs.length - 1).push(pair.lower);
    else if (isEven) runs.push([pair.upper, pair.lower]);
    isOpen = isEven;
  }
  return runs;
}

/**
 * The adjacent pairs of the judge's own order, both placed by their marks, that go against the notes.
 * @param {Ring} ring
 * @param {readonly string[]} own
 */
function against(ring, own) {
  return own.slice(1).flatMap((lower, place) => {
    const upper = at(own, place);
    if ([upper, lower].some((number) => ring.standing.get(number)?.tier !== BY_MARKS)) return [];
    const margin = sheet(ring.sheets, upper).total - sheet(ring.sheets, lower).total;
    return margin < 0 ? [{ upper, lower, margin }] : [];
  });
}
