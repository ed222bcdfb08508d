// @ts-check
/**
 * What an announcer says of a class, and in which order. Pure functions of a released result.
 *
 * A microphone in the wind goes wrong in known ways, and each is met here: the list read from the wrong end (the way is
 * said in words before and after it, and every placing begins with its own place in words, so that the only figures on a
 * line are those of the number), a number heard as another of the class (its signs said one by one, and which other one
 * it can be taken for), a tie read as two places (tied horses are one placing, with the place that is then missing), a
 * line skipped or read twice (what was read and what comes, in words).
 *
 * @typedef {{ place: number, tied: boolean, awarded: boolean, number: string, identification: string | null,
 *   horse?: string | null, exhibitor?: string | null }} Placed
 * @typedef {{ id: string | null, title: string | null, shown: number, result: Placed[] }} Division
 * @typedef {{ result?: Placed[], divisions?: Division[] }} Parts
 * @typedef {{ card: string, name: string | null, from_paper: boolean, signed_at?: number, corrected?: boolean }} ResultJudge
 * @typedef {Parts & { judge: string, name: string | null }} ResultCard
 * @typedef {Parts & { id: string, title: string, method: string | null, problem: string | null, shown: number, places: number,
 *   judges: ResultJudge[], awaited: string[], stricken: { number: string, reason: string | null }[], cards?: ResultCard[],
 *   head?: string, stage?: string | null, announced_at?: number | null, changed_since_announced?: boolean }} ClassResult
 *   `method` is null where one judge judged alone; `awaited`, the judges whose signature is taken back
 * @typedef {"up" | "down"} Way from the last place up, or from the first place down
 * @typedef {{ key: string, title: string | null, lines: Placed[] }} List one order that is read by itself
 * @typedef {"ready" | "changed" | "withdrawn" | "waits" | "announced"} Standing
 * @typedef {{ place: number, horses: Placed[] }} Step one placing; several horses are tied
 */

import { compareNumbers } from "../engine/numbers.js";
import { capital, counted, listed } from "../lib/phrases.js";

const ONES = "zeroth first second third fourth fifth sixth seventh eighth ninth tenth eleventh twelfth thirteenth fourteenth fifteenth sixteenth seventeenth eighteenth nineteenth".split(" ");
const TENS = ["", "", "twent", "thirt", "fort", "fift", "sixt", "sevent", "eight", "ninet"];
const DIGITS = "zero one two three four five six seven eight nine".split(" ");
const COUNTS = ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"];

/** @type {Readonly<Record<string, string>>} */
const METHODS = {
  separate: "separate cards, each judge's by itself",
  majority: "majority placing of the judges' cards",
  points: "points of all judges' cards added",
  dropped_majority: "majority placing, each horse's best and worst place left out",
  dropped_points: "points added, each horse's best and worst place left out",
};

/** How the result came about, in a line. @param {Pick<ClassResult, "method" | "problem">} result */
export function methodSaid({ method, problem }) {
  if (method === null) return "One judge's card";
  if (problem !== null) return `Each judge's card by itself, for ${METHODS[method] ?? method} can't be used: ${problem}`;
  return `By ${METHODS[method] ?? method}`;
}

/** Judges by name, and whose card came on paper. @param {Pick<ClassResult, "judges">} result */
export function judgesSaid({ judges }) {
  const names = judges.map(({ name, card, from_paper }) => `${name ?? card}${from_paper ? " (from paper, entered by the office)" : ""}`);
  return `${judges.length === 1 ? "Judge" : "Judges"}: ${listed(names)}`;
}

/** Who the announcement waits for, where a signature was taken back after the release; empty where nobody. @param {Pick<ClassResult, "judges" | "awaited">} result */
export function awaitedSaid({ judges, awaited }) {
  const names = awaited.map((card) => judges.find((each) => each.card === card)?.name ?? card);
  return names.length === 0 ? "" : `The card of ${listed(names)} is being corrected: there is nothing to announce until it is signed anew.`;
}

/** What the office struck, and why; empty where nothing is. @param {readonly { number: string, reason: string | null }[]} stricken */
export function struckSaid(stricken) {
  const each = stricken.map(({ number, reason }) => (reason ? `${number} (${reason})` : number));
  return each.length === 0 ? "" : `Struck from the result by the office: ${listed(each)}`;
}

/** The orders of a class that are read each by itself: of its judges' separate cards, of its divisions. @param {ClassResult} result @returns {List[]} */
export function listsOf(result) {
  if (result.cards === undefined) return divided(result, "", null);
  return result.cards.flatMap((card) => divided(card, card.judge, `Card of ${card.name ?? card.judge}`));
}

/** @param {Parts} part @param {string} key @param {string | null} title @returns {List[]} */
function divided({ divisions, result = [] }, key, title) {
  if (divisions === undefined) return [{ key, title, lines: result }];
  return divisions.map((division) => ({
    key: `${key}/${division.id}`,
    title: [title, division.title ?? "In no division"].filter((each) => each !== null).join(", "),
    lines: division.result,
  }));
}

