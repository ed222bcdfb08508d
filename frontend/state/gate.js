// @ts-check
/**
 * What the gate counts: who is in the ring, who is absent; and what that was before it last changed, for the judge to be
 * told.
 *
 * @typedef {import("./card.js").Card} Card
 * @typedef {{ of: number, inRing: number, absent: number, isKept: boolean }} Count `isKept`, whether anybody keeps the gate
 */

import { changed } from "../lib/part.js";
import { entered } from "./entering.js";
import { tapPresence, write } from "./ring.js";
import { tell } from "./voice.js";

const TOLD_FOR_MS = 30_000;

/** @type {Map<string, { count: Count, said: string, was: string }>} by class */
const shown = new Map();
/** @type {ReturnType<typeof setTimeout> | undefined} */
let timer;

/** @param {Card} card @returns {Count} */
export function gateCount(card) {
  const states = card.horses.map(({ number }) => card.presence(number)?.state);
  const [inRing, absent] = ["present", "absent"].map((state) => states.filter((each) => each === state).length);
  return { of: states.length, inRing: inRing ?? 0, absent: absent ?? 0, isKept: states.some((state) => state !== undefined) };
}

/** "In the ring 7 of 9, absent 1". @param {Count} count */
export function countSaid({ of, inRing, absent }) {
  return `In the ring ${inRing} of ${of}${absent > 0 ? `, absent ${absent}` : ""}`;
}

/** The same where there is little room. @param {Count} count */
function countShort({ of, inRing, absent }) {
  return `${inRing} of ${of} in${absent > 0 ? `, absent ${absent}` : ""}`;
}

/** The count as the judge is shown it, for a while with what it was; empty where nobody keeps the gate. @param {Card} card */
export function countNews(card) {
  const count = gateCount(card);
  const before = shown.get(card.class.id);
  const said = count.isKept ? countShort(count) : "";
  if (before === undefined || before.said !== said) {
    const was = before !== undefined && before.count.inRing !== count.inRing ? ` (was ${before.count.inRing})` : "";
    shown.set(card.class.id, { count, said, was });
    if (before !== undefined) tell(`${countSaid(count)}${was}.`);
    clearTimeout(timer);
    timer = setTimeout(() => {
      for (const each of shown.values()) each.was = "";
      changed();
    }, TOLD_FOR_MS);
  }
  return said + (shown.get(card.class.id)?.was ?? "");
}

/** One tap at the gate: into the ring, and out of it again. @param {Card} card @param {string} number */
export function tapGate(card, number) {
  tapPresence(card, number, "present");
}

/** Add or correct the marks a horse is known by. @param {Card} card @param {string} number @param {string} marks */
export function identify(card, number, marks) {
  return write(card, [entered(number, marks)], `${number}: ${marks.trim()}`);
}
