// @ts-check
/**
 * The line of a class as it stands in the ring, kept on this phone for each judge: the horses in the order in which
 * they were first opened or marked, the rest behind them in the class's own order, until the judge arranges it
 * otherwise; and how many horses the judge counts. Nothing moves under the thumb: that order settles when the class is
 * opened anew, and when a pass begins anew.
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
const UNTOUCHED = { opened: [], settled: [], arranged: [], count: null };

/** @type {string | null} */
let owner = null;
/** @type {Map<string, Line>} */
let lines = new Map();
/** @type {WeakMap<readonly Horse[], { settled: string[], arranged: string[], horses: Horse[] }>} */
const ordered = new WeakMap();

/** Read the lines this seat left here. @param {string} seatOwner */
export async function restoreLines(seatOwner) {
  lines = await seats.keptLines(seatOwner).catch(() => new Map());
  owner = seatOwner;
}

/** The horses of a class as they stand in line. @param {Card} card @returns {readonly Horse[]} the same list until something changes */
export function lineOf(card) {
  const { settled, arranged } = kept(card.class.id);
  const before = ordered.get(card.horses);
  if (before?.settled === settled && before.arranged === arranged) return before.horses;
  const horses = inOrder(card, [...arranged, ...settled]);
  ordered.set(card.horses, { settled, arranged, horses });
  return horses;
}

/** The line as it will stand once it settles. @param {Card} card */
export function lineAnew(card) {
  const { opened, arranged } = kept(card.class.id);
  return inOrder(card, [...arranged, ...opened]);
}

/** The class, or a pass of it, begins anew: the line stands as its horses were first opened. @param {string} classId */
export function settleLine(classId) {
  const { opened, settled } = kept(classId);
  if (opened.length !== settled.length) keep(classId, { settled: opened });
}

/** A horse is opened or marked: the first time says where it stands in line. @param {Card} card @param {string} number */
export function standsNext(card, number) {
  const { opened } = kept(card.class.id);
  if (!opened.includes(number)) keep(card.class.id, { opened: [...opened, number] });
}

/** Whether the judge arranged the line. @param {Card} card */
export function isArranged(card) {
  return kept(card.class.id).arranged.length > 0;
}

/** Put the line in this order, each where it is named first; with none, in the order first opened. @param {Card} card @param {readonly string[]} numbers */
export function arrange(card, numbers) {
  keep(card.class.id, { arranged: [...new Set(numbers)] });
  settleLine(card.class.id);
  if (numbers.length === 0) say("The line stands as first opened.", true);
}

/** How many horses the judge counts in the ring; null where they were not counted. @param {Card} card */
export function headCount(card) {
  return kept(card.class.id).count;
}

/** @param {Card} card @param {number | null} count */
export function countHeads(card, count) {
  keep(card.class.id, { count });
}

/** The horses named first, each once, and the rest behind them. @param {Card} card @param {readonly string[]} numbers */
function inOrder(card, numbers) {
  return [...new Set([...numbers.flatMap((number) => card.horse(number) ?? []), ...card.horses])];
}

/** @param {string} classId */
function kept(classId) {
  return lines.get(classId) ?? UNTOUCHED;
}

/** @param {string} classId @param {Partial<Line>} change */
function keep(classId, change) {
  const line = { ...kept(classId), ...change };
  lines.set(classId, line);
  if (owner !== null) void seats.keepLine(owner, classId, line).catch(() => undefined);
  changed();
}
