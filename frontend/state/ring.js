// @ts-check
/**
 * Walking the line: which horse and view are open, which comes next, and what a tap there means.
 *
 * The next horse in line keeps the view; after the last horse the line begins anew in the next view. Absent horses
 * are passed over. Going on says that the view was looked at; opening another horse or view by hand does not.
 *
 * @typedef {import("./card.js").Card} Card
 * @typedef {import("./card.js").Draft} Draft
 * @typedef {import("./card.js").Horse} Horse
 * @typedef {{ number: string, view: string }} Stop
 */

import { capital } from "../lib/phrases.js";
import { entered } from "./entering.js";
import { go, place } from "./place.js";
import { session } from "./session.js";
import { saidBy, told, viewTitle } from "./telling.js";
import { say } from "./voice.js";

/** The open horse and view; where the place names none, the first. @param {Card} card */
export function openNow(card) {
  const at = place();
  const view = card.standard.views.includes(at.view ?? "") ? String(at.view) : String(card.standard.views[0]);
  const horse = (at.number === null ? null : card.horse(at.number)) ?? firstPresent(card) ?? card.horses[0] ?? null;
  return { horse, view };
}

/** The stop after this one, or null at the end of the last view. @param {Card} card @param {Stop} stop @returns {Stop | null} */
export function stopAfter(card, { number, view }) {
  const line = card.horses.filter((horse) => horse.number === number || !card.isAbsent(horse.number));
  const next = line[line.findIndex((horse) => horse.number === number) + 1];
  if (next !== undefined) return { number: next.number, view };
  const nextView = card.standard.views[card.standard.views.indexOf(view) + 1];
  const first = firstPresent(card);
  return nextView === undefined || first === null ? null : { number: first.number, view: nextView };
}

/** The horse before in line, or null at its head. @param {Card} card @param {Stop} stop @returns {Stop | null} */
export function stopBefore(card, { number, view }) {
  const line = card.horses.filter((horse) => horse.number === number || !card.isAbsent(horse.number));
  const before = line[line.findIndex((horse) => horse.number === number) - 1];
  return before === undefined ? null : { number: before.number, view };
}

/** Whether this card takes marks for the horse now. @param {Card} card @param {string} number */
export function takesMarks(card, number) {
  return session.writes("mark") && card.signature === null && !card.isAbsent(number);
}

/** Say that a view was looked at with nothing to note, or take that back. @param {Card} card @param {Stop} stop */
export function tapLooked(card, { number, view }) {
  if (!takesMarks(card, number)) return;
  const draft = { kind: "looked", number, view, done: card.isLooked(number, view) ? null : true };
  write(card, [draft], `${number}: ${saidBy({ ...stamp(card), ...draft })}`);
}

/** Go on to the next stop; the view that is left counts as looked at. @param {Card} card @param {Stop} stop */
export function walkOn(card, stop) {
  const { number, view } = stop;
  const isLook = takesMarks(card, number) && !card.isLooked(number, view);
  const drafts = isLook ? [{ kind: "looked", number, view, done: true }] : [];
  write(card, drafts, `going on from ${number}, ${viewTitle(view)}`, stop);
  const next = stopAfter(card, stop);
  if (next === null) go({ page: "placing" });
  else openStop(card, next);
}

/** Open a horse in a view. @param {Card} card @param {Stop} stop */
export function openStop(card, stop) {
  go({ page: "ring", class: card.class.id, number: stop.number, view: stop.view });
  const horse = card.horse(stop.number);
  const absent = horse !== null && card.isAbsent(horse.number) ? ", absent" : "";
  say(`${stop.number}${horse?.identification ? `, ${horse.identification}` : ""}${absent}. ${viewTitle(stop.view)}.`);
}

/** Take back the last thing done, and open where it was. */
export async function undo() {
  const step = await session.notebook?.takeBack();
  if (!step) return;
  const { note, from, struck } = step;
  if (!step.isTaken) {
    say(`Not taken back, it was changed since: ${step.words}`, true);
    return;
  }
  if (from !== null) go({ page: "ring", class: step.class, ...from });
  else if (note?.number && note.view) showAgain(step.class, note.number, note.view);
  const taken = `Taken back: ${step.words}`;
  const kept = `${struck} can not be struck out; noted as absent.`;
  if (struck !== null) say(note?.now ? `${taken}. ${kept}` : kept, true);
  else say(step.isReopened ? `${taken}. Both values stand, disputed again.` : taken, true);
}

/** Open what was just changed: where one stands, if it is in sight there. @param {string} ofClass @param {string} number @param {string} view */
function showAgain(ofClass, number, view) {
  const at = place();
  const isInSight = at.page === "compare" && at.class === ofClass && at.pair?.includes(number) === true;
  go(isInSight ? { view } : { page: "ring", class: ofClass, number, view });
}

/** Write what a person said. @param {Card} card @param {Draft[]} drafts @param {string} words @param {Stop} [from] */
export function write(card, drafts, words, from) {
  void session.notebook?.write(card.class.id, drafts, words, from);
}

/** Enter a horse, from where one is now. @param {Card} card @param {string} number @param {string} identification */
export function enter(card, number, identification) {
  const { horse, view } = openNow(card);
  const from = horse === null || place().page !== "ring" ? undefined : { number: horse.number, view };
  write(card, [entered(number, identification)], `${number} entered`, from);
}

/** Keep one of the values of a dispute. @param {Card} card @param {string} noteId */
export function settle(card, noteId) {
  const note = card.notes.get(noteId);
  if (note === undefined) return;
  void session.notebook?.settle(card.class.id, noteId, `settled: ${told(note)}`);
  say(`${capital(told(note))} stands.`, true);
}

/** @param {Card} card @returns {Horse | null} */
function firstPresent(card) {
  return card.horses.find((horse) => !card.isAbsent(horse.number)) ?? null;
}

/** What a draft lacks to be told like a note. @param {Card} card */
function stamp(card) {
  return { id: "", by: card.seat.id, at: 0, replaces: [], class: card.class.id };
}
