// @ts-check
/** A signed card for reading aloud, and its QR. Used where it is shut and where it is read. */

import { listed, ordinal } from "../../lib/phrases.js";
import { qrPicture } from "../../lib/qr-picture.js";
import { h } from "../../lib/view.js";
import { digestOf } from "../../state/cardlink.js";
import { session } from "../../state/session.js";
import { placesEnd } from "../placing-page/places-end.js";

/** @typedef {import("../../state/cardlink.js").SignedCard} SignedCard */

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
  return qrPicture(link, "QR of the signed card") ?? h("p", null, "This card is too long for one QR: read it aloud, or hand on the class file.");
}
