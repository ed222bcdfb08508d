// @ts-check
/**
 * The notes of the seat this browser is joined as, class by class: what is written is in the card at once, and then
 * on its way to the phone's disk. Keeps count of what is not there yet, and takes back what was written last.
 *
 * @typedef {import("../engine/shapes.js").Note} Note
 * @typedef {import("../offline/outbox.js").SentNote} SentNote
 * @typedef {import("../offline/outbox.js").KeptNote} KeptNote
 * @typedef {import("../offline/seats.js").Held} Held
 * @typedef {import("./card.js").Draft} Draft
 * @typedef {{ number: string, view: string }} Stop
 * @typedef {{ id: string, before: Note | null, others?: Note[], beside?: string[] }} Written what stood before; others
 *   where it was disputed; beside which notes it stands, where it was brought in
 * @typedef {{ class: string, notes: Written[], words: string, from?: Stop }} Step `from` where one was before it
 * @typedef {{ why: string | null, kept: Promise<void> }} Taken why it was refused; when the disk has it, or has not
 * @typedef {{ class: string, note: SentNote | null, words: string, from: Stop | null, isTaken: boolean,
 *   isReopened: boolean, struck: string[], left: number, of: number, why: string | null }} TakenBack a dispute open
 *   again; horses entered, now noted as absent; how many of how many notes were changed since and stand; why a shut
 *   card refused
 */

import { isEmpty, readThrough } from "../engine/merging.js";
import { changed } from "../lib/part.js";
import { counted } from "../lib/phrases.js";
import * as outbox from "../offline/outbox.js";
import * as seats from "../offline/seats.js";
import * as tabs from "../offline/tabs.js";
import { Card, draftOf } from "./card.js";
import { refusal, refusalOf } from "./shut.js";

/** What can be taken back. */
export const MOST_STEPS = 20;
const TRIES_TO_SAVE_EVERY_MS = 5000;

export class Notebook {
  /** @type {Held} */
  #held;
  /** @type {Map<string, Map<string, SentNote>>} */
  #notes = new Map();
  /** @type {Map<string, Card>} */
  #cards = new Map();
  /** @type {Set<string>} ids written on this phone */
  #here = new Set();
  /** @type {Set<string>} classes read from the disk */
  #open = new Set();
  /** @type {Map<string, SentNote>} written, and not yet said to be on the disk */
  #writing = new Map();
  /** @type {Map<string, SentNote>} the disk failed for these */
  #unsaved = new Map();
  /** @type {Set<string>} written in this page, and not yet named by the server */
  #unnamed = new Set();
  /** @type {Step[]} */
  #steps = [];
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #again;
  /** Called when notes are on the disk, or could not be put there. */
  onKept = () => {};

  /** @param {Held} held */
  constructor(held) {
    this.#held = held;
    void seats.kept(`undo ${held.owner}`).then((steps) => {
      if (Array.isArray(steps)) this.#steps = [...steps, ...this.#steps].slice(-MOST_STEPS);
      changed();
    }, () => undefined);
  }

  get owner() {
    return this.#held.owner;
  }

