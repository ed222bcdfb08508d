// @ts-check
/** Canonical JSON: keys sorted by code point, no spaces, only what JSON requires escaped. */

import { compareText } from "./text.js";

/**
 * @param {unknown} value plain JSON
 * @returns {string}
 */
export function canonical(value) {
  if (Array.isArray(value)) return `[${value.map(canonical).join(",")}]`;
  if (value !== null && typeof value === "object") {
    const entries = Object.entries(value).sort(([a], [b]) => compareText(a, b));
    return `{${entries.map(([key, each]) => `${JSON.stringify(key)}:${canonical(each)}`).join(",")}}`;
  }
  return JSON.stringify(value);
}
