// @ts-check
/** What a seat's slip shows: its code as it is read out, and its link as a QR. */

import { qrPicture } from "../lib/qr-picture.js";
import { h } from "../lib/view.js";

/** The code in two groups of four. @param {string} code */
export function shownCode(code) {
  return `${code.slice(0, 4)} ${code.slice(4)}`;
}

/** @param {string} link @param {string} name of the seat */
export function picture(link, name) {
  return qrPicture(link, `QR for ${name}`) ?? h("p", null, "This link is too long for a QR: type the code.");
}
