// @ts-check
/**
 * What is said aloud to a screen reader, and shown for a moment where it answers a tap; apart from it, what happened by
 * itself meanwhile.
 */

import { changed } from "../lib/part.js";
import { place } from "./place.js";

const SHOWN_FOR_MS = 6000;

let text = "";
let told = "";
let isShown = false;
/** The page it was said on; it goes with it. */
let saidAt = "";
/** @type {ReturnType<typeof setTimeout> | undefined} */
let timer;

/** Say something; where it is `shown`, it stands on the page for a moment too. @param {string} said @param {boolean} [shown] */
export function say(said, shown = false) {
  text = said;
  isShown = shown;
  saidAt = pageNow();
  clearTimeout(timer);
  timer = setTimeout(() => {
    isShown = false;
    changed();
  }, SHOWN_FOR_MS);
  changed();
}

/** Tell what happened by itself, to a screen reader alone; the answer to a tap stays as it is. @param {string} news */
export function tell(news) {
  told = news;
  changed();
}

export function lastTold() {
  return told;
}

/** What was said last. */
export function lastSaid() {
  return { text, isShown: isShown && saidAt === pageNow() };
}

/** The page one is on, in its class. */
export function pageNow() {
  return `${place().page} ${place().class}`;
}
