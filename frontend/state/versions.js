// @ts-check
/**
 * All versions of a signed card: each order that was signed, when, and why it was taken back. A correction replaces
 * nothing: what was signed before stands beside it.
 *
 * @typedef {import("./card.js").Card} Card
 * @typedef {{ numbers: readonly string[], signed_at: number, by: string, back: { at: number, reason: string } | null }} Version
 */

import { compareTexts } from "../lib/text.js";
import { MOST_TEXT } from "./card.js";

const MOST_INITIALS = 6;

/** Oldest first; the last one holds unless it was taken back. @param {Card} card @returns {Version[]} */
export function versions(card) {
  const notes = [...card.notes.values()].filter(({ kind, card: of }) => kind === "sign" && of === card.name);
  notes.sort((a, b) => a.at - b.at || compareTexts([a.id], [b.id]));
  /** @type {Version[]} */
  const found = [];
  for (const { numbers, at, by, reason } of notes) {
    const last = found[found.length - 1];
    if (numbers) found.push({ numbers, signed_at: at, by, back: null });
    else if (last !== undefined) last.back ??= { at, reason: reason ?? "" };
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
