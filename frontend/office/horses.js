// @ts-check
/**
 * The horses of a class as they are known now: the office's list, and what was noted of each at the gate. Pure functions of
 * a class and its notes.
 *
 * @typedef {import("../engine/shapes.js").Note} Note
 * @typedef {import("./desk.js").DeskClass} DeskClass
 * @typedef {import("./desk.js").DeskEntry} DeskEntry
 * @typedef {import("./desk.js").Strike} Strike
 * @typedef {{ number: string, entry: DeskEntry, state: "present" | "absent" | null, strike: Strike | null }} Horse
 */

import { merge } from "../engine/merging.js";
import { compareNumbers } from "../engine/numbers.js";

/** @type {WeakMap<DeskClass, { notes: readonly Note[], horses: Horse[] }>} */
const known = new WeakMap();
/** @type {readonly Note[]} */
const NONE = [];

/** Those in the class, in natural order of their numbers. @param {DeskClass} dayClass @param {readonly Note[]} [notes] @returns {Horse[]} */
export function horsesOf(dayClass, notes = NONE) {
  const before = known.get(dayClass);
  if (before?.notes === notes) return before.horses;
  const said = new Map(
    merge([], notes, "").slots.filter(({ slot }) => slot[0] === "presence").map(({ slot, used }) => [slot[1], used.state ?? null]),
  );
  const horses = dayClass.entries
    .filter(({ gone }) => gone === null)
    .map((entry) => {
      const number = entry.reads_as ?? entry.number;
      const state = /** @type {Horse["state"]} */ (said.get(number) ?? null);
      return { number, entry, state, strike: dayClass.strikes.find((each) => each.number === number) ?? null };
    })
    .sort((a, b) => compareNumbers(a.number, b.number));
  known.set(dayClass, { notes, horses });
  return horses;
}

/** What a new note of a slot replaces. @param {readonly Note[] | undefined} notes @param {readonly string[]} slot @param {string} [card] */
export function current(notes, slot, card = "") {
  const name = JSON.stringify(slot);
  return merge([], notes ?? NONE, card).slots.find((each) => JSON.stringify(each.slot) === name)?.current ?? [];
}

/** The signatures that stand on a judge's card, of those this seat may read. @param {readonly Note[] | undefined} notes @param {string} card */
export function standing(notes, card) {
  const ids = current(notes, ["sign", card], card);
  return (notes ?? NONE).filter(({ id, numbers }) => ids.includes(id) && numbers);
}
