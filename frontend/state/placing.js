// @ts-check
/**
 * The suggested placing of a class, worked out on this phone from the notes it holds; no server is asked.
 *
 * It takes some milliseconds for a large class, so it never runs inside a tap: when a page shows the placing, right
 * after the next frame; in the ring, once the thumb rests, so that it is there the moment one looks.
 *
 * @typedef {import("../engine/placing.js").Placing} Placing
 * @typedef {import("./card.js").Card} Card
 * @typedef {{ placing: Placing | null, isCurrent: boolean }} Suggestion `placing` may be of a moment ago
 */

import { place as placed } from "../engine/placing.js";
import { changed } from "../lib/part.js";
import { tellMoves } from "./moves.js";
import { place } from "./place.js";
import { session } from "./session.js";

/** Stands wherever an order is shown that may become one's own. */
export const DECIDES = "The judge decides; the show's rules and its veterinarian stand above it.";

const RESTS_AFTER_MS = 300;

/** @type {WeakMap<Card, Placing>} a card never changes, so its placing does not either */
const worked = new WeakMap();
/** @type {Map<string, Placing>} the last one, by seat and class */
const last = new Map();
/** @type {Set<string>} classes whose placing is waited for */
const awaited = new Set();
/** @type {ReturnType<typeof setTimeout> | undefined} */
let resting;

/** The placing for showing it; where it is not worked out yet, the page is drawn anew when it is. @param {string} [classId] @returns {Suggestion} */
export function suggestion(classId = place().class ?? "") {
  const card = session.notebook?.card(classId) ?? null;
  if (card === null) return { placing: null, isCurrent: false };
  const placing = worked.get(card);
  if (placing !== undefined) return { placing, isCurrent: true };
  if (!awaited.has(classId)) {
    awaited.add(classId);
    requestAnimationFrame(() => setTimeout(() => workOut(classId), 0));
  }
  return { placing: last.get(nameOf(classId)) ?? null, isCurrent: false };
}

/** The placing worked out last, which may be of a moment ago; nothing is worked out for it. @param {string} classId */
export function lastPlacing(classId) {
  return last.get(nameOf(classId)) ?? null;
}

/** Work the placing out ahead, once nothing was tapped for a moment. @param {string} classId */
export function foresee(classId) {
  const card = session.notebook?.card(classId) ?? null;
  if (card === null || worked.has(card)) return;
  clearTimeout(resting);
  resting = setTimeout(() => whenIdle(() => workOut(classId)), RESTS_AFTER_MS);
}

/** @param {string} classId */
function workOut(classId) {
  awaited.delete(classId);
  const card = session.notebook?.card(classId) ?? null;
  if (card === null || worked.has(card)) return;
  const placing = placed(card.file, card.standard, session.day?.words);
  worked.set(card, placing);
  last.set(nameOf(classId), placing);
  tellMoves(nameOf(classId), placing.placing);
  changed();
}

/** @param {() => void} work */
function whenIdle(work) {
  // Not every phone's browser has it.
  if (typeof requestIdleCallback === "function") requestIdleCallback(work, { timeout: 1000 });
  else work();
}

/** @param {string} classId */
function nameOf(classId) {
  return `${session.held?.owner ?? ""} ${classId}`;
}
