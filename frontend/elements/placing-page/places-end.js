// @ts-check
/** The line in an order below which no horse has a place. Usage: the last child of the item of `place`, from 0. */

import { h } from "../../lib/view.js";

/** @param {number} place @param {readonly string[]} order @param {number | null} places how many there are, where that is known */
export function placesEnd(place, order, places) {
  return place + 1 === places && order.length > places ? h("p", { class: "places-end" }, "Places end here") : null;
}
