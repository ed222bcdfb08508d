// @ts-check
/**
 * A class brought in with its notes, from a file or from one's own classes on this phone. Notes keep their ids wherever
 * they go, and notes are a set: brought in twice, or by two ways, nothing is doubled.
 *
 * @typedef {import("./classfile.js").Source} Source
 * @typedef {import("../engine/shapes.js").Entry} Entry
 * @typedef {import("../offline/outbox.js").SentNote} SentNote
 * @typedef {import("../offline/seats.js").Held} Held
 * @typedef {import("../offline/server.js").DayClass} DayClass
 * @typedef {{ id: string, fresh: number, left: number, entered: string[] }} Brought the class, notes that were new, notes
 *   that were left out, numbers entered
 */

import { countsFor } from "../engine/merging.js";
import { isFaultOnly } from "../engine/standard.js";
import { canonical } from "../lib/canonical.js";
import { counted, listed } from "../lib/phrases.js";
import { notesOfClass } from "../offline/outbox.js";
import { Card } from "./card.js";
import { problemOf } from "./classfile.js";
import { entered } from "./entering.js";
import { withClass } from "./own.js";
import { session } from "./session.js";
import { refusalOf } from "./shut.js";
import { standardOf } from "./telling.js";

/** One's own classes on this phone. @returns {{ held: Held, dayClass: DayClass, standard: Source["standard"] }[]} */
export function ownClasses() {
  const held = session.onPhone.find((each) => each.held.alone === "own")?.held;
  if (held === undefined) return [];
  return (held.day?.classes ?? []).flatMap((dayClass) => {
    const standard = standardOf(dayClass.id, held.day);
    return standard === null ? [] : [{ held, dayClass, standard }];
  });
}

/** A class of one's own with its notes. @param {ReturnType<typeof ownClasses>[0]} own @returns {Promise<Source>} */
export async function sourceOf({ held, dayClass, standard }) {
  const kept = await notesOfClass(held.owner, dayClass.id);
  const { entries, ...showClass } = dayClass;
  return { class: showClass, standard, entries, card: held.seat.card ?? "", notes: kept.map(({ note: { class: _, ...note } }) => note) };
}

/** The classes of the day, the likeliest for a source first. @param {Source} source */
export function likelyClasses(source) {
  const likeness = (/** @type {DayClass} */ each) =>
    Number(each.id === source.class.id) * 4 + Number(each.title === source.class.title) * 2 + Number(whyNot(source, each) === null);
  return (session.day?.classes ?? []).toSorted((a, b) => likeness(b) - likeness(a));
}

/** Why a class of the show cannot take the source, or null. @param {Source} source @param {DayClass} dayClass */
export function whyNot(source, dayClass) {
  const standard = standardOf(dayClass.id);
  if (standard === null) return "This phone does not have the standard of that class.";
  const card = session.notebook?.card(dayClass.id) ?? null;
  const shut = card === null ? null : refusalOf(card, copied(source, dayClass));
  if (shut !== null) return shut;
  if (!isJudgedAlike(source, dayClass)) {
    return `It was judged by ${source.standard.title}, that class goes by ${standard.title}: their traits differ.`;
  }
  const problem = cardNotes(source).map((note) => problemOf(note, standard, dayClass.sexes)).find((each) => each !== null);
  return problem === undefined ? null : `It does not fit that class: ${problem}.`;
}

/** Numbers of a source that a class does not have. @param {Source} source @param {DayClass} dayClass */
export function numbersMissing(source, dayClass) {
  const notes = copied(source, dayClass);
  return missing(source, dayClass, notes).map(({ number }) => number);
}

/**
 * Copy a source's notes to the open seat's card in a class of the day.
 * @param {Source} source
 * @param {DayClass} dayClass
 * @returns {Promise<Brought>}
 * @throws {Error} with the reason, where the class cannot take it; then nothing was written
 */
