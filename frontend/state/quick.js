// @ts-check
/**
 * The judge's own quick words for remarks: kept on this phone, whichever seat it is joined as, and given one tap each.
 */

import { changed } from "../lib/part.js";
import { notKept } from "../lib/phrases.js";
import * as seats from "../offline/seats.js";
import { say } from "./voice.js";

const NAME = "quick words";
/** More, or longer, would no longer be quick to find. */
const MOST = 24;
const LETTERS_AT_MOST = 60;

/** @type {string[]} */
let words = [];
/** @type {Promise<void> | null} null until asked for, and again where the phone did not answer */
let reading = null;

/** @returns {readonly string[]} in the order they were added, as far as they are read */
export function quickWords() {
  read().catch(() => undefined);
  return words;
}

/** Why the list does not take this; null where it does. @param {string} text */
export function whyNotQuick(text) {
  if (text.length > LETTERS_AT_MOST) return `Quick words have at most ${LETTERS_AT_MOST} letters.`;
  return words.length < MOST ? null : `The list of quick words is full, with ${MOST}: change it first.`;
}

/** Put into the list, or take out of it: of the whole list, never of what is read so far. @param {string} text @param {boolean} isIn */
export async function setQuick(text, isIn) {
  try {
    await read();
    words = isIn ? [...new Set([...words, text])] : words.filter((each) => each !== text);
    changed();
    await seats.keep(NAME, words);
  } catch {
    say(notKept("the quick words"), true);
  }
}

function read() {
  reading ??= seats.kept(NAME).then(
    (kept) => {
      words = Array.isArray(kept) ? kept.filter((each) => typeof each === "string") : [];
      changed();
    },
    (error) => {
      reading = null;
      throw error;
    },
  );
  return reading;
}
