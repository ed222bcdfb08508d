// @ts-check
/**
 * Walking the line: which horse and pass are open, which comes next, and what a tap there means.
 *
 * There are two ways to go on. The next horse in line keeps the pass; after the last horse the line begins anew in the
 * next pass. Or the same horse is seen in its next pass, and after the last pass the next horse in the first. Absent
 * horses are passed over. Going on says that what was in sight was looked at; opening a horse or view by hand does not.
 *
 * @typedef {import("./card.js").Card} Card
 * @typedef {import("./card.js").Draft} Draft
 * @typedef {import("./card.js").Horse} Horse
 * @typedef {import("./notebook.js").Step} Step
 * @typedef {{ number: string, view: string }} Stop the view may be the name of a pass
 */

import { capital, listed } from "../lib/phrases.js";
import { answer } from "./answer.js";
import { draftOf } from "./card.js";
import { entered, putRight } from "./entering.js";
import { lineAnew, lineOf, settleLine, standsNext } from "./line.js";
import { MOST_STEPS } from "./notebook.js";
import { passesOf, passOf } from "./passes.js";
import { go, place } from "./place.js";
import { session } from "./session.js";
import { placedSaid } from "./shut.js";
import { told } from "./telling.js";
import { lastSaid, pageNow, say } from "./voice.js";

/** The open horse and pass; where the place names none, the first. @param {Card} card */
export function openNow(card) {
  const at = place();
  const pass = passOf(card.standard, at.view);
  const horse = (at.number === null ? null : card.horse(at.number)) ?? firstPresent(card) ?? lineOf(card)[0] ?? null;
  return { horse, pass, view: pass.key };
}

/** The next horse in this pass, or the first of the line as it settles for the next pass; null at the end. @param {Card} card @param {Stop} stop @returns {Stop | null} */
export function nextHorse(card, { number, view }) {
  const next = neighbor(card, number, 1);
  if (next !== null) return { number: next, view };
  const first = firstPresent(card, lineAnew(card));
  const pass = passAfter(card, view);
  return pass === null || first === null ? null : { number: first.number, view: pass.key };
}

/** This horse in its next pass, or the next horse in the first pass; null at the end. @param {Card} card @param {Stop} stop @returns {Stop | null} */
export function nextView(card, { number, view }) {
  const pass = passAfter(card, view);
  if (pass !== null) return { number, view: pass.key };
  const next = neighbor(card, number, 1);
  return next === null ? null : { number: next, view: passOf(card.standard, null).key };
}

/** The horse before in line, or null at its head. @param {Card} card @param {Stop} stop @returns {Stop | null} */
export function horseBefore(card, { number, view }) {
  const before = neighbor(card, number, -1);
  return before === null ? null : { number: before, view };
}

/** Whether this card takes notes of this kind now. @param {Card} card @param {string} kind */
export function takes(card, kind) {
  return session.writes(kind) && card.signature === null;
}

/** Whether this card takes marks for the horse now. @param {Card} card @param {string} number */
export function takesMarks(card, number) {
  return takes(card, "mark") && !card.isAbsent(number);
}

/** Whether all that is seen in a pass was looked at. @param {Card} card @param {Stop} stop */
export function isLookedThrough(card, { number, view }) {
  return passOf(card.standard, view).views.every((each) => card.isLooked(number, each));
}

/** Say that what a pass shows was looked at, marks or none, or take that back. @param {Card} card @param {Stop} stop */
export function tapLooked(card, stop) {
  if (!takesMarks(card, stop.number)) return;
  const isTaken = isLookedThrough(card, stop);
  const what = passOf(card.standard, stop.view).title.toLowerCase();
  const words = `${stop.number}: ${isTaken ? "look taken back" : "looked at"}, ${what}`;
  write(card, looks(card, stop, !isTaken), words);
}

/** What is left to look at in a pass, in the whole line. @param {Card} card @param {import("./passes.js").Pass} pass */
export function unlooked(card, pass) {
  return lineOf(card).flatMap(({ number }) => (takesMarks(card, number) ? looks(card, { number, view: pass.key }, true) : []));
}

