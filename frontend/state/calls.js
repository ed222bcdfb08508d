// @ts-check
/**
 * Lameness calls: whose word each is, which wait for the judge, and writing them down. Three sources that are never mixed:
 * what a judge says stands on that judge's card; what the veterinarian says and what a steward's own eye asks stand on
 * none. A call is an observation at one moment, never a diagnosis.
 *
 * @typedef {import("./card.js").Card} Card
 * @typedef {import("./card.js").Draft} Draft
 * @typedef {import("../engine/shapes.js").Note} Note
 * @typedef {{ key: string, says: string }} Source `key` is an observer, or a judge's card
 * @typedef {"gait" | "limb" | "circumstance" | "text"} Detail
 */

import { changed } from "../lib/part.js";
import { keep, kept } from "../offline/seats.js";
import { isOfCard } from "./card.js";
import { GRADES } from "./grades.js";
import { write } from "./ring.js";
import { session } from "./session.js";
import { cardNamed } from "./telling.js";

export const STEWARD = "steward";
export const VETERINARIAN = "veterinarian";
/** From here on the judge is always asked for a ruling. */
const ASKS_RULING = 4;
const ASKED = 1;

/** @type {Map<string, ReadonlySet<string>>} calls the judge has seen, by seat and class */
const seen = new Map();
/** @type {Set<string>} those the disk was asked for */
const asked = new Set();

/** Who may be quoted here: a seat with a card says its own; the gate writes down three. @param {Card} card @returns {Source[]} */
export function sources({ seat, class: { id } }) {
  if (seat.card !== null) return [{ key: seat.card, says: seat.id === seat.card ? "You say" : "Your judge says" }];
  // What a judge says the steward writes down, who stands in the ring; the office does not.
  const judges = seat.role !== "steward" ? [] : (session.day?.seats ?? []).filter(({ classes }) => classes?.includes(id));
  return [
    { key: STEWARD, says: "I ask the judge to look again" },
    { key: VETERINARIAN, says: "The veterinarian says" },
    ...judges.map((judge) => ({ key: judge.id, says: `${judges.length > 1 ? judge.name : "The judge"} says` })),
  ];
}

/** Whose word a call is: an observer, or a card. @param {Note} call */
export function sourceOf({ card, observer }) {
  return card ?? observer ?? STEWARD;
}

/** Whose word it is, in words for whoever reads it here. @param {Card} card @param {Note} call */
export function whoSays({ seat }, call) {
  const source = sourceOf(call);
  if (source === STEWARD) return seat.card === null && call.by === seat.id ? "You ask the judge to look again" : "The steward asks to look again";
  if (source === VETERINARIAN) return "The veterinarian says";
  if (source !== seat.card) return `${cardNamed(source)} says`;
  return call.by === seat.id ? "You say" : "Written down for your card";
}

/** What was seen, in the words of the scale. @param {Note} call */
export function seenSaid({ grade, gait, limb, circumstance, text }) {
  if (typeof grade !== "number") return "taken back";
  const more = [gait, limb, circumstance, text].filter((each) => each);
  return `${GRADES[grade]} (grade ${grade})${more.length > 0 ? `: ${more.join(", ")}` : ""}`;
}

/** This seat's call of a source on a horse, taken back or not. @param {Card} card @param {string} number @param {string} source @returns {Note | null} */
export function callOf(card, number, source) {
  const isObserver = source === STEWARD || source === VETERINARIAN;
  const note = card.used(["lameness", isObserver ? card.seat.id : source, number]);
  return note !== null && sourceOf(note) === source ? note : null;
}

/** The other observer's call that this seat's next word would take the place of. @param {Card} card @param {string} number @param {string} source */
export function inThePlaceOf(card, number, source) {
  if (source !== STEWARD && source !== VETERINARIAN) return null;
  const other = callOf(card, number, source === STEWARD ? VETERINARIAN : STEWARD);
  return other !== null && typeof other.grade === "number" ? other : null;
}

/**
 * Write a call down, or change it; what is not named stays as it was.
 * @param {Card} card
 * @param {string} number
 * @param {string} source
 * @param {Partial<Pick<Note, "grade" | Detail>>} change a grade of null takes it back
 */
