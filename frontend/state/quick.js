// @ts-check
/**
 * The judge's own quick words for remarks: kept on this phone, whichever seat it is joined as, and given one tap each.
 */

import { changed } from "../lib/part.js";
import * as seats from "../offline/seats.js";
import { say } from "./voice.js";

const NAME = "quick words";
/** More, or longer, would no longer be quick to find. */
const MOST = 24;
const LETTERS_AT_MOST = 60;

/** @type {string[] | null} null until asked for */
let words = null;

/** @returns {readonly string[]} in the order they were added */
export function quickWords() {
  if (words === null) {
    words = [];
    seats.kept(NAME).then(
      (kept) => {
        if (Array.isArray(kept)) words = [...new Set([...kept.filter((each) => typeof each === "string"), ...(words ?? [])])];
        changed();
      },
      () => undefined,
    );
  }
  return words;
}

/** Whether this may be added. @param {string} text */
export function isQuick(text) {
  const known = quickWords();
  return text !== "" && text.length <= LETTERS_AT_MOST && known.length < MOST && !known.includes(text);
}

/** Add to the list, or take out of it. @param {string} text */
export function tapQuick(text) {
  const known = quickWords();
  words = known.includes(text) ? known.filter((each) => each !== text) : [...known, text];
  seats.keep(NAME, words).then(
    () => undefined,
    () => say("This phone could not keep the quick words: its storage does not answer.", true),
  );
  changed();
}
