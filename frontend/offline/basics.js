// @ts-check
/**
 * What comes with the page for a phone that never joined a show: the standards, the words, and where each standard's
 * order comes from. The service worker holds these and all other files of the page, so they need no network.
 *
 * @typedef {import("../engine/shapes.js").Standard} Standard
 * @typedef {import("./server.js").Words} Words
 * @typedef {{ standards: Standard[], words: Words, about_standards: Record<string, { about: string }> }} Basics
 */

import { NoAnswer } from "./server.js";

/** @returns {Promise<Basics>} */
export function basics() {
  return asset("/basics.json");
}

/** A JSON file of the page. @param {string} path @returns {Promise<any>} */
export async function asset(path) {
  const response = await fetch(path).catch(() => null);
  if (!response?.ok) throw new NoAnswer("This is not on this phone yet: try again with a network.");
  return response.json();
}
