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
 * @typedef {{ id: string, fresh: SentNote[], left: number, stayed: string[], entered: string[] }} Brought the class, notes
 *   that were new, how many the seat does not write, which of order and signature stayed behind, numbers entered
 */

import { countsFor, isEmpty } from "../engine/merging.js";
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
import { named, standardOf } from "./telling.js";

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

/** The class of the day that is meant beyond doubt: the only one of that title, judged alike. @param {Source} source */
export function classMeant(source) {
  const [meant, more] = (session.day?.classes ?? []).filter((each) => each.title === source.class.title && isJudgedAlike(source, each));
  return more === undefined ? meant : undefined;
}

/** Another class that holds notes of the source: a note has one class for good. @param {Source} source @param {string} classId */
export function heldElsewhere({ notes }, classId) {
  return (session.day?.classes ?? []).find(({ id }) => {
    const held = session.notebook?.card(id)?.notes;
    return id !== classId && notes.some((note) => held?.has(note.id) === true);
  });
}

/** How much the card says in a class that is not the source's. @param {Source} source @param {DayClass} dayClass */
export function heldBeside({ notes }, dayClass) {
  const card = session.notebook?.card(dayClass.id);
  const ids = new Set(notes.map(({ id }) => id));
  return [...(card?.slots.values() ?? [])].filter(({ used }) => used.card === card?.name && !isEmpty(used) && !ids.has(used.id)).length;
}

/** Why a class of the show cannot take the source, or null. @param {Source} source @param {DayClass} dayClass */
export function whyNot(source, dayClass) {
  const standard = standardOf(dayClass.id);
  if (standard === null) return "This phone does not have the standard of that class.";
  const elsewhere = heldElsewhere(source, dayClass.id);
  if (elsewhere !== undefined) return `This class is already in ${named(elsewhere)}.`;
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
  // What is where, and whether the card is shut, is known once all is read from the disk.
  await openAll();
  const why = whyNot(source, dayClass);
  if (why !== null) throw new Error(why);
  const known = notebook?.card(dayClass.id)?.notes;
  const notes = copied(source, dayClass);
  const fresh = notes.filter(({ id }) => known?.has(id) !== true);
  const late = missing(source, dayClass, notes);
  const stayed = stayingBehind(source, dayClass);
  await notebook?.bringIn(dayClass.id, notes, late.map(({ number, identification }) => entered(number, identification ?? "")));
  return {
    id: dayClass.id,
    fresh,
    left: source.notes.length - written(source).length,
    stayed,
    entered: late.map(({ number }) => number),
  };
}

/** Read every class of the day from the disk. */
export async function openAll() {
  await Promise.all((session.day?.classes ?? []).map(({ id }) => session.notebook?.open(id)));
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
    await openAll();
    const elsewhere = heldElsewhere(source, id);
    if (elsewhere !== undefined) throw new Error(`This class is already in ${named(elsewhere)}.`);
    const dayClass = { ...source.class, id, standard: source.standard.key, entries: source.entries };
    await session.changeDay((day) => withClass(day, dayClass, source.standard));
    // Its standard may go by another key now.
    known = session.day?.classes.find((each) => each.id === id) ?? dayClass;
  }
  return bringInto(source, known);
}

/** What became of it, in a line. @param {Brought} brought */
export function broughtSaid({ fresh, left, stayed, entered: numbers }) {
  const lines = [fresh.length === 0 ? "Nothing new: all of it was here already." : `${counted(fresh.length, "note")} brought in.`];
  if (numbers.length > 0) lines.push(`Entered: ${listed(numbers)}.`);
  const order = fresh.findLast(({ kind, numbers: places }) => kind === "order" && places)?.numbers;
  const isSigned = fresh.findLast(({ kind }) => kind === "sign")?.numbers;
  if (order) lines.push(`Your order of ${order.length} came along${isSigned ? ", signed: the card is shut" : ""}.`);
  if (stayed.length > 0) lines.push(`Your ${listed(stayed.map((kind) => (kind === "sign" ? "signature" : kind)))} stayed behind: what this card had stands.`);
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
  const staying = stayingBehind(source, dayClass);
  return written(source).filter(({ kind }) => !staying.includes(kind)).map((note) => {
    const isOwn = session.alone === null || note.by === source.card;
    /** @type {SentNote} */
    const copy = { ...note, class: dayClass.id, by: isOwn ? seat.id : note.by };
    if (note.card === source.card) copy.card = seat.card;
    return copy;
  }).sort(signaturesLast);
}

/** The office shuts a card as a signature comes: what was signed comes before, whatever the clocks said. @param {SentNote} a @param {SentNote} b */
function signaturesLast(a, b) {
  return +(a.kind === "sign") - +(b.kind === "sign") || (a.kind === "sign" ? a.at - b.at : 0);
}

/**
 * Which of order and signature stay behind, where a show's card has its own. A signature is for what was signed: it does
 * not come onto a card that says more.
 * @param {Source} source
 * @param {DayClass} dayClass
 */
function stayingBehind(source, dayClass) {
  const card = session.notebook?.card(dayClass.id) ?? null;
  if (session.alone !== null || card === null) return [];
  const ids = new Set(source.notes.map(({ id }) => id));
  return ["order", "sign"].filter((kind) => {
    const used = card.used([kind, card.name]);
    const isOwn = used === null ? kind === "sign" && heldBeside(source, dayClass) > 0 : !ids.has(used.id);
    return isOwn && source.notes.some((note) => note.kind === kind && isOurs(note));
  });
}

/** The notes the open seat takes: the office a judge's alone; among one's own classes all, and whose they are. @param {Source} source */
function written(source) {
  return session.alone !== null ? source.notes : cardNotes(source).filter((note) => isOurs(note));
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
