// @ts-check
/**
 * Oral reasons: what a judge says of a placing, in the words of the standard, each statement with the notes behind it.
 * The twin of `engine/oral.py`, where the form and its limits are explained.
 *
 * @typedef {import("./placing.js").ClassFile} ClassFile
 * @typedef {import("./placing.js").Pair} Pair
 * @typedef {import("./placing.js").Placing} Placing
 * @typedef {import("./placing.js").TraitDifference} TraitDifference
 * @typedef {import("./reasons.js").Words} Words
 * @typedef {import("./shapes.js").Slot} Slot
 * @typedef {import("./shapes.js").Standard} Standard
 * @typedef {import("./sheets.js").Sheet} Sheet
 * @typedef {{ part: string, pair: string[] | null, text: string, notes: string[] }} Statement
 * @typedef {{ format: string, class: string, card: string, numbers: string[], statements: Statement[],
 *   short: Statement[], words: number, seconds: number }} Reasons
 * @typedef {Omit<Pair, "basis"> & { basis: string }} Oriented a pair as placed, or turned by the judge's own order
 * @typedef {Record<string, string>} Values
 */

import { compareText } from "../lib/text.js";
import { isEmpty, merge } from "./merging.js";
import { betterSide, fill, listed, spoken, viewPhrase } from "./reasons.js";
import { at, cardFacts, schemeOf, sheetOf } from "./sheets.js";
import { isFaultOnly } from "./standard.js";
import { standingCall } from "./standing.js";

const FORMAT = "nearside-reasons/1";
const WORDS_A_MINUTE = 150;
const HORSES_IN_TWO_MINUTES = 4;
const WORDS_A_HORSE = (2 * WORDS_A_MINUTE) / HORSES_IN_TWO_MINUTES;
const TRAITS_SPOKEN = 2;
/** What a pair rests on once the judge's own order has turned it. */
const TURNED = { notes: "own", even: "own_level", carried: "own_notes", call: "own_call", rule: "own_rule" };
const FULL = 2;
const NO_MORE_THAN_A_GRANT = 1;
const BARE = 0;

/** The order reasons are given for: the judge's own where there is one. @param {Placing} placing */
export function spokenOrder(placing) {
  return [...(placing.own ?? placing.placing)];
}

/**
 * The reasons for some horses, in this order.
 * @param {ClassFile} classFile
 * @param {Standard} standard
 * @param {Words} words
 * @param {Placing} placing of this class file
 * @param {readonly string[]} numbers best first, at least one
 * @returns {Reasons}
 */
export function oralReasons(classFile, standard, words, placing, numbers) {
  const speaker = new Speaker(classFile, standard, words, placing);
  const atMost = WORDS_A_HORSE * Math.max(HORSES_IN_TWO_MINUTES, numbers.length);
  /** @type {Statement[]} */
  let statements = [];
  let count = 0;
  for (const fullness of [FULL, NO_MORE_THAN_A_GRANT, BARE]) {
    statements = speaker.statements(numbers, fullness);
    count = statements.reduce((sum, each) => sum + wordsSpoken(each.text), 0);
    if (count <= atMost) break;
  }
  return {
    format: FORMAT,
    class: placing.class,
    card: placing.card,
    numbers: [...numbers],
    statements,
    short: speaker.short(numbers),
    words: count,
    seconds: Math.ceil((count * 60) / WORDS_A_MINUTE),
  };
}

