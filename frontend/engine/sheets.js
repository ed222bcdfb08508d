// @ts-check
/**
 * A horse's sheet: everything one card says of it, and the figures that follow from its marks. The twin of
 * `engine/sheets.py`.
 *
 * @typedef {import("./shapes.js").Merged} Merged
 * @typedef {import("./shapes.js").Note} Note
 * @typedef {import("./shapes.js").Standard} Standard
 * @typedef {import("./shapes.js").Trait} Trait
 *
 * trait -> view -> degree, of one horse
 * @typedef {Map<string, Map<string, number>>} Degrees
 *
 * A standard as one class is judged by it: its judged traits, numbered, and the weights of its criteria.
 * @typedef {{ standard: Standard, traits: Trait[], endsOf: Map<number, [number, number]>, criterionOf: number[],
 *   placeOf: Map<string, number>, weights: number[], scale: number }} Scheme
 *
 * A horse's figures. Lists run over the judged traits, or over the criteria where they say so.
 * @typedef {{ number: string, degrees: Degrees, seen: string[], good: number[], faulty: number[],
 *   goodEnds: number[][], faultyEnds: number[][], goodParts: number[], faultyParts: number[], scores: number[],
 *   total: number }} Sheet
 */

import { isEmpty } from "./merging.js";
import { judgedTraits } from "./standard.js";
import { impression, orderWeights, plainest, weighingScale } from "./weighing.js";

/** What stands on one card and at the gate, by number; only slots that hold a value. */
export class CardFacts {
  constructor() {
    /** @type {Map<string, Degrees>} */ this.degrees = new Map();
    /** @type {Map<string, Set<string>>} */ this.looked = new Map();
    /** @type {Map<string, Note>} */ this.rulings = new Map();
    /** @type {Map<string, number>} */ this.ownGrade = new Map();
    /** @type {Map<string, number>} */ this.veterinarianGrade = new Map();
    /** @type {Map<string, number>} */ this.stewardGrade = new Map();
    /** @type {Set<string>} */ this.absent = new Set();
    /** @type {[string, string][]} winner, loser */ this.calls = [];
    /** @type {Set<string>} */ this.called = new Set();
    /** @type {string[] | null} */ this.order = null;
    /** @type {Set<string>} */ this.noted = new Set();
  }

  /**
   * Whether the card says anything of a horse; remarks, order and signature do not.
   * @param {string} number
   */
  saysSomethingOf(number) {
    return (
      this.degrees.has(number) ||
      this.looked.has(number) ||
      this.called.has(number) ||
      this.rulings.has(number) ||
      this.ownGrade.has(number)
    );
  }
}

/**
 * The scheme of a class: W_c for each criterion, judged traits in the standard's order.
 * @param {Standard} standard
 * @param {readonly string[]} sexes
 * @returns {Scheme}
 */
export function schemeOf(standard, sexes) {
  const judged = judgedTraits(standard, sexes);
  const n = standard.criteria.length;
  return {
    standard,
    traits: judged.map(({ trait }) => trait),
    endsOf: new Map([-3, -2, -1, 0, 1, 2, 3].map((degree) => [degree, plainest([degree], standard.degrees)])),
    criterionOf: judged.map(({ place }) => place),
    placeOf: new Map(judged.map(({ trait }, place) => [trait.key, place])),
    weights: orderWeights(n),
    scale: weighingScale(n),
  };
}

/** What stands, sorted by horse. @param {Merged} merged @returns {CardFacts} */
export function cardFacts(merged) {
  const facts = new CardFacts();
  for (const { used } of merged.slots) {
    if (used.kind !== "entry" && !isEmpty(used)) take(facts, used);
  }
  return facts;
}

/**
 * The figures of one horse: S_c = impression of the good ends less that of the faulty, T = sum of W_c x S_c.
 * @param {string} number
 * @param {CardFacts} facts
 * @param {Scheme} scheme
 * @returns {Sheet}
 */
