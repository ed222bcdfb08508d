// @ts-check
/**
 * All that one's card says of a horse given to another number, or swapped with what it says of that one: for what was
 * noted under the wrong number. The notes stay as they were written; new ones take back and give anew, in one step.
 *
 * What has no place to go is refused, never dropped: where both horses hold something in one place, moving would lose
 * one of the two, and only a swap is offered. What the gate and others say of a horse is not the card's and stays.
 *
 * @typedef {import("./card.js").Card} Card
 * @typedef {import("./card.js").Draft} Draft
 * @typedef {import("../engine/shapes.js").Note} Note
 * @typedef {{ from: string, to: string, isSwap: boolean, views: readonly string[] | null }} Move `views`: of these alone
 */

import { isEmpty, KINDS, slotOf } from "../engine/merging.js";
import { counted, listed } from "../lib/phrases.js";
import { draftOf } from "./card.js";
import { go } from "./place.js";
import { openNow, write } from "./ring.js";
import { session } from "./session.js";
import { shutSaid } from "./shut.js";
import { subjectOf, viewFrom } from "./telling.js";

/** What the card holds of a horse, seen from these views, or all of it. @param {Card} card @param {string} number @param {readonly string[] | null} views @returns {Note[]} */
export function heldOf(card, number, views) {
  const found = [];
  for (const { used } of card.slots.values()) {
    const isOfHorse = used.card === card.name && (used.number === number || used.pair?.includes(number));
    if (isOfHorse && !isEmpty(used) && (views === null || views.includes(used.view ?? ""))) found.push(used);
  }
  return found;
}

/** "5 marks, 2 looks and 1 remark". @param {readonly Note[]} notes */
export function counts(notes) {
  const words = session.day?.words.slots ?? {};
  const kinds = Object.keys(KINDS).filter((kind) => notes.some((note) => note.kind === kind));
  return listed(kinds.map((kind) => counted(notes.filter((note) => note.kind === kind).length, words[kind] ?? kind)));
}

/** Why it can't be done, and what to do; null where it can. @param {Card} card @param {Move} asked @returns {string | null} */
export function hindrance(card, asked) {
  const { from, to, isSwap, views } = asked;
  if (card.signature !== null) return shutSaid(card);
  for (const number of isSwap ? [from, to] : [to]) {
    if (card.isAbsent(number)) return `${number} is absent: say first that it is here.`;
  }
  const disputed = [...card.disputesOf(from), ...card.disputesOf(to)].map(({ used }) => card.notes.get(used));
  const open = disputed.find((note) => note?.card === card.name && (views === null || views.includes(note.view ?? "")));
  if (open !== undefined) return `Two devices differ about ${subjectOf(open).toLowerCase()}: settle that first.`;
  if (heldOf(card, from, views).length + (isSwap ? heldOf(card, to, views).length : 0) === 0) {
    return `Nothing is noted of ${from}${seenFrom(views)}.`;
  }
  const { clashes } = planned(card, asked);
  if (clashes.length === 0) return null;
  return `Both hold ${listed(clashes.map((note) => subjectOf(note).toLowerCase()))}: moving would lose one of the two. Swap them instead.`;
}

/** Do it; what was moved opens at its new number. @param {Card} card @param {Move} asked */
export function move(card, asked) {
  if (hindrance(card, asked) !== null) return;
  const { from, to, isSwap, views } = asked;
  const { drafts, dropped } = planned(card, asked);
  const what = isSwap ? `${from} and ${to} swapped${seenFrom(views)}` : `${counts(heldOf(card, from, views))} moved from ${from} to ${to}`;
  const said = `${what}.${dropped ? ` The call between ${from} and ${to} is taken back.` : ""}`;
  if (write(card, drafts, what, said, { number: from, view: openNow(card).view }) && !isSwap) go({ number: to });
}

/** @param {readonly string[] | null} views */
export function seenFrom(views) {
  return views === null ? "" : ` ${listed(views.map(viewFrom))}`;
}

/**
 * The notes it takes, those of the other horse in the way, and whether the call between the two goes.
 * @param {Card} card
 * @param {Move} asked
 */
function planned(card, { from, to, isSwap, views }) {
  const ours = heldOf(card, from, views);
  const theirs = isSwap ? heldOf(card, to, views) : [];
  /** @param {string} number */
  const other = (number) => (number === from ? to : isSwap && number === to ? from : number);
  /** @type {Map<string, Draft>} by slot, what is to stand there */
  const wanted = new Map();
  /** @param {Draft} draft */
  const put = (draft) => wanted.set(String(placeOf(card, draft)), draft);
  /** @type {Note[]} */
  const clashes = [];
  const held = [...new Set([...ours, ...theirs])];
  for (const note of held) put(draftOf(note, null));
  let dropped = false;
  for (const note of held) {
    const draft = draftOf(note, note);
    if (draft.pair !== undefined) draft.pair = draft.pair.map(other);
    if (draft.winner) draft.winner = other(draft.winner);
    if (draft.number) draft.number = other(draft.number);
    if (draft.pair !== undefined && draft.pair[0] === draft.pair[1]) {
      dropped = true; // a horse is not called over itself
      continue;
    }
    const before = card.used(placeOf(card, draft));
    if (before !== null && !isEmpty(before) && !held.includes(before) && !isAlike(before, draft)) clashes.push(before);
    put(draft);
  }
  const drafts = [...wanted.values()].filter((draft) => {
    const before = card.used(placeOf(card, draft));
    return before === null || !isAlike(before, draft);
  });
  return { drafts, clashes, dropped };
}

/** The slot of a draft. @param {Card} card @param {Draft} draft */
function placeOf(card, draft) {
  return slotOf({ ...draft, id: "", by: card.seat.id, at: 0, replaces: [], card: card.name });
}

/** Whether two say the same, wherever they stand. @param {Note} note @param {Draft} draft */
function isAlike(note, draft) {
  return (KINDS[note.kind]?.value ?? []).every((field) => (note[field] ?? null) === (draft[field] ?? null));
}
