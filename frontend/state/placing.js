// @ts-check
/**
 * The suggested placing of a class, as this page has it: the last one the show office worked out, with its age and
 * whether notes of this phone are not in it yet.
 *
 * Elements ask `suggestion()` and do not care where it was worked out.
 *
 * @typedef {import("../offline/server.js").Placing} Placing
 * @typedef {{ placing: Placing | null, at: number | null, isAsking: boolean, trouble: string | null }} Suggestion
 */

import { changed } from "../lib/part.js";
import * as seats from "../offline/seats.js";
import * as server from "../offline/server.js";
import { session } from "./session.js";

/** @type {Suggestion} */
const NONE = { placing: null, at: null, isAsking: false, trouble: null };

/** @type {Map<string, Suggestion>} by seat and class */
const known = new Map();

/** @param {string} classId @returns {Suggestion} */
export function suggestion(classId) {
  return known.get(nameOf(classId)) ?? NONE;
}

/** Ask the show office for the placing; until it answers, and if it does not, the last one stays. @param {string} classId */
export async function askForPlacing(classId) {
  const owner = session.held?.owner;
  if (owner === undefined) return;
  const name = nameOf(classId);
  if (known.get(name)?.isAsking) return;
  let now = known.get(name) ?? NONE;
  if (now.placing === null) {
    const kept = await seats.keptPlacing(owner, classId).catch(() => null);
    if (kept !== null) now = { ...now, placing: kept.placing, at: kept.at };
  }
  put(name, { ...now, isAsking: true });
  try {
    const placing = await server.placing(classId);
    const at = Date.now();
    put(name, { placing, at, isAsking: false, trouble: null });
    await seats.keepPlacing({ owner, class: classId, placing, at }).catch(() => undefined);
  } catch (error) {
    const isKnown = error instanceof server.SaidNo || error instanceof server.NoAnswer;
    put(name, { ...now, isAsking: false, trouble: isKnown ? error.message : "The placing could not be read." });
  }
}

/** @param {string} classId */
function nameOf(classId) {
  return `${session.held?.owner ?? ""} ${classId}`;
}

/** @param {string} name @param {Suggestion} suggested */
function put(name, suggested) {
  known.set(name, suggested);
  changed();
}