  /** Whether notes go to a server. */
  get #isSent() {
    return this.#held.alone === undefined;
  }

  /** How many notes are being written, how many the disk did not take, how many the server has not named. */
  get saving() {
    return { writing: this.#writing.size, unsaved: this.#unsaved.size, unnamed: this.#unnamed.size };
  }

  /** Notes that are only in this page's memory. @returns {SentNote[]} */
  get unsaved() {
    return [...this.#unsaved.values()];
  }

  /** Whether this phone wrote the note. @param {string} id */
  isFromHere(id) {
    return this.#here.has(id);
  }

  /** Take a newer day: its classes, entries, words. @param {Held} held */
  takeDay(held) {
    this.#held = held;
    this.#cards.clear();
  }

  /** Read a class from the disk, once. @param {string} classId */
  async open(classId) {
    if (!this.#open.has(classId)) await this.#read(classId);
  }

  /** @param {string} classId */
  async #read(classId) {
    const kept = await outbox.notesOfClass(this.owner, classId);
    const notes = this.#of(classId);
    for (const { id, note, here } of kept) {
      if (!notes.has(id)) notes.set(id, note);
      if (here) this.#here.add(id);
    }
    this.#open.add(classId);
    this.#cards.delete(classId);
    changed();
  }

  /** The card of a class, or null until it is read from the disk. @param {string} classId @returns {Card | null} */
  card(classId) {
    if (!this.#open.has(classId)) return null;
    let card = this.#cards.get(classId);
    if (card === undefined) {
      const { day, seat } = this.#held;
      const dayClass = day?.classes.find((each) => each.id === classId);
      const standard = day?.standards.find((each) => each.key === dayClass?.standard);
      if (dayClass === undefined || standard === undefined) return null;
      card = new Card(dayClass, standard, this.#of(classId), seat);
      this.#cards.set(classId, card);
    }
    return card;
  }

  /**
   * Write notes. They are in the card when this returns, all of them or none: then it tells why. A signature is no step:
   * it is taken back with a reason, not by undo.
   * @param {string} classId
   * @param {readonly Draft[]} drafts each of another slot
   * @param {string} words what was done, for taking it back
   * @param {Stop} [from] where taking it back leads to; with it, a step may be without notes
   * @returns {Taken}
   */
  write(classId, drafts, words, from) {
    const card = this.card(classId);
    const why = card === null ? "This class is not read from this phone yet: try again." : refusal(card, drafts);
    if (card === null || why !== null || (drafts.length === 0 && from === undefined)) return { why, kept: Promise.resolve() };
    const notes = stampedAll(card, drafts);
    /** @type {Step} */
    const step = { class: classId, notes: notes.map((note) => ({ id: note.id, ...valueBefore(card, note) })), words };
    if (from !== undefined) step.from = from;
    if (drafts[0]?.kind !== "sign") this.#steps = [...this.#steps, step].slice(-MOST_STEPS);
    return { why, kept: this.#put(classId, notes) };
  }

  /** What would be taken back next. @returns {Step | null} */
  get lastStep() {
    return this.#steps[this.#steps.length - 1] ?? null;
  }

  /**
   * Take back the last thing done here: its slots get the value they had before, or the values, where these were
   * disputed. Not if another device changed them since: then its word stands, and is left alone. A horse entered stays
   * in the class, for notes never go away: it is noted as absent, unless somebody noted more of it.
   * @returns {Promise<TakenBack | null>}
   */
  async takeBack() {
    const step = this.lastStep;
    if (step === null) return null;
    await this.open(step.class);
    if (!this.#steps.includes(step)) return this.takeBack(); // a quicker tap took it back meanwhile
    const card = this.card(step.class);
    const notes = this.#of(step.class);
    const first = notes.get(step.notes[0]?.id ?? "") ?? null;
    const said = { class: step.class, note: first, words: step.words, from: step.from ?? null, of: step.notes.length };
    const found = card === null ? [] : step.notes.map((written) => restoring(card, written, new Set(step.notes.map(({ id }) => id))));
    const left = found.filter((each) => each.length === 0).length;
    // A horse that was brought in with what the gate said of it is noted as absent, and no more.
    const gated = new Set();
    const restored = found.flat().filter(({ draft }) => draft.kind !== "presence" || (!gated.has(draft.number) && gated.add(draft.number)));
    const why = card === null ? null : refusal(card, restored.map(({ draft }) => draft));
    const isLeft = card === null || (restored.length === 0 && step.notes.length > 0);
    if (why === null) this.#steps = this.#steps.filter((each) => each !== step);
    if (why !== null || isLeft) {
      if (isLeft) await this.#keep([]);
      return { ...said, isTaken: false, isReopened: false, struck: [], left, why };
    }
    const written = stampedAll(card, restored.map(({ draft }) => draft));
    // What is restored now stands for the note it was restored from: the step that wrote that one can be taken back.
    restored.forEach(({ before }, place) => this.#standIn(before?.id, String(written[place]?.id)));
    await this.#put(step.class, written);
    const struck = restored.flatMap(({ draft }) => (first?.kind === "entry" && draft.state === "absent" ? [String(draft.number)] : []));
    const isReopened = step.notes.some(({ others }) => others !== undefined && others.length > 0);
    return { ...said, isTaken: true, isReopened, struck, left, why };
  }

  /**
   * Take in notes written elsewhere, as they are, and enter the numbers they need first; notes known already change
   * nothing. One step, to be taken back whole; a signature is none. Resolves when the disk has them, or has not.
   * @param {string} classId
   * @param {readonly SentNote[]} notes
   * @param {readonly Draft[]} [late] numbers to be entered
   * @throws {Error} with the reason, where the card is shut
   */
  async bringIn(classId, notes, late = []) {
    await this.open(classId);
    const card = this.card(classId);
    const why = card === null ? null : refusalOf(card, notes);
    if (why !== null) throw new Error(why);
    const fresh = notes.filter((note) => !this.#of(classId).has(note.id));
    const written = [...(card === null ? [] : stampedAll(card, late)), ...fresh];
    if (card === null || written.length === 0) return;
    const all = new Map([...card.notes, ...written.map((note) => /** @type {const} */ ([note.id, note]))]);
    const after = new Card(card.class, card.standard, all, card.seat);
    const step = { class: classId, notes: broughtOver(card, after, written), words: `${counted(fresh.length, "note")} brought in` };
    if (step.notes.length > 0) this.#steps = [...this.#steps, step].slice(-MOST_STEPS);
    this.#cards.delete(classId); // many at once: merged whole
    await this.#put(classId, written);
  }

  /** Notes came from the server or from another tab. @param {readonly SentNote[]} notes */
  take(notes) {
    for (const note of notes) {
      // A note never changes: one's own, coming back from the server, is no news.
      if (this.#of(note.class).has(note.id)) continue;
      this.#of(note.class).set(note.id, note);
      this.#cards.delete(note.class);
    }
    changed();
  }

  /** Another tab wrote these. @param {readonly SentNote[]} notes */
  takeFromHere(notes) {
    for (const note of notes) this.#here.add(note.id);
    this.take(notes);
  }

  /** The server has these, or refused them: they need this page's memory no more. @param {readonly string[]} ids */
  letGo(ids) {
    for (const id of ids) {
      this.#unsaved.delete(id);
      this.#unnamed.delete(id);
    }
  }

  /** The server refused these: the card must show what it keeps instead. @param {readonly SentNote[]} notes */
  drop(notes) {
    for (const note of notes) {
      const held = this.#of(note.class);
      if (outbox.isSame(held.get(note.id), note)) held.delete(note.id);
      this.#cards.delete(note.class);
    }
    // Another note of the same id may have come from the server.
    for (const classId of new Set(notes.map((note) => note.class))) void this.#read(classId).catch(() => undefined);
    changed();
  }

  /** @param {string} classId @param {readonly SentNote[]} notes */
  async #put(classId, notes) {
    const card = this.#cards.get(classId);
    for (const note of notes) {
      this.#of(classId).set(note.id, note);
      this.#here.add(note.id);
      this.#writing.set(note.id, note);
      if (this.#isSent) this.#unnamed.add(note.id);
    }
    const after = card?.after(notes) ?? null;
    if (after === null) this.#cards.delete(classId);
    else this.#cards.set(classId, after);
    // The disk begins while the page is painted.
    const kept = this.#keep(notes);
    changed();
    await kept;
  }

  /** @param {string | undefined} id @param {string} now */
  #standIn(id, now) {
    this.#steps = this.#steps.map((step) => ({
      ...step,
      notes: step.notes.map((note) => (note.id === id ? { ...note, id: now } : note)),
    }));
  }

  /** @param {readonly SentNote[]} notes */
  async #keep(notes) {
    try {
      await outbox.keepWritten(this.owner, notes, this.#steps, this.#isSent);
      tabs.tell({ kind: "notes", owner: this.owner, notes: [...notes], here: true, named: [], gone: [] });
      for (const note of notes) this.#unsaved.delete(note.id);
    } catch {
      for (const note of notes) this.#unsaved.set(note.id, note);
      clearTimeout(this.#again);
      this.#again = setTimeout(() => void this.#keepAgain(), TRIES_TO_SAVE_EVERY_MS);
    } finally {
      for (const note of notes) this.#writing.delete(note.id);
      this.onKept();
      changed();
    }
  }

  async #keepAgain() {
    const notes = this.unsaved;
    if (notes.length > 0) await this.#keep(notes);
  }

  /** @param {string} classId */
  #of(classId) {
    let notes = this.#notes.get(classId);
    if (notes === undefined) this.#notes.set(classId, (notes = new Map()));
    return notes;
  }
}

/** @param {Card} card @param {readonly Draft[]} drafts @returns {SentNote[]} */
function stampedAll(card, drafts) {
  const now = Date.now();
  return drafts.map((draft) => card.stamped(draft, now));
}

/**
 * What takes a note back; nothing where it does not stand alone in its slot any more.
 * @param {Card} card
 * @param {Written} written
 * @param {ReadonlySet<string>} ids of the whole step
 * @returns {{ draft: Draft, before: Note | null }[]}
 */
function restoring(card, { id, before, others, beside = [] }, ids) {
  for (const { current, used } of card.slots.values()) {
    if (current.length !== 1 + beside.length || ![id, ...beside].every((each) => current.includes(each))) continue;
    if (used.kind === "entry" && before === null && !used.now) {
      const number = String(used.number);
      return isNotedOn(card, number, ids) ? [] : [{ draft: { kind: "presence", number, state: "absent" }, before }];
    }
    // None of these replaces another: all of them are current.
    return [before, ...(others ?? [])].map((each) => ({ draft: draftOf(used, each), before: each }));
  }
  return [];
}

/** Whether anything but its entry and its step is noted of a horse, under this number. @param {Card} card @param {string} number @param {ReadonlySet<string>} ids */
function isNotedOn(card, number, ids) {
  return [...card.slots.values()].some(({ used }) => {
    if (used.kind === "entry" || isEmpty(used) || ids.has(used.id)) return false;
    const note = card.notes.get(used.id) ?? used;
    return note.number === number || [...(note.pair ?? []), ...(note.numbers ?? [])].includes(number);
  });
}

/**
 * What taking back what was brought in has to restore, entries first.
 * @param {Card} card before
 * @param {Card} after
 * @param {readonly SentNote[]} brought
 * @returns {Written[]}
 */
function broughtOver(card, after, brought) {
  const own = new Set(brought.filter(({ by, kind }) => by === card.seat.id && kind !== "sign").map(({ id }) => id));
  const slots = [...after.slots.values()].toSorted((a, b) => Number(b.used.kind === "entry") - Number(a.used.kind === "entry"));
  return slots.flatMap(({ slot, current }) => {
    const id = current.find((each) => own.has(each));
    if (id === undefined) return [];
    return { id, ...valueBefore(card, { replaces: [card.used(slot)?.id ?? ""] }), beside: current.filter((each) => each !== id) };
  });
}

/** What stood in the slot before. @param {Card} card @param {Pick<Note, "replaces">} note @returns {Omit<Written, "id">} */
function valueBefore(card, note) {
  const [first] = note.replaces;
  for (const { slot, current, used } of card.slots.values()) {
    if (first === undefined || !current.includes(first)) continue;
    if (card.dispute(slot) === null) return { before: used };
    const others = current.filter((id) => id !== used.id).flatMap((id) => card.notes.get(id) ?? []);
    return { before: used, others: used.kind === "entry" ? others : readThrough(others, card.readsAs) };
  }
  return { before: null };
}