export function writeCall(card, number, source, change) {
  const call = { ...callOf(card, number, source), ...change };
  const { grade = null, gait = null, limb = null, circumstance = null, text = null } = call;
  const value = grade === null ? { grade } : { grade, gait, limb, circumstance, text };
  /** @type {Draft} */
  const draft = { kind: "lameness", number, ...value };
  if (source === STEWARD || source === VETERINARIAN) draft.observer = source;
  else if (!isOfCard("lameness", card.seat)) draft.card = source;
  const said = grade === null ? "lameness call taken back" : `lameness grade ${grade}`;
  const who = source === card.seat.card ? "" : `${sources(card).find(({ key }) => key === source)?.says ?? source}, `;
  return write(card, [draft], `${number}: ${who}${said}`);
}

/** Ask to look again, naming no grade that was not seen: the least of the scale. @param {Card} card @param {string} number */
export function askAgain(card, number) {
  return writeCall(card, number, STEWARD, { grade: ASKED });
}

/** Every call of a class as it was written, the newest first, each with what it changed. @param {Card} card @param {string} [number] of one horse */
export function callsWritten(card, number) {
  const all = [...card.notes.values()].filter(({ kind, card: of }) => kind === "lameness" && (!of || of === card.name || card.seat.card === null));
  const read = all.map((note) => ({ note, of: card.readsAs.get(String(note.number)) ?? String(note.number) }));
  const replaced = new Set(all.flatMap(({ id, replaces }) => replaces.filter((each) => each !== id)));
  return read
    .filter(({ of }) => number === undefined || of === number)
    .map(({ note, of }) => ({ note, number: of, isChanged: replaced.has(note.id) }))
    .toSorted((a, b) => b.note.at - a.note.at);
}

/** The calls of others that wait for an answer from this card, the gravest first. @param {Card} card @returns {Note[]} */
export function openCalls(card) {
  if (!session.writes("ruling")) return [];
  const done = seenIn(card.class.id);
  if (done === null) return [];
  const ours = new Set([card.seat.id, card.name, ...(session.day?.seats ?? []).map(({ id }) => id)]);
  return card
    .calls()
    .filter((call) => !ours.has(call.by) && card.horse(String(call.number)) !== null && !isAnswered(card, call, done))
    .toSorted((a, b) => (b.grade ?? 0) - (a.grade ?? 0) || a.at - b.at);
}

/** Whether this call asks the judge for a ruling, come what may. @param {Note} call */
export function asksRuling({ grade }) {
  return (grade ?? 0) >= ASKS_RULING;
}

/** The judge has seen what is called of a horse. @param {Card} card @param {string} number */
export function seeCalls(card, number) {
  const { id } = card.class;
  const all = new Set([...(seenIn(id) ?? []), ...card.calls(number).map((call) => call.id)]);
  seen.set(nameOf(id), all);
  void keep(nameOf(id), [...all]).catch(() => undefined);
  changed();
}

/** @param {Card} card @param {Note} call @param {ReadonlySet<string>} done */
function isAnswered(card, call, done) {
  const ruling = card.ruling(String(call.number));
  if (ruling !== null && ruling.at >= call.at) return true;
  return !asksRuling(call) && wasSeen(card, call, done);
}

/** Seen as it stands, or before only its words were added to. @param {Card} card @param {Note} call @param {ReadonlySet<string>} done @returns {boolean} */
function wasSeen(card, call, done) {
  if (done.has(call.id)) return true;
  return call.replaces.some((id) => {
    const before = card.notes.get(id);
    return before !== undefined && before.grade === call.grade && before.id !== call.id && before.at <= call.at && wasSeen(card, before, done);
  });
}

/** Null until the disk has told. @param {string} classId */
function seenIn(classId) {
  const name = nameOf(classId);
  const found = seen.get(name);
  if (found === undefined && !asked.has(name)) {
    asked.add(name);
    void kept(name).catch(() => []).then((ids) => {
      seen.set(name, new Set([...(ids ?? []), ...(seen.get(name) ?? [])]));
      changed();
    });
  }
  return found ?? null;
}

/** @param {string} classId */
function nameOf(classId) {
  return `calls ${session.held?.owner} ${classId}`;
}
