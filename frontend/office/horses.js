// @ts-check
/**
 * The horses of a class as they are known now: the office's entries and what was noted at the gate, read together. Pure
 * functions of a class and its notes.
 *
 * @typedef {import("../engine/shapes.js").Note} Note
 * @typedef {import("./desk.js").DeskClass} DeskClass
 * @typedef {import("./desk.js").DeskEntry} DeskEntry
 * @typedef {import("./desk.js").Strike} Strike
 * @typedef {{ number: string, identification: string | null, entry: DeskEntry | null, state: "present" | "absent" | null,
 *   replaces: string[], strike: Strike | null }} Horse `entry` is null where the horse was entered at the ring alone;
 *   `replaces`: the notes of the gate that another word on it replaces
 */

import { merge } from "../engine/merging.js";
import { compareNumbers } from "../engine/numbers.js";

/** @type {WeakMap<DeskClass, { notes: readonly Note[], horses: Horse[] }>} */
const known = new WeakMap();
/** @type {readonly Note[]} */
const NONE = [];

/** In natural order of their numbers. @param {DeskClass} dayClass @param {readonly Note[]} [notes] @returns {Horse[]} */
export function horsesOf(dayClass, notes = NONE) {
  const before = known.get(dayClass);
  if (before?.notes === notes) return before.horses;
  const entries = dayClass.entries.filter(({ gone }) => gone === null);
  const merged = merge(entries, notes, "");
  const presence = new Map(merged.slots.filter(({ slot }) => slot[0] === "presence").map((slot) => [slot.slot[1], slot]));
  const horses = merged.entries.map(({ number, identification = null }) => {
    const slot = presence.get(number);
    const state = /** @type {Horse["state"]} */ (slot?.used.state ?? null);
    return {
      number,
      identification,
      entry: entries.find((entry) => (merged.reads_as.get(entry.number) ?? entry.number) === number) ?? null,
      state,
      replaces: slot?.current ?? [],
      strike: dayClass.strikes.find((each) => each.number === number) ?? null,
    };
  });
  horses.sort((a, b) => compareNumbers(a.number, b.number));
  known.set(dayClass, { notes, horses });
  return horses;
}

/** The notes that another word on how a number is known replaces. @param {readonly Note[]} notes @param {string} number as written @returns {string[]} */
export function entryNotes(notes, number) {
  const { slots } = merge([], notes, "");
  return slots.find(({ slot }) => slot[0] === "entry" && slot[1] === number)?.current ?? [];
}
