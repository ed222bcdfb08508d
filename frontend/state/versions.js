// @ts-check
/**
 * All versions of a signed card: each order that was signed, when, and why it was taken back. A correction replaces
 * nothing: what was signed before stands beside it.
 *
 * @typedef {import("./card.js").Card} Card
 * @typedef {import("../engine/shapes.js").Note} Note
 * @typedef {{ numbers: readonly string[], signed_at: number, by: string, back: { at: number, reason: string } | null }} Version
 */

import { compareTexts } from "../lib/text.js";
import { MOST_TEXT } from "./card.js";

const MOST_INITIALS = 6;

/** Oldest first; the last one holds unless it was taken back. @param {Card} card @returns {Version[]} */
export function versions(card) {
  const notes = [...card.notes.values()].filter(({ kind, card: of }) => kind === "sign" && of === card.name);
  /** @type {Version[]} */
  const found = [];
  for (const { numbers, at, by, reason } of asWritten(notes)) {
    const last = found[found.length - 1];
    if (numbers) found.push({ numbers, signed_at: at, by, back: null });
    else if (last !== undefined) last.back ??= { at, reason: reason ?? "" };
  }
  return found;
}

/**
 * Each after those it replaces, whatever the clocks say; the clocks part what is left.
 * @param {readonly Note[]} notes
 */
function asWritten(notes) {
  const left = [...notes].sort((a, b) => a.at - b.at || compareTexts([a.id], [b.id]));
  const found = [];
  while (left.length > 0) {
    const first = left.findIndex(({ id, replaces }) => left.every((other) => other.id === id || !replaces.includes(other.id)));
    found.push(...left.splice(Math.max(first, 0), 1));
  }
  return found;
}

/** The letters of initials as typed, at most six; empty where there are none. @param {string} typed */
export function initials(typed) {
  return [...typed.toUpperCase()].filter((sign) => /\p{L}/u.test(sign)).slice(0, MOST_INITIALS).join("");
}

/** A reason with whose correction it is, as it stands on the card. @param {string} reason @param {string} by initials */
export function initialed(reason, by) {
  const end = ` (initials ${by})`;
  return `${[...reason].slice(0, MOST_TEXT - end.length).join("")}${end}`;
}
