// @ts-check
/** A signed card for reading aloud, and its QR. Used where it is shut and where it is read. */

import { listed, ordinal } from "../../lib/phrases.js";
import { qr } from "../../lib/qr.js";
import { h } from "../../lib/view.js";
import { digestOf } from "../../state/cardlink.js";
import { session } from "../../state/session.js";
import { placesEnd } from "../placing-page/places-end.js";

/** @typedef {import("../../state/cardlink.js").SignedCard} SignedCard */

/** The light border the standard asks for. */
const QUIET = 4;

/** Place and number, in large digits; places end at `places`, where that is known. @param {readonly string[]} order @param {number | null} places */
export function digits(order, places) {
  return h(
    "ol",
    { class: "digits", "aria-label": "The order, best first" },
    ...order.map((number, index) =>
      h(
        "li",
        { key: number },
        h("span", null, ordinal(index + 1)),
        h("b", null, number),
        placesEnd(index, order, places),
      ),
    ),
  );
}

/** Who is not in the order, and why. @param {Pick<SignedCard, "unplaced">} card */
export function apart({ unplaced }) {
  /** @type {Record<string, string>} */
  const words = { left_out: "left out by the judge", ...session.day?.words.standings };
  return [...new Set(unplaced.map(({ standing }) => standing))].map((standing) => {
    const numbers = unplaced.filter((each) => each.standing === standing).map(({ number }) => number);
    return h("p", { key: standing }, h("b", null, listed(numbers)), ` ${words[standing] ?? standing.replace("_", " ")}`);
  });
}

/** @param {SignedCard} card */
export function digest(card) {
  return h("p", { class: "digest" }, "Digest ", h("b", null, (digestOf(card).match(/..../g) ?? []).join(" ")));
}

/** @param {string} link */
export function picture(link) {
  const code = qr(link);
  if (code === null) return h("p", null, "This card is too long for one QR: read it aloud, or hand on the class file.");
  const { size, isDark } = code;
  let path = "";
  for (let y = 0; y < size; y += 1) {
    for (let x = 0, run = 0; x < size; x += run) {
      for (run = 0; x + run < size && isDark(x + run, y) === isDark(x, y); ) run += 1;
      if (isDark(x, y)) path += `M${x} ${y}h${run}v1h-${run}z`;
    }
  }
  const wide = size + 2 * QUIET;
  return h(
    "svg",
    { class: "qr", viewBox: `${-QUIET} ${-QUIET} ${wide} ${wide}`, role: "img", "aria-label": "QR of the signed card", "data-modules": size },
    h("path", { d: path }),
  );
}