export function sheetOf(number, facts, scheme) {
  /** @type {Degrees} */
  const degrees = facts.degrees.get(number) ?? new Map();
  const good = scheme.traits.map(() => 0);
  const faulty = scheme.traits.map(() => 0);
  /** @type {number[][]} */
  const goodEnds = scheme.weights.map(() => []);
  /** @type {number[][]} */
  const faultyEnds = scheme.weights.map(() => []);
  const looked = new Set(facts.looked.get(number) ?? []);
  for (const [key, byView] of degrees) {
    for (const view of byView.keys()) looked.add(view);
    const place = scheme.placeOf.get(key);
    if (place === undefined) continue;
    const weight = at(scheme.traits, place).weight;
    const criterion = at(scheme.criterionOf, place);
    const [best, worst] = plainest(byView.values(), scheme.standard.degrees);
    if (best > 0) {
      good[place] = weight * best;
      at(goodEnds, criterion).push(weight * best);
    }
    if (worst > 0) {
      faulty[place] = weight * worst;
      at(faultyEnds, criterion).push(weight * worst);
    }
  }
  const goodParts = goodEnds.map(impression);
  const faultyParts = faultyEnds.map(impression);
  const scores = goodParts.map((part, criterion) => part - at(faultyParts, criterion));
  const total = scores.reduce((sum, score, criterion) => sum + at(scheme.weights, criterion) * score, 0);
  const seen = scheme.standard.views.filter((view) => looked.has(view));
  return { number, degrees, seen, good, faulty, goodEnds, faultyEnds, goodParts, faultyParts, scores, total };
}

/**
 * The sheets of several horses, by number.
 * @param {readonly string[]} numbers
 * @param {CardFacts} facts
 * @param {Scheme} scheme
 */
export function sheetsOf(numbers, facts, scheme) {
  return new Map(numbers.map((number) => [number, sheetOf(number, facts, scheme)]));
}

/**
 * The element at a place that is known to be there.
 * @template T
 * @param {readonly T[]} list
 * @param {number} place
 * @returns {T}
 */
export function at(list, place) {
  return /** @type {T} */ (list[place]);
}

/** @param {CardFacts} facts @param {Note} note */
function take(facts, note) {
  const { kind } = note;
  if (kind === "mark") {
    const number = String(note.number);
    const degrees = ensure(facts.degrees, number, () => new Map());
    ensure(degrees, String(note.trait), () => new Map()).set(String(note.view), Number(note.degree));
    facts.noted.add(number);
    return;
  }
  if (kind === "over") {
    const winner = String(note.winner);
    const [first, second] = /** @type {[string, string]} */ (note.pair);
    facts.calls.push([winner, first === winner ? second : first]);
    for (const number of [first, second]) {
      facts.called.add(number);
      facts.noted.add(number);
    }
    return;
  }
  if (kind === "order" || kind === "sign") {
    if (kind === "order") facts.order = note.numbers ?? null;
    for (const number of note.numbers ?? []) facts.noted.add(number);
    return;
  }
  const number = note.number ?? "";
  if (number === "") return; // a remark on the class as a whole
  facts.noted.add(number);
  if (kind === "looked") ensure(facts.looked, number, () => new Set()).add(String(note.view));
  else if (kind === "ruling") facts.rulings.set(number, note);
  else if (kind === "lameness") takeGrade(facts, number, note);
  else if (kind === "presence" && note.state === "absent") facts.absent.add(number);
}

/** @param {CardFacts} facts @param {string} number @param {Note} note */
function takeGrade(facts, number, note) {
  const grade = note.grade ?? 0;
  if ((note.card ?? null) !== null) {
    facts.ownGrade.set(number, grade);
    return;
  }
  const grades = note.observer === "veterinarian" ? facts.veterinarianGrade : facts.stewardGrade;
  grades.set(number, Math.max(grade, grades.get(number) ?? 0));
}

/**
 * The value of a key, made and kept where there is none yet.
 * @template K, V
 * @param {Map<K, V>} map
 * @param {K} key
 * @param {() => V} make
 * @returns {V}
 */
function ensure(map, key, make) {
  let value = map.get(key);
  if (value === undefined) {
    value = make();
    map.set(key, value);
  }
  return value;
}
