// @ts-check
/**
 * The answer to a tap: said in words where the thumb is and to a screen reader, always; and felt, where the phone can and
 * is set to.
 */

import { settings } from "./settings.js";
import { say } from "./voice.js";

const FELT_FOR_MS = 15;

/** @param {string} words */
export function answer(words) {
  if (settings().vibrates) navigator.vibrate?.(FELT_FOR_MS);
  say(words, true);
}