/** The placings that are announced, in the order they are read. @param {readonly Placed[]} lines @param {Way} way @returns {Step[]} */
export function stepsOf(lines, way) {
  /** @type {Map<number, Placed[]>} */
  const found = new Map();
  for (const line of lines) if (line.awarded) found.set(line.place, [...(found.get(line.place) ?? []), line]);
  const steps = [...found].map(([place, horses]) => ({ place, horses: horses.toSorted((a, b) => compareNumbers(a.number, b.number)) }));
  return steps.sort((a, b) => (way === "up" ? b.place - a.place : a.place - b.place));
}

/** "sixth", "twenty-first". @param {number} place 1 to 99 */
export function placeWord(place) {
  if (place < 20) return ONES[place] ?? String(place);
  const ten = TENS[Math.floor(place / 10)];
  return place % 10 === 0 ? `${ten}ieth` : `${ten}y-${ONES[place % 10]}`;
}

/** "Sixth place"; of several horses "Tied for second place, two horses". @param {Step} step */
export function stepSaid({ place, horses }) {
  if (horses.length === 1) return `${capital(placeWord(place))} place`;
  return `Tied for ${placeWord(place)} place, ${COUNTS[horses.length] ?? horses.length} horses`;
}

/** Places that nobody has because of a tie, in words; empty where there is none. @param {Step} step */
export function missingSaid({ place, horses }) {
  if (horses.length === 1) return "";
  const missing = horses.slice(1).map((_, after) => placeWord(place + after + 1));
  return missing.length === 1 ? `There is no ${missing[0]} place.` : `There are no ${listed(missing)} places.`;
}

/** Which way it is read, with every placing in its turn. @param {readonly Step[]} steps @param {Way} way */
export function waySaid(steps, way) {
  const turns = steps.map(({ place, horses }) => (horses.length === 1 ? placeWord(place) : `tied ${placeWord(place)}`));
  return `Read from the ${way === "up" ? "last place up" : "first place down"}: ${turns.join(", ")}.`;
}

/** A number's signs one by one: "one two", "T four". @param {string} number */
export function apart(number) {
  return [...number].map((sign) => DIGITS[Number(sign)] ?? sign).join(" ");
}

/** What is said of a placing, word for word. @param {Step} step */
export function spoken(step) {
  const horses = step.horses.map(({ number, horse, exhibitor }) =>
    [`number ${apart(number)}`, horse, exhibitor ? `shown by ${exhibitor}` : null].filter(Boolean).join(", "),
  );
  return `${stepSaid(step)}: ${horses.join("; and ")}.`;
}

/**
 * The other numbers of the class that one can be taken for: read wrongly (signs swapped, 6 and 9, a card upside down,
 * a letter like a digit) or heard wrongly (13 and 30).
 * @param {string} number
 * @param {readonly string[]} all of the class
 */
export function takenFor(number, all) {
  return all.filter((other) => other !== number && isAlike(number, other)).sort(compareNumbers);
}

/** @param {string} a @param {string} b */
function isAlike(a, b) {
  const sorted = (/** @type {string} */ text) => [...text].sort().join("");
  return sorted(a) === sorted(b) || plain(a) === plain(b) || turned(a) === b || teen(a) === b || teen(b) === a;
}

/** Signs that look alike as one. @param {string} number */
function plain(number) {
  /** @type {Record<string, string>} */
  const as = { 9: "6", O: "0", Q: "0", D: "0", I: "1", L: "1", B: "8", S: "5", Z: "2" };
  return [...number].map((sign) => as[sign] ?? sign).join("");
}

/** The number on a card held upside down, or null. @param {string} number */
function turned(number) {
  /** @type {Record<string, string>} */
  const as = { 0: "0", 1: "1", 6: "9", 8: "8", 9: "6" };
  const signs = [...number].reverse().map((sign) => as[sign]);
  return signs.includes(undefined) ? null : signs.join("");
}

/** What a number in -teen sounds like: 113 like 130; null for others. @param {string} number */
function teen(number) {
  return /1[3-9]$/.test(number) ? `${number.slice(0, -2)}${number.slice(-1)}0` : null;
}

/** Horses placed below those that are announced; empty where there are none. @param {readonly Placed[]} lines @param {string} [end] */
export function belowSaid(lines, end = ", not announced") {
  const below = lines.filter(({ awarded }) => !awarded).length;
  return below === 0 ? "" : `${counted(below, "more horse")} placed below${end}.`;
}

/** Where a class stands once its cards come in. @param {Pick<ClassResult, "awaited" | "stage" | "changed_since_announced"> | null} result null where it is not released @param {string | null} stage of the day @returns {Standing} */
export function standingOf(result, stage) {
  if (result === null) return stage === "announced" ? "withdrawn" : "waits";
  if (result.awaited.length > 0) return "withdrawn";
  if ((result.stage ?? stage) !== "announced") return "ready";
  return result.changed_since_announced ? "changed" : "announced";
}