/** Say of the whole line that it was looked at in a pass. @param {Card} card @param {import("./passes.js").Pass} pass */
export function lookAtAll(card, pass) {
  const words = `whole line looked at, ${pass.title.toLowerCase()}`;
  write(card, unlooked(card, pass), words, capital(`${words}.`));
}

/**
 * Go on; what is left counts as looked at.
 * @param {Card} card
 * @param {Stop} stop
 * @param {Stop | null} [next]
 */
export function walkOn(card, stop, next = nextHorse(card, stop)) {
  const drafts = takesMarks(card, stop.number) ? looks(card, stop, true) : [];
  const words = `going on from ${stop.number}, ${passOf(card.standard, stop.view).title.toLowerCase()}`;
  const anew = nextHorse(card, stop);
  if (!write(card, drafts, words, "", stop)) return;
  if (next !== null && next.view !== stop.view && next.view === anew?.view && next.number === anew.number) settleLine(card.class.id);
  if (next === null) go({ page: "placing" });
  else openStop(card, next);
}

/** Open a horse in a view. @param {Card} card @param {Stop} stop */
export function openStop(card, stop) {
  go({ page: "ring", class: card.class.id, number: stop.number, view: stop.view });
  const horse = card.horse(stop.number);
  if (takesMarks(card, stop.number)) standsNext(card, stop.number);
  const absent = horse !== null && card.isAbsent(horse.number) ? ", absent" : "";
  say(`${stop.number}${horse?.identification ? `, ${horse.identification}` : ""}${absent}. ${passOf(card.standard, stop.view).title}.`);
}

/** A step of another class that the next tap takes back, the page that was asked on, and how. */
let asked = { step: /** @type {Step | null} */ (null), at: "", said: "" };

/** Whether the next tap on Undo reaches into another class: the question about it was the last thing said here. @param {Step | null} step */
export function isAskedToUndo(step) {
  return step !== null && asked.step === step && asked.at === pageNow() && asked.said === lastSaid().text;
}

/**
 * Take back the last thing done, and open where it was; say so where there is none. In another class it is taken back by
 * a second tap only: one changes the class on purpose.
 */
export async function undo() {
  const last = session.notebook?.lastStep ?? null;
  if (last !== null && last.class !== place().class && !isAskedToUndo(last)) {
    const title = session.day?.classes.find((each) => each.id === last.class)?.title ?? last.class;
    const said = `Nothing is left to undo here. In ${title} it was: ${last.words}. A second tap takes that back, and opens that class.`;
    asked = { step: last, at: pageNow(), said };
    answer(said);
    return;
  }
  const step = await session.notebook?.takeBack();
  if (!step) {
    answer(`Nothing to undo: what can be taken back, the last ${MOST_STEPS} things done here, is taken back.`);
    return;
  }
  const { note, from, struck } = step;
  if (!step.isTaken) {
    answer(step.why ?? `Not taken back, for it was changed since on another device: ${step.words}.`);
    return;
  }
  if (from !== null) go({ page: "ring", class: step.class, ...from });
  else if (note?.number && note.view) showAgain(step.class, note.number, note.view);
  const also = [
    struck.length === 0 ? "" : `. ${listed(struck)} ${struck.length === 1 ? "stays" : "stay"} in the list, noted as absent: a number once entered is never struck out`,
    step.isReopened ? ". Both values stand, disputed again" : "",
    step.left === 0 ? "" : `; ${step.left} of ${step.of} notes ${step.left === 1 ? "was" : "were"} changed since on another device, and left`,
  ];
  answer(`Taken back: ${step.words}${also.join("")}.`);
}

/** Open what was just changed: where one stands, if it is in sight there. @param {string} ofClass @param {string} number @param {string} view */
function showAgain(ofClass, number, view) {
  const at = place();
  const card = at.class === ofClass ? (session.notebook?.card(ofClass) ?? null) : null;
  const pass = card === null ? null : openNow(card).pass;
  const shown = pass?.views.includes(view) ? pass.key : view;
  const isInSight = card !== null && (at.page === "line" || (at.page === "compare" && at.pair?.includes(number) === true));
  go(isInSight ? { view: shown } : { page: "ring", class: ofClass, number, view: shown });
}