export async function bringInto(source, dayClass) {
  const { notebook } = session;
  // Whether the card is shut is known once it is read from the disk.
  await notebook?.open(dayClass.id);
  const why = whyNot(source, dayClass);
  if (why !== null) throw new Error(why);
  const known = notebook?.card(dayClass.id)?.notes;
  const notes = copied(source, dayClass);
  const fresh = notes.filter(({ id }) => known?.has(id) !== true);
  // The numbers first: what the phone sends comes to the office in this order, a signature last of all.
  const late = missing(source, dayClass, notes);
  if (late.length > 0) {
    const drafts = late.map(({ number, identification }) => entered(number, identification ?? ""));
    await notebook?.write(dayClass.id, drafts, `${counted(late.length, "number")} brought in`).kept;
  }
  await notebook?.bringIn(dayClass.id, notes);
  return {
    id: dayClass.id,
    fresh: fresh.length,
    left: source.notes.length - notes.length,
    entered: late.map(({ number }) => number),
  };
}

/**
 * Take a source in among one's own classes: into the class it is, or as a new one.
 * @param {Source} source
 * @returns {Promise<Brought>}
 * @throws {Error} as `bringInto` does
 */
export async function takeIn(source) {
  let id = source.class.id;
  let known;
  for (let count = 2; ; count += 1) {
    known = session.day?.classes.find((each) => each.id === id);
    if (known === undefined || (known.title === source.class.title && isJudgedAlike(source, known))) break;
    id = `${source.class.id}-${count}`; // another class that goes by the same id
  }
  if (known === undefined) {
    const dayClass = { ...source.class, id, standard: source.standard.key, entries: source.entries };
    await session.changeDay((day) => withClass(day, dayClass, source.standard));
    // Its standard may go by another key now.
    known = session.day?.classes.find((each) => each.id === id) ?? dayClass;
  }
  return bringInto(source, known);
}

/** What became of it, in a line. @param {Brought} brought */
export function broughtSaid({ fresh, left, entered: numbers }) {
  const lines = [fresh === 0 ? "Nothing new: all of it was here already." : `${counted(fresh, "note")} brought in.`];
  if (numbers.length > 0) lines.push(`Entered: ${listed(numbers)}.`);
  if (left > 0) lines.push(`${counted(left, "note")} that your seat does not write stayed behind.`);
  return lines.join(" ");
}

/** @param {Source} source @param {DayClass} dayClass */
function isJudgedAlike(source, dayClass) {
  const standard = standardOf(dayClass.id);
  return standard !== null && judged(standard) === judged(source.standard);
}

/** What decides whether two standards judge the same. @param {Source["standard"]} standard */
function judged({ views, degrees, criteria }) {
  return canonical([
    views,
    degrees,
    criteria.map(({ key, traits }) => [
      key,
      traits.map((trait) => [trait.key, trait.views, trait.weight, isFaultOnly(trait), trait.sexes ?? null]),
    ]),
  ]);
}

/** The notes of a source that say something on its card, oldest first. @param {Source} source */
function cardNotes({ notes, card }) {
  return notes.filter((note) => countsFor(note, card)).toSorted((a, b) => a.at - b.at);
}

/** @param {Source} source @param {DayClass} dayClass @returns {SentNote[]} */
function copied(source, dayClass) {
  const seat = session.held?.seat;
  if (seat === undefined) return [];
  // The office takes a judge's notes alone; among one's own classes everything stays, and whose it is.
  const taken = session.alone !== null ? source.notes : cardNotes(source).filter((note) => isOurs(note));
  return taken.map((note) => {
    const isOwn = session.alone === null || note.by === source.card;
    /** @type {SentNote} */
    const copy = { ...note, class: dayClass.id, by: isOwn ? seat.id : note.by };
    if (note.card === source.card) copy.card = seat.card;
    return copy;
  });
}

/** Whether the open seat writes such a note. @param {import("../engine/shapes.js").Note} note */
function isOurs({ kind, card }) {
  return session.writes(kind) && (kind !== "lameness" || (card ?? null) !== null);
}

/** Entries of the source that are in the class neither by itself nor by the notes. @param {Source} source @param {DayClass} dayClass @param {SentNote[]} notes */
function missing(source, dayClass, notes) {
  const card = session.notebook?.card(dayClass.id) ?? null;
  const seat = session.held?.seat;
  const standard = standardOf(dayClass.id);
  if (seat === undefined || standard === null) return [];
  const all = new Map([...(card?.notes ?? []), ...notes.map((note) => /** @type {const} */ ([note.id, note]))]);
  const after = new Card(dayClass, standard, all, seat);
  return source.entries.filter(({ number }) => after.horse(number)?.entered !== true);
}