/** How many words a text is when read aloud. @param {string} text */
export function wordsSpoken(text) {
  const runs = text.match(/[0-9]+|[A-Za-z'\u{80}-\u{10ffff}]+/gu) ?? [];
  return runs.reduce((sum, run) => sum + (/^[0-9]/.test(run) ? numberWords(run) : 1), 0);
}

/** @param {string} digits */
function numberWords(digits) {
  const number = Number(digits);
  if (digits.startsWith("0") || number > 999) return digits.length;
  const hundreds = Math.floor(number / 100);
  const rest = number % 100;
  const tens = rest === 0 ? 0 : rest <= 20 || rest % 10 === 0 ? 1 : 2;
  return (hundreds > 0 ? 2 : 0) + (hundreds > 0 && rest > 0 ? 1 : 0) + tens;
}

/** One class as it is spoken of. */
class Speaker {
  /** @param {ClassFile} classFile @param {Standard} standard @param {Words} words @param {Placing} placing */
  constructor(classFile, standard, words, placing) {
    const merged = merge(classFile.entries, classFile.notes, classFile.card);
    this.facts = cardFacts(merged);
    this.scheme = schemeOf(standard, classFile.class.sexes);
    this.title = classFile.class.title;
    this.words = words;
    this.sheets = new Map(placing.placing.map((number) => [number, sheetOf(number, this.facts, this.scheme)]));
    this.pairs = new Map(placing.pairs.map((pair) => [`${pair.upper} ${pair.lower}`, pair]));
    this.notes = notesBehind(merged.slots);
    /** @type {Map<string, number>} how often each family of patterns was used */
    this.turn = new Map();
  }

  /** Everything that is said, in order. @param {readonly string[]} numbers @param {number} fullness */
  statements(numbers, fullness) {
    this.turn = new Map();
    const order = this.list(numbers);
    const said = [this.statement("opening", null, "opening", { title: spoken(this.title), numbers: order })];
    said.push(...this.winner(at(numbers, 0)));
    /** @type {string[]} */
    let named = [];
    const pairs = pairwise(numbers);
    pairs.forEach(([upper, lower], place) => {
      const isLast = place === pairs.length - 1 && place > 1;
      const where = pairs.length === 1 ? "middle" : place === 0 ? "top" : isLast ? "bottom" : "middle";
      const spokenPair = this.pair(upper, lower, where, fullness);
      said.push(...spokenPair.said);
      named = spokenPair.named;
    });
    if (numbers.length > 2) said.push(this.last(at(numbers, numbers.length - 1), named));
    if (numbers.length > 1) said.push(this.statement("closing", null, "closing", { numbers: order }));
    return said;
  }

  /** One sentence a pair, for the microphone. @param {readonly string[]} numbers */
  short(numbers) {
    this.turn = new Map();
    return pairwise(numbers).map(([upper, lower]) => this.grounds(upper, lower, "short").said);
  }

  /** @param {string} number @returns {Statement[]} */
  winner(number) {
    const goods = this.strongest(number, true);
    if (goods.length === 0) return [];
    const phrases = goods.map((place) => String(at(this.scheme.traits, place).good));
    const values = { winner: number, goods: this.list(phrases) };
    return [this.statement("winner", null, "winner", values, this.marks([number], goods))];
  }

  /**
   * What is said of a pair, and the keys of the traits named in it.
   * @param {string} upper
   * @param {string} lower
   * @param {string} where
   * @param {number} fullness
   * @returns {{ said: Statement[], named: string[] }}
   */
  pair(upper, lower, where, fullness) {
    const grounds = this.grounds(upper, lower, where);
    const said = [grounds.said];
    let { named } = grounds;
    const pair = this.oriented(upper, lower);
    if (pair === null) return { said, named: [] };
    said.push(...this.lameness(pair));
    const both = [upper, lower];
    const numbers = { upper, lower };
    const above = this.places(pair.for);
    const below = this.places(pair.grants);
    const merits = above.filter((place) => !this.isFault(place) && !named.includes(place)).slice(0, TRAITS_SPOKEN);
    if (fullness === FULL && merits.length > 0 && !pair.basis.includes("rule")) {
      said.push(this.compared("also", "also", both, merits, numbers));
      named = [...named, ...merits];
    }
    const granted = below.filter((place) => !this.isFault(place)).slice(0, TRAITS_SPOKEN);
    if (granted.length > 0) said.push(this.compared("grant", "grant", both, granted, numbers));
    else if (below.length > 0) {
      const faults = below.slice(0, TRAITS_SPOKEN);
      said.push(this.faulted("grant", this.faultFamily("grant_fault", lower, faults), both, faults, numbers));
    }
    const lowerSheet = /** @type {Sheet} */ (this.sheets.get(lower));
    const faults = above.filter((place) => !named.includes(place) && at(lowerSheet.faulty, place) > 0).slice(0, 1);
    if (fullness >= NO_MORE_THAN_A_GRANT && faults.length > 0) {
      said.push(this.faulted("criticism", "fault", both, faults, numbers, [lower]));
      named = [...named, ...faults];
    }
    for (const [number, other] of /** @type {[string, string][]} */ ([
      [lower, upper],
      [upper, lower],
    ])) {
      const seen = this.sheets.get(number)?.seen ?? [];
      const views = (this.sheets.get(other)?.seen ?? []).filter((view) => !seen.includes(view));
      if (views.length === 0) continue;
      const seenFrom = this.list(views.map((view) => viewPhrase(view, this.words)));
      said.push(this.statement("unseen", both, "unseen", { number, views: seenFrom }));
    }
    return { said, named: named.map((place) => at(this.scheme.traits, place).key) };
  }

  /**
   * The deciding fact of a pair, and the traits it names.
   * @param {string} upper
   * @param {string} lower
   * @param {string} where
   * @returns {{ said: Statement, named: number[] }}
   */
  grounds(upper, lower, where) {
    const both = [upper, lower];
    /** @type {Values} */
    const numbers = { upper, lower };
    const pair = this.oriented(upper, lower);
    if (pair === null) return { said: this.statement("pair", both, "pair_unnoted", numbers), named: [] };
    const { basis } = pair;
    if (basis === "call") return { said: this.called(pair, numbers), named: [] };
    if (pair.decided_by === null) {
      const notes = basis === "rule" ? (this.notes.get(`rule ${lower}`) ?? []) : [];
      return { said: this.statement("pair", both, `pair_${basis}`, numbers, notes), named: [] };
    }
    const places = this.places(pair.for.filter((each) => each.criterion === pair.decided_by));
    const criterion = this.scheme.standard.criteria.find(({ key }) => key === pair.decided_by);
    numbers.criterion = spoken(criterion?.title ?? "");
    const merits = places.filter((place) => !this.isFault(place)).slice(0, TRAITS_SPOKEN);
    if (merits.length > 0) {
      const family = where === "short" ? "short" : "pair";
      return { said: this.compared("pair", family, both, merits, numbers, where), named: merits };
    }
    if (places.length > 0) {
      const faults = places.slice(0, TRAITS_SPOKEN);
      const family = this.faultFamily(where === "short" ? "short_fault" : "pair_fault", upper, faults);
      return { said: this.faulted("pair", family, both, faults, numbers), named: faults };
    }
    return { said: this.statement("pair", both, "pair_whole", numbers), named: [] };
  }

  /** @param {Oriented} pair @param {Values} numbers */
  called(pair, numbers) {
    const links = pairwise(pair.chain ?? []);
    const notes = links.flatMap((link) => this.notes.get(callName(link)) ?? []);
    const pattern = this.words.sentence.chain_link;
    const chain = this.list(links.map(([winner, loser]) => fill(pattern, { winner, loser })));
    const family = links.length === 1 ? "pair_call" : "pair_chain";
    return this.statement("pair", [pair.upper, pair.lower], family, { ...numbers, chain }, notes);
  }

  /** What was seen of a horse that stands below by rule for lameness. @param {Oriented} pair @returns {Statement[]} */
  lameness(pair) {
    const { upper, lower } = pair;
    const { grade, isVeterinarians } = standingCall(this.facts, lower);
    if (pair.basis !== "rule" || grade === null || grade === 0 || this.facts.rulings.has(lower)) return [];
    const values = { lower, grade: this.words.grades[grade] };
    const notes = this.notes.get(`rule ${lower}`) ?? [];
    return [this.statement("rule", [upper, lower], isVeterinarians ? "lame_veterinarian" : "lame", values, notes)];
  }

  /** @param {string} number @param {readonly string[]} named */
  last(number, named) {
    const faults = this.strongest(number, false).filter((place) => !named.includes(at(this.scheme.traits, place).key));
    if (faults.length === 0) return this.statement("last", null, "last", { last: number });
    const phrases = faults.map((place) => at(this.scheme.traits, place).faulty);
    const values = { last: number, faults: this.list(phrases) };
    return this.statement("last", null, "last_fault", values, this.marks([number], faults));
  }

  /**
   * The pair as placed, the other way round where the own order goes against it; null where one has no sheet.
   * @param {string} upper
   * @param {string} lower
   * @returns {Oriented | null}
   */
  oriented(upper, lower) {
    const pair = this.pairs.get(`${upper} ${lower}`);
    if (pair !== undefined) return pair;
    const other = this.pairs.get(`${lower} ${upper}`);
    if (other === undefined) return null;
    /** @param {readonly TraitDifference[]} rows */
    const turned = (rows) => rows.map((row) => ({ ...row, difference: -row.difference }));
    const basis = TURNED[other.basis];
    return { ...other, upper, lower, basis, decided_by: null, for: turned(other.grants), grants: turned(other.for) };
  }

  /**
   * The places of the traits that weigh most on a horse, W_c x strength, at one end.
   * @param {string} number
   * @param {boolean} isGood
   */
  strongest(number, isGood) {
    const sheet = this.sheets.get(number);
    if (sheet === undefined) return [];
    const { criterionOf, weights } = this.scheme;
    const strengths = isGood ? sheet.good : sheet.faulty;
    const weighed = strengths.map((strength, place) => at(weights, at(criterionOf, place)) * strength);
    return [...strengths.keys()]
      .filter((place) => at(strengths, place) > 0)
      .sort((a, b) => at(weighed, b) - at(weighed, a))
      .slice(0, TRAITS_SPOKEN);
  }

  /** @param {readonly TraitDifference[]} rows */
  places(rows) {
    return rows.map((row) => this.scheme.placeOf.get(row.trait) ?? -1);
  }

  /** @param {number} place */
  isFault(place) {
    return isFaultOnly(at(this.scheme.traits, place));
  }

  /**
   * The patterns for faults of one horse: those that say `more` where the better one shows them too.
   * @param {string} family
   * @param {string} better
   * @param {readonly number[]} faults
   */
  faultFamily(family, better, faults) {
    const shown = this.sheets.get(better)?.faulty ?? [];
    return faults.some((place) => at(shown, place) > 0) ? `${family}_more` : family;
  }

  /** The ids of the marks behind traits of horses. @param {readonly string[]} numbers @param {readonly number[]} places */
  marks(numbers, places) {
    const traits = places.map((place) => at(this.scheme.traits, place).key);
    return numbers.flatMap((number) =>
      traits.flatMap((trait) => this.notes.get(`mark ${number} ${trait}`) ?? []),
    );
  }

  /**
   * @param {string} part
   * @param {string} family
   * @param {string[]} pair
   * @param {readonly number[]} places
   * @param {Values} values
   * @param {string} [where]
   */
  compared(part, family, pair, places, values, where) {
    const traits = places.map((place) => at(this.scheme.traits, place).key);
    const filled = { ...values, traits: betterSide(traits, this.scheme, this.words) };
    return this.statement(part, pair, family, filled, this.marks(pair, places), where);
  }

  /**
   * @param {string} part
   * @param {string} family
   * @param {string[]} pair
   * @param {readonly number[]} places
   * @param {Values} values
   * @param {readonly string[]} [of]
   */
  faulted(part, family, pair, places, values, of = pair) {
    const phrases = places.map((place) => at(this.scheme.traits, place).faulty);
    return this.statement(part, pair, family, { ...values, faults: this.list(phrases) }, this.marks(of, places));
  }

  /**
   * @param {string} part
   * @param {string[] | null} pair
   * @param {string} family
   * @param {Values} values
   * @param {string[]} [notes]
   * @param {string} [where]
   * @returns {Statement}
   */
  statement(part, pair, family, values, notes = [], where = "") {
    const held = this.words.oral[family];
    const isByPlace = typeof held === "object" && !Array.isArray(held);
    const patterns = [isByPlace ? held[where] : held].flat();
    const name = isByPlace ? `${family} ${where}` : family;
    const turn = (this.turn.get(name) ?? -1) + 1;
    this.turn.set(name, turn);
    return { part, pair, text: fill(patterns[turn % patterns.length], values), notes: [...notes] };
  }

  /** @param {readonly string[]} phrases */
  list(phrases) {
    return listed(phrases, this.words);
  }
}

/** @param {readonly string[]} numbers @returns {[string, string][]} */
function pairwise(numbers) {
  return numbers.slice(1).map((lower, place) => [at(numbers, place), lower]);
}

/** @param {readonly string[]} pair */
function callName(pair) {
  return `call ${[...pair].sort(compareText).join(" ")}`;
}

/**
 * The ids of the notes in force: marks by horse and trait, calls by both numbers, rulings and lameness by horse.
 * @param {readonly Slot[]} slots
 */
function notesBehind(slots) {
  /** @type {Map<string, string[]>} */
  const behind = new Map();
  for (const { used } of slots) {
    if (isEmpty(used)) continue;
    let name = "";
    if (used.kind === "mark") name = `mark ${used.number} ${used.trait}`;
    else if (used.kind === "over") name = callName(used.pair ?? []);
    else if (used.kind === "ruling" || used.kind === "lameness") name = `rule ${used.number}`;
    else continue;
    behind.set(name, [...(behind.get(name) ?? []), used.id]);
  }
  return behind;
}
