// @ts-check
/**
 * The line of a class as it stands in the ring, kept on this phone for each judge: the horses in the order in which
 * they were first opened or marked, the rest behind them in the class's own order, until the judge arranges it
 * otherwise; and how many horses the judge counts.
 *
 * None of it is a note: where a horse stands in line is no business of anybody else's.
 *
 * @typedef {import("./card.js").Card} Card
 * @typedef {import("./card.js").Horse} Horse
 * @typedef {import("../offline/seats.js").Line} Line
 */

import { changed } from "../lib/part.js";
import * as seats from "../offline/seats.js";
import { say } from "./voice.js";

/** @type {Line} */
const UNTOUCHED = { opened: [], arranged: [], count: null };

/** @type {string | null} */
let owner = null;
/** @type {Map<string, Line>} */
let lines = new Map();
/** @type {WeakMap<readonly Horse[], { line: Line, horses: Horse[] }>} */
const ordered = new WeakMap();

/** Read the lines this seat left here. @param {string} seatOwner */
export async function restoreLines(seatOwner) {
  lines = await seats.keptLines(seatOwner).catch(() => new Map());
  owner = seatOwner;
}

/** The horses of a class as they stand in line. @param {Card} card @returns {readonly Horse[]} the same list until something changes */
export function lineOf(card) {
  const line = kept(card);
  const before = ordered.get(card.horses);
  if (before?.line === line) return before.horses;
  /** @type {Map<string, Horse | null>} */
  const standing = new Map();
  for (const number of [...line.arranged, ...line.opened]) {
    const horse = card.horse(number);
    if (horse !== null) standing.set(horse.number, horse);
  }
  for (const horse of card.horses) standing.set(horse.number, horse);
  const horses = /** @type {Horse[]} */ ([...standing.values()]);
  ordered.set(card.horses, { line, horses });
  return horses;
}

/** A horse is opened or marked: the first time says where it stands in line. @param {Card} card @param {string} number */
export function standsNext(card, number) {
  const { opened } = kept(card);
  if (!opened.includes(number)) keep(card, { opened: [...opened, number] });
}

/** Whether the judge arranged the line. @param {Card} card */
export function isArranged(card) {
  return kept(card).arranged.length > 0;
}

/** Put the line in this order, each where it is named first; with none, in the order first opened. @param {Card} card @param {readonly string[]} numbers */
export function arrange(card, numbers) {
  keep(card, { arranged: [...new Set(numbers)] });
  if (numbers.length === 0) say("The line stands as first opened.", true);
}

/** How many horses the judge counts in the ring; null where they were not counted. @param {Card} card */
export function headCount(card) {
  return kept(card).count;
}

/** @param {Card} card @param {number | null} count */
export function countHeads(card, count) {
  keep(card, { count });
}

/** @param {Card} card */
function kept(card) {
  return lines.get(card.class.id) ?? UNTOUCHED;
}

/** @param {Card} card @param {Partial<Line>} change */
function keep(card, change) {
  const line = { ...kept(card), ...change };
  lines.set(card.class.id, line);
  if (owner !== null) void seats.keepLine(owner, card.class.id, line).catch(() => undefined);
  changed();
}
