// @ts-check
/** What a seat's slip shows: its code as it is read out, and its link as a QR. */

import { qr } from "../lib/qr.js";
import { h } from "../lib/view.js";

/** The light border the standard asks for. */
const QUIET = 4;

/** The code in two groups of four. @param {string} code */
export function shownCode(code) {
  return `${code.slice(0, 4)} ${code.slice(4)}`;
}

/** @param {string} link @param {string} label */
export function picture(link, label) {
  const code = qr(link);
  if (code === null) return h("p", null, "This link is too long for a QR: type the code.");
  const { size, isDark } = code;
  let path = "";
  for (let y = 0; y < size; y += 1) for (let x = 0; x < size; x += 1) if (isDark(x, y)) path += `M${x} ${y}h1v1h-1z`;
  const wide = size + 2 * QUIET;
  return h("svg", { class: "qr", viewBox: `${-QUIET} ${-QUIET} ${wide} ${wide}`, role: "img", "aria-label": label }, h("path", { d: path }));
}
