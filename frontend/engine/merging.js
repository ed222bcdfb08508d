// @ts-check
/**
 * Notes of several devices, merged into what stands. The twin of `engine/merging.py`, whose theory of operation holds
 * here: what nobody replaced is current, one current note is the value, several are a dispute, none is dropped.
 *
 * @typedef {import("./shapes.js").Note} Note
 * @typedef {import("./shapes.js").Entry} Entry
 * @typedef {import("./shapes.js").Slot} Slot
 * @typedef {import("./shapes.js").Dispute} Dispute
 * @typedef {import("./shapes.js").Merged} Merged
 */

import { compareText, compareTexts } from "../lib/text.js";
import { compareNumbers, follow, inNaturalOrder } from "./numbers.js";

/**
 * How notes of a kind merge: whose they are, the fields of the slot, the fields of the value.
 * @typedef {{ ofCard: boolean, slot: (keyof Note)[], value: (keyof Note)[], emptyWhenNull: (keyof Note)[] }} Kind
 */

/** @type {Readonly<Record<string, Kind>>} */
export const KINDS = {
  mark: { ofCard: true, slot: ["number", "trait", "view"], value: ["degree"], emptyWhenNull: ["degree"] },
  looked: { ofCard: true, slot: ["number", "view"], value: ["done"], emptyWhenNull: ["done"] },
  remark: { ofCard: true, slot: ["about"], value: ["number", "text", "tag"], emptyWhenNull: ["text", "tag"] },
  over: { ofCard: true, slot: ["pair"], value: ["winner"], emptyWhenNull: ["winner"] },
  ruling: { ofCard: true, slot: ["number"], value: ["outcome", "reason"], emptyWhenNull: ["outcome"] },
  order: { ofCard: true, slot: [], value: ["numbers"], emptyWhenNull: ["numbers"] },
  sign: { ofCard: true, slot: [], value: ["numbers", "reason"], emptyWhenNull: ["numbers"] },
  lameness: {
    ofCard: false,
    slot: ["number"],
    value: ["observer", "grade", "gait", "limb", "circumstance", "text"],
    emptyWhenNull: ["grade"],
  },
  presence: { ofCard: false, slot: ["number"], value: ["state"], emptyWhenNull: ["state"] },
  // An entry note has no empty value: with nothing in it, it still enters a horse without identification marks.
  entry: { ofCard: false, slot: ["number"], value: ["identification", "now", "reason"], emptyWhenNull: [] },
};

/**
 * What stands for one card: entries, slots and disputes.
 * @param {readonly Entry[]} entries the class's own
 * @param {Iterable<Note>} notes of the class, in any order, repeats allowed
 * @param {string} card whose marks count
 * @returns {Merged} slots sorted by slot, slots with a null value included
 */
export function merge(entries, notes, card) {
  /** @type {Map<string, Note>} */
  const counted = new Map();
  for (const note of notes) if (countsFor(note, card)) counted.set(note.id, note);
  const entrySlots = slotsOf([...counted.values()].filter((note) => note.kind === "entry"));
  const readsAs = readsAsOf(entrySlots.map((slot) => slot.used));
  const otherSlots = slotsOf(readThrough(counted.values(), readsAs));
  const slots = [...entrySlots, ...otherSlots].sort((a, b) => compareTexts(a.slot, b.slot));
  return {
    entries: entriesOf(entries, entrySlots, readsAs),
    reads_as: readsAs,
    slots,
    disputes: disputesOf(slots, counted, readsAs),
  };
}

/**
 * Whether a note says anything on this card: its own notes, calls without a card, gate and entries.
 * @param {Note} note
 * @param {string} card
 * @returns {boolean}
 */
export function countsFor(note, card) {
  const kind = kindOf(note);
  return (!kind.ofCard && (note.card ?? null) === null) || note.card === card;
}

/**
 * Whether the note's value is null: its slot then holds nothing.
 * @param {Note} note
 * @returns {boolean}
 */
export function isEmpty(note) {
  const fields = kindOf(note).emptyWhenNull;
  return fields.length > 0 && fields.every((field) => (note[field] ?? null) === null);
}

/**
 * The slot a note belongs to: the kind and the slot's fields, all as text; numbers as they stand in the note.
 * @param {Note} note
 * @returns {string[]}
 */
export function slotOf(note) {
  const { kind } = note;
  if (kind === "lameness") return [kind, note.card ?? note.by, String(note.number)];
  const head = kindOf(note).ofCard ? [kind, String(note.card)] : [kind];
  if (kind === "over") return [...head, ...[...(note.pair ?? [])].sort(compareNumbers)];
  if (kind === "remark") return [...head, note.about ?? note.id];
  return [...head, ...kindOf(note).slot.map((field) => String(note[field]))];
}

/**
 * The notes that are not entries, every number in them read as the horse is known today.
 * @param {Iterable<Note>} notes
 * @param {ReadonlyMap<string, string>} readsAs
 * @returns {Note[]}
 */
