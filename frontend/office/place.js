// @ts-check
/**
 * Where one is at the table: in the address, `/office#/entries/CLASS`, so that the browser's own "back" works and a page
 * can be kept open in a tab of its own. A link that opens a show or joins one is `#open=CODE`, `#join=CODE`.
 *
 * @typedef {{ page: string, of: string | null }} Place
 */

import { changed } from "../lib/part.js";

/** Where one is; of an address that says nothing, the page is empty. @returns {Place} */
export function at() {
  const [page = "", of] = location.hash.startsWith("#/") ? location.hash.slice(2).split("/").map(decoded) : [];
  return { page, of: of || null };
}

/** The address of a page. @param {string} page @param {string | null} [of] */
export function addressOf(page, of = null) {
  return `#/${[page, ...(of === null ? [] : [of])].map(encodeURIComponent).join("/")}`;
}

/** @param {string} page @param {string | null} [of] */
export function go(page, of = null) {
  location.hash = addressOf(page, of);
}

/** The code in the address, and what it is for: `open` or `join`. @returns {{ what: string, code: string } | null} */
export function codeInAddress() {
  const words = new URLSearchParams(location.hash.slice(1));
  for (const what of ["open", "join"]) {
    const code = words.get(what);
    if (code !== null) return { what, code };
  }
  return null;
}

/** Take the code out of the address: it is no longer needed, and it is for nobody's eyes. */
export function forgetCode() {
  history.replaceState(null, "", location.pathname);
}

export function followAddress() {
  addEventListener("hashchange", changed);
}

/** @param {string} text */
function decoded(text) {
  try {
    return decodeURIComponent(text);
  } catch {
    return ""; // no address of ours
  }
}
