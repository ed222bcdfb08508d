// @ts-check
/** A QR code to look at: its dark modules as one path, in black on white with the light border the standard asks for. */

import { qr } from "./qr.js";
import { h } from "./view.js";

const QUIET = 4;

/** Null where the text is too long for one. @param {string} text @param {string} label for who does not see it */
export function qrPicture(text, label) {
  const code = qr(text);
  if (code === null) return null;
  const { size, isDark } = code;
  let path = "";
  for (let y = 0; y < size; y += 1) {
    for (let x = 0, run = 0; x < size; x += run) {
      for (run = 0; x + run < size && isDark(x + run, y) === isDark(x, y); ) run += 1;
      if (isDark(x, y)) path += `M${x} ${y}h${run}v1h-${run}z`;
    }
  }
  const wide = size + 2 * QUIET;
  return h("svg", { class: "qr", viewBox: `${-QUIET} ${-QUIET} ${wide} ${wide}`, role: "img", "aria-label": label, "data-modules": size }, h("path", { d: path }));
}