export function readThrough(notes, readsAs) {
  /** @type {Note[]} */
  const through = [];
  for (const note of notes) {
    if (note.kind === "entry") continue;
    if (readsAs.size === 0) {
      through.push(note);
      continue;
    }
    const read = { ...note };
    if (typeof note.number === "string") read.number = readsAs.get(note.number) ?? note.number;
    if (typeof note.winner === "string") read.winner = readsAs.get(note.winner) ?? note.winner;
    if (note.kind === "over") {
      read.pair = (note.pair ?? []).map((each) => readsAs.get(each) ?? each);
      if (read.pair[0] === read.pair[1]) continue; // its two numbers turned out to be one horse
    }
    if (note.numbers) {
      // Two numbers of one horse in an order: the horse stands where it was first put.
      read.numbers = [...new Set(note.numbers.map((each) => readsAs.get(each) ?? each))];
    }
    through.push(read);
  }
  return through;
}

/** @param {Note} note @returns {Kind} */
function kindOf(note) {
  const kind = KINDS[note.kind];
  if (kind === undefined) throw new Error(`no kind of note: ${note.kind}`);
  return kind;
}

/** @param {readonly Note[]} used @returns {Map<string, string>} */
function readsAsOf(used) {
  /** @type {Map<string, string>} */
  const now = new Map();
  for (const note of used) if (typeof note.now === "string") now.set(String(note.number), note.now);
  /** @type {Map<string, string>} */
  const readsAs = new Map();
  for (const number of inNaturalOrder(now.keys())) {
    const end = follow(number, now);
    if (end !== number) readsAs.set(number, end);
  }
  return readsAs;
}

/**
 * The class's own and the entered ones, each read once; a later identification completes or corrects.
 * @param {readonly Entry[]} entries
 * @param {readonly Slot[]} entrySlots
 * @param {ReadonlyMap<string, string>} readsAs
 * @returns {Entry[]}
 */
function entriesOf(entries, entrySlots, readsAs) {
  /** @type {Map<string, string | null>} */
  const byNumber = new Map();
  /** @param {string} number @param {string | null | undefined} identification */
  const enter = (number, identification) => {
    byNumber.set(number, identification ?? byNumber.get(number) ?? null);
  };
  for (const entry of entries) enter(readsAs.get(entry.number) ?? entry.number, entry.identification);
  const written = entrySlots
    .map((slot) => slot.used)
    .sort((a, b) => compareNumbers(String(a.number), String(b.number)));
  for (const note of written) {
    const number = readsAs.get(String(note.number)) ?? String(note.number);
    if ((note.now ?? null) === null || byNumber.has(number)) enter(number, note.identification);
  }
  return [...byNumber].map(([number, identification]) => ({ number, identification }));
}

/** Every slot with its current notes and the one in force. @param {readonly Note[]} notes @returns {Slot[]} */
function slotsOf(notes) {
  /** @type {Map<string, { slot: string[], group: Note[] }>} */
  const members = new Map();
  for (const note of notes) {
    const slot = slotOf(note);
    const name = JSON.stringify(slot);
    const member = members.get(name);
    if (member === undefined) members.set(name, { slot, group: [note] });
    else member.group.push(note);
  }
  return [...members.values()].map(({ slot, group }) => {
    const current = group.length === 1 ? group : currentOf(group);
    const used = current.reduce((best, note) => (isLater(note, best) ? note : best));
    return { slot, current: current.map((note) => note.id).sort(compareText), used };
  });
}

/** @param {Note} note @param {Note} other */
function isLater(note, other) {
  return note.at === other.at ? compareText(note.id, other.id) > 0 : note.at > other.at;
}

/**
 * The notes of one slot that no other replaces; all of them where they replace one another in a ring.
 * @param {Note[]} group
 * @returns {Note[]}
 */
function currentOf(group) {
  /** @type {Set<string>} */
  const replaced = new Set();
  for (const note of group) for (const old of note.replaces) if (old !== note.id) replaced.add(old);
  const current = group.filter((note) => !replaced.has(note.id));
  return current.length > 0 ? current : group;
}

/**
 * @param {readonly Slot[]} slots
 * @param {ReadonlyMap<string, Note>} counted
 * @param {ReadonlyMap<string, string>} readsAs
 * @returns {Dispute[]}
 */
function disputesOf(slots, counted, readsAs) {
  /** @type {Dispute[]} */
  const disputes = [];
  for (const slot of slots) {
    if (slot.current.length === 1) continue;
    const written = slot.current.map((id) => /** @type {Note} */ (counted.get(id)));
    const first = /** @type {Note} */ (written[0]);
    const notes = first.kind === "entry" ? written : readThrough(written, readsAs);
    const said = notes.map((note) => JSON.stringify(kindOf(first).value.map((field) => note[field] ?? null)));
    if (said.some((each) => each !== said[0])) {
      disputes.push({ slot: slot.slot, notes: slot.current, used: slot.used.id });
    }
  }
  return disputes;
}