/**
 * Write what a person said, and answer: what was done, or why it is refused.
 * @param {Card} card
 * @param {Draft[]} drafts
 * @param {string} words what was done, for taking it back
 * @param {string} [said] the answer; empty where what follows speaks
 * @param {Stop} [from]
 * @returns {boolean} whether it was taken
 */
export function write(card, drafts, words, said = words, from) {
  const why = session.notebook?.write(card.class.id, drafts, words, from).why ?? null;
  if (why ?? said) answer(why ?? said);
  if (why !== null) return false;
  for (const { kind, number } of drafts) if (number && (kind === "mark" || kind === "looked")) standsNext(card, number);
  return true;
}

/** Enter a horse, from where one is now. @param {Card} card @param {string} number @param {string} identification */
export function enter(card, number, identification) {
  const { horse, view } = openNow(card);
  const from = horse === null || place().page !== "ring" ? undefined : { number: horse.number, view };
  write(card, [entered(number, identification)], `${number} entered`, undefined, from);
}

/** Say at the gate that a horse is present or absent; said again, it is taken back. @param {Card} card @param {string} number @param {string} state */
export function tapPresence(card, number, state) {
  const isTaken = card.presence(number)?.state === state;
  const words = `${number}: ${state === "present" ? (isTaken ? "out of the ring" : "in the ring") : isTaken ? "no longer absent" : state}`;
  const warned = isTaken || state !== "absent" ? "" : placedSaid(card, number);
  write(card, [{ kind: "presence", number, state: isTaken ? null : state }], words, words + warned);
}

/** Say what number a horse really goes by, and why; all that is noted of it goes with it. @param {Card} card @param {string} number @param {string} now @param {string} [reason] */
export function nameHorse(card, number, now, reason) {
  const words = `${number} is now ${now}`;
  if (write(card, putRight(card, number, now, reason), words, `${words}; all noted goes with it.`)) go({ number: now });
}

/** Settle a dispute: the value of one of its notes, in a note that replaces them all. @param {Card} card @param {string} noteId */
export function settle(card, noteId) {
  const chosen = card.notes.get(noteId);
  const slot = [...card.slots.values()].find((each) => each.current.includes(noteId));
  if (chosen === undefined || slot === undefined) return;
  // The slot as it is read today, the value as it was written; a winner under the number it goes by today.
  const winner = card.readsAs.get(chosen.winner ?? "") ?? chosen.winner ?? null;
  write(card, [draftOf(slot.used, { ...chosen, winner })], `settled: ${told(chosen)}`, `${capital(told(chosen))} stands.`);
}

/** @param {Card} card @param {readonly Horse[]} [line] @returns {Horse | null} */
function firstPresent(card, line = lineOf(card)) {
  return line.find((horse) => !card.isAbsent(horse.number)) ?? null;
}

/** The number beside this one in line, the absent passed over. @param {Card} card @param {string} number @param {1 | -1} steps */
export function neighbor(card, number, steps) {
  const line = lineOf(card).filter((horse) => horse.number === number || !card.isAbsent(horse.number));
  return line[line.findIndex((horse) => horse.number === number) + steps]?.number ?? null;
}

/** @param {Card} card @param {string} view */
function passAfter(card, view) {
  const passes = passesOf(card.standard);
  return passes[passes.indexOf(passOf(card.standard, view)) + 1] ?? null;
}

/** What says of a pass that it was looked at, or takes it back, as far as it is not said. @param {Card} card @param {Stop} stop @param {boolean} done */
function looks(card, { number, view }, done) {
  const views = passOf(card.standard, view).views.filter((each) => card.isLooked(number, each) !== done);
  return views.map((each) => ({ kind: "looked", number, view: each, done: done || null }));
}
