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

import { isEmpty, KINDS, merge, readThrough, slotOf } from "../engine/merging.js";
import { compareNumbers } from "../engine/numbers.js";
import { newId } from "../lib/ids.js";
import { compareTexts } from "../lib/text.js";

/** Of a remark or a reason. */
export const MOST_TEXT = 500;
const SAYS_SEEN = new Set(["mark", "looked"]);

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
    /** The card's name, empty for a seat that keeps none. */
    this.name = seat.card ?? "";
    const merged = merge(dayClass.entries, notes.values(), this.name);
    this.readsAs = merged.reads_as;
    const quoted = seat.card === null ? quotedIn(notes) : [];
    this.disputes = [...merged.disputes, ...quoted.flatMap(({ disputes }) => disputes)];
    /** @type {Map<string, Slot>} */
    this.slots = new Map([...merged.slots, ...quoted.flatMap(({ slots }) => slots)].map((slot) => [nameOf(slot.slot), slot]));
    /** @type {Set<string>} horse and view, seen by a look or by a mark */
    this.seen = new Set();
    /** @type {Horse[]} the class's own first, then those entered later, then any that was only noted */
    this.horses = merged.entries.map(({ number, identification }) => ({
      number,
      identification: identification ?? null,
      entered: true,
    }));
    const known = new Set(this.horses.map((horse) => horse.number));
    for (const { used } of merged.slots) {
      if (!SAYS_SEEN.has(used.kind) || isEmpty(used)) continue;
      const number = String(used.number);
      this.seen.add(`${number} ${used.view}`);
      if (known.has(number)) continue;
      known.add(number);
      this.horses.push({ number, identification: null, entered: false });
    }
  }

  /**
   * The card after marks and looks were written: their slots are merged anew, all else is as it was. Null where a
   * note could change more than its own slot; then the whole is to be merged.
   * @param {readonly SentNote[]} written in `notes` already
   * @returns {Card | null}
   */
  after(written) {
    // A horse that is only noted is in the line for as long as something is noted of it.
    const entered = new Set(this.horses.filter((horse) => horse.entered).map((horse) => horse.number));
    const isOfOneSlot = (/** @type {SentNote} */ note) =>
      SAYS_SEEN.has(note.kind) && note.card === this.name && entered.has(String(note.number));
    if (!written.every(isOfOneSlot)) return null;
    /** @type {Card} */
    const next = Object.assign(Object.create(Card.prototype), this);
    next.slots = new Map(this.slots);
    next.seen = new Set(this.seen);
    for (const note of written) {
      const ofSlot = readThrough(notesOfSlot(this, note), this.readsAs);
      const merged = merge([], ofSlot, this.name);
      for (const slot of merged.slots) next.slots.set(nameOf(slot.slot), slot);
      const name = nameOf(slotOf(note));
      next.disputes = [...next.disputes.filter((each) => nameOf(each.slot) !== name), ...merged.disputes];
      const horseInView = `${note.number} ${note.view}`;
      if (isSeenIn(next, String(note.number), String(note.view))) next.seen.add(horseInView);
      else next.seen.delete(horseInView);
    }
    next.disputes = next.disputes.toSorted((a, b) => compareTexts(a.slot, b.slot));
    return next;
  }

  /** The card as the engine reads it. @returns {ClassFile} */
  get file() {
    return { class: this.class, entries: this.class.entries, card: this.name, notes: [...this.notes.values()] };
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
    return this.used(["mark", this.name, number, trait, view])?.degree ?? 0;
  }

  /** Whether one said the view was looked at. @param {string} number @param {string} view */
  isLooked(number, view) {
    return this.used(["looked", this.name, number, view])?.done === true;
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
    return usedOf(this, "remark").filter((note) => note.number === number);
  }

  /** Lameness calls of a horse, or of all, oldest first. @param {string} [number] @returns {Note[]} */
  calls(number) {
    return usedOf(this, "lameness").filter((note) => number === undefined || note.number === number);
  }

  /** Which of two horses stands over the other by direct call. @param {string} a @param {string} b @returns {string | null} */
  winner(a, b) {
    return this.used(["over", this.name, ...[a, b].sort(compareNumbers)])?.winner ?? null;
  }

  /** The ruling on a horse. @param {string} number @returns {Note | null} */
  ruling(number) {
    const note = this.used(["ruling", this.name, number]);
    return note === null || isEmpty(note) ? null : note;
  }

  /** The signature that shuts the card. @returns {Note | null} */
  get signature() {
    const note = this.used(["sign", this.name]);
    return note === null || isEmpty(note) ? null : note;
  }

  /** The dispute about a slot. @param {string[]} slot */
  dispute(slot) {
    const name = nameOf(slot);
    return this.disputes.find((dispute) => nameOf(dispute.slot) === name) ?? null;
  }

  /** @param {string} number @param {string} trait @param {string} view */
  markDispute(number, trait, view) {
    return this.disputes.length === 0 ? null : this.dispute(["mark", this.name, number, trait, view]);
  }

  /** @param {string} a @param {string} b */
  callDispute(a, b) {
    return this.dispute(["over", this.name, ...[a, b].sort(compareNumbers)]);
  }

  /** What is disputed about a horse. @param {string} number */
  disputesOf(number) {
    return this.disputes.filter(({ used }) => {
      const { pair = [], number: own } = this.notes.get(used) ?? {};
      return [...pair, own ?? ""].some((each) => (this.readsAs.get(each) ?? each) === number);
    });
  }

  /**
   * The note that first said what a note says, where a settled dispute was opened again: its values were then written
   * anew, all at once, in place of the note that had settled it, and whose they are is not who opened it.
   * @param {Note} note
   * @returns {Note}
   */
  saidFirst(note) {
    const settled = this.notes.get(note.replaces[0] ?? "");
    const isAnew = [...this.notes.values()].some(
      (each) => each.id !== note.id && each.at === note.at && each.by === note.by && String(each.replaces) === String(note.replaces),
    );
    if (settled === undefined || !isAnew) return note;
    const value = KINDS[note.kind]?.value ?? [];
    const first = settled.replaces
      .map((id) => this.notes.get(id))
      .find((each) => each !== undefined && value.every((field) => (each[field] ?? null) === (note[field] ?? null)));
    return first === undefined ? note : this.saidFirst(first);
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
    /** @type {SentNote} */
    const note = { ...draft, id: newId(), by: this.seat.id, at: at_ms, replaces: [], class: this.class.id };
    if (isOfCard(draft.kind, this.seat)) note.card = this.seat.card;
    note.replaces = [...(this.slots.get(nameOf(slotOf(note)))?.current ?? [])];
    return note;
  }
}

