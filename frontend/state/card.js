// @ts-check
/**
 * One card of one class, as it stands on this phone: the merged notes, asked in the page's own questions.
 *
 * Made anew after every change and never altered, so whatever is drawn from it belongs together. The merge itself is
 * the engine's; here is only looking up.
 *
 * @typedef {import("../engine/shapes.js").Note} Note
 * @typedef {import("../engine/shapes.js").Slot} Slot
 * @typedef {import("../engine/shapes.js").Standard} Standard
 * @typedef {import("../engine/placing.js").ClassFile} ClassFile
 * @typedef {import("../offline/server.js").DayClass} DayClass
 * @typedef {import("../offline/server.js").Seat} Seat
 * @typedef {import("../offline/outbox.js").SentNote} SentNote
 * @typedef {{ number: string, identification: string | null, entered: boolean }} Horse
 * @typedef {Partial<Note> & { kind: string }} Draft what a person says, before it is stamped as a note
 */

import { isEmpty, KINDS, merge, slotOf } from "../engine/merging.js";
import { compareNumbers } from "../engine/numbers.js";
import { newId } from "../lib/ids.js";

export class Card {
  /**
   * @param {DayClass} dayClass
   * @param {Standard} standard
   * @param {ReadonlyMap<string, SentNote>} notes of this class, by id
   * @param {Seat} seat
   */
  constructor(dayClass, standard, notes, seat) {
    this.class = dayClass;
    this.standard = standard;
    this.seat = seat;
    this.notes = notes;
    const merged = merge(dayClass.entries, notes.values(), seat.card ?? "");
    this.readsAs = merged.reads_as;
    this.disputes = merged.disputes;
    /** @type {Map<string, Slot>} */
    this.slots = new Map();
    /** @type {Set<string>} horse and view, seen by a look or by a mark */
    this.seen = new Set();
    /** @type {Set<string>} */
    const noted = new Set();
    for (const slot of merged.slots) {
      this.slots.set(nameOf(slot.slot), slot);
      const { used } = slot;
      if ((used.kind === "mark" || used.kind === "looked") && !isEmpty(used)) {
        this.seen.add(`${used.number} ${used.view}`);
        noted.add(String(used.number));
      }
    }
    /** @type {Horse[]} the class's own first, then those entered later, then any that was only noted */
    this.horses = merged.entries.map(({ number, identification }) => ({
      number,
      identification: identification ?? null,
      entered: true,
    }));
    const entered = new Set(this.horses.map((horse) => horse.number));
    for (const number of noted) {
      if (!entered.has(number)) this.horses.push({ number, identification: null, entered: false });
    }
  }

  /** The card as the engine reads it. @returns {ClassFile} */
  get file() {
    return { class: this.class, entries: this.class.entries, card: this.#card, notes: [...this.notes.values()] };
  }

  /** The horse known by this number today, or noted under it before it was put right. @param {string} number */
  horse(number) {
    const now = this.readsAs.get(number) ?? number;
    return this.horses.find((horse) => horse.number === now) ?? null;
  }

  /** The note in force for a slot, an empty one included. @param {string[]} slot @returns {Note | null} */
  used(slot) {
    return this.slots.get(nameOf(slot))?.used ?? null;
  }

  /** @param {string} number @param {string} trait @param {string} view @returns {number} 0 where there is no mark */
  degree(number, trait, view) {
    return this.used(["mark", this.#card, number, trait, view])?.degree ?? 0;
  }

  /** Whether one said the view was looked at. @param {string} number @param {string} view */
  isLooked(number, view) {
    return this.used(["looked", this.#card, number, view])?.done === true;
  }

  /** Whether the view holds a look or a mark. @param {string} number @param {string} view */
  isSeen(number, view) {
    return this.seen.has(`${number} ${view}`);
  }

  /** What the gate says of a horse. @param {string} number @returns {Note | null} */
  presence(number) {
    const note = this.used(["presence", number]);
    return note === null || isEmpty(note) ? null : note;
  }

  /** @param {string} number */
  isAbsent(number) {
    return this.presence(number)?.state === "absent";
  }

  /** Remarks of a horse, oldest first. @param {string} number @returns {Note[]} */
  remarks(number) {
    return this.#usedOf("remark").filter((note) => note.number === number);
  }

  /** Lameness calls of a horse, one's own first. @param {string} number @returns {Note[]} */
  calls(number) {
    return this.#usedOf("lameness").filter((note) => note.number === number);
  }

  /** Which of two horses stands over the other by direct call. @param {string} a @param {string} b @returns {string | null} */
  winner(a, b) {
    return this.used(["over", this.#card, ...[a, b].sort(compareNumbers)])?.winner ?? null;
  }

  /** The ruling on a horse. @param {string} number @returns {Note | null} */
  ruling(number) {
    const note = this.used(["ruling", this.#card, number]);
    return note === null || isEmpty(note) ? null : note;
  }

  /** The signature that shuts the card. @returns {Note | null} */
  get signature() {
    const note = this.used(["sign", this.#card]);
    return note === null || isEmpty(note) ? null : note;
  }

  /** The dispute about a slot. @param {string[]} slot */
  dispute(slot) {
    const name = nameOf(slot);
    return this.disputes.find((dispute) => nameOf(dispute.slot) === name) ?? null;
  }

  /** @param {string} number @param {string} trait @param {string} view */
  markDispute(number, trait, view) {
    return this.disputes.length === 0 ? null : this.dispute(["mark", this.#card, number, trait, view]);
  }

  /** Views of the standard, with how many horses were seen from each. */
  progress() {
    const horses = this.horses.filter((horse) => !this.isAbsent(horse.number));
    const views = this.standard.views.map((view) => ({
      view,
      seen: horses.filter((horse) => this.isSeen(horse.number, view)).length,
    }));
    return { horses: horses.length, views };
  }

  /**
   * A draft as a note: whose, when, and which notes of its slot it replaces.
   * @param {Draft} draft
   * @param {number} at_ms
   * @returns {SentNote}
   */
  stamped(draft, at_ms) {
    const ofCard = KINDS[draft.kind]?.ofCard === true || (draft.kind === "lameness" && this.seat.card !== null);
    /** @type {SentNote} */
    const note = { ...draft, id: newId(), by: this.seat.id, at: at_ms, replaces: [], class: this.class.id };
    if (ofCard) note.card = this.seat.card;
    note.replaces = [...(this.slots.get(nameOf(slotOf(note)))?.current ?? [])];
    return note;
  }

  get #card() {
    return this.seat.card ?? "";
  }

  /** @param {string} kind @returns {Note[]} */
  #usedOf(kind) {
    const found = [];
    for (const { used } of this.slots.values()) if (used.kind === kind && !isEmpty(used)) found.push(used);
    return found.sort((a, b) => a.at - b.at);
  }
}

/**
 * The value of a note as a draft for its slot, or the slot emptied.
 * @param {Note} note gives kind and slot
 * @param {Note | null} value gives the value; null empties
 * @returns {Draft}
 */
export function draftOf(note, value) {
  const kind = KINDS[note.kind];
  /** @type {Record<string, unknown>} */
  const draft = { kind: note.kind };
  for (const field of kind?.value ?? []) draft[field] = value?.[field] ?? null;
  for (const field of kind?.slot ?? []) draft[field] = note[field];
  if (note.kind === "remark") {
    draft.number = note.number;
    draft.about = note.about ?? note.id;
  }
  return /** @type {Draft} */ (draft);
}

/** @param {readonly string[]} slot */
function nameOf(slot) {
  return slot.join("\u001f");
}