/**
 * What a seat without a card wrote down on the cards of judges: their calls, which is all it writes there.
 * @param {ReadonlyMap<string, SentNote>} notes
 */
function quotedIn(notes) {
  const all = [...notes.values()];
  const cards = new Set(all.flatMap(({ kind, card }) => (kind === "lameness" && card ? card : [])));
  return [...cards].map((card) => {
    const merged = merge([], all.filter((note) => note.kind === "entry" || (note.kind === "lameness" && note.card === card)), card);
    /** @param {{ slot: string[] }} each */
    const isCall = ({ slot }) => slot[0] === "lameness";
    return { slots: merged.slots.filter(isCall), disputes: merged.disputes.filter(isCall) };
  });
}

/** Whether what a seat says in this kind stands on its card. @param {string} kind @param {Seat} seat */
export function isOfCard(kind, seat) {
  return KINDS[kind]?.ofCard === true || (kind === "lameness" && seat.card !== null);
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
  // Whose word a call is stays, also where there is none any more.
  if (note.kind === "lameness" && note.card) draft.card = note.card;
  if (note.kind === "lameness" && !note.card) draft.observer = value?.observer ?? note.observer;
  if (note.kind === "remark") {
    draft.number = value === null ? note.number : (value.number ?? null);
    draft.about = note.about ?? note.id;
  }
  return /** @type {Draft} */ (draft);
}

/** Notes in force of one kind, oldest first. @param {Card} card @param {string} kind @returns {Note[]} */
function usedOf(card, kind) {
  const found = [];
  for (const { used } of card.slots.values()) if (used.kind === kind && !isEmpty(used)) found.push(used);
  return found.sort((a, b) => a.at - b.at);
}

/** Every note of the slot of a mark or look. @param {Card} card @param {SentNote} one @returns {SentNote[]} */
function notesOfSlot({ notes, name, readsAs }, one) {
  const found = [];
  for (const note of notes.values()) {
    if (note.kind !== one.kind || note.view !== one.view || note.trait !== one.trait || note.card !== name) continue;
    const number = String(note.number);
    if ((readsAs.get(number) ?? number) === one.number) found.push(note);
  }
  return found;
}

/** @param {Card} card @param {string} number @param {string} view */
function isSeenIn(card, number, view) {
  for (const { used } of card.slots.values()) {
    if (used.number === number && used.view === view && SAYS_SEEN.has(used.kind) && !isEmpty(used)) return true;
  }
  return false;
}

/** @param {readonly string[]} slot */
function nameOf(slot) {
  return slot.join("\u001f");
}
