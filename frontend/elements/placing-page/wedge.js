// @ts-check
/** The wedge: of all weighings that keep the criteria in their order, the part under which the upper horse leads. */

import { h } from "../../lib/view.js";
import { inHundred } from "../../state/firmness.js";

/** @typedef {import("../../engine/placing.js").Pair} Pair */

const WIDTH = 44;
const HEIGHT = 36;

/** @param {number} share_per_mille */
export function wedge(share_per_mille) {
  // Filled from the foot, by area: what stays empty is the smaller triangle above.
  const empty = Math.sqrt(1 - share_per_mille / 1000);
  const half = WIDTH / 2;
  const top = HEIGHT * empty;
  const [left, right] = [half - half * empty, half + half * empty].map(rounded);
  return h(
    "svg",
    { class: "wedge", viewBox: `-2 -2 ${WIDTH + 4} ${HEIGHT + 4}`, "aria-hidden": "true", focusable: "false" },
    h("path", { class: "filled", d: `M0 ${HEIGHT}L${left} ${rounded(top)}L${right} ${rounded(top)}L${WIDTH} ${HEIGHT}z` }),
    h("path", { class: "edge", d: `M0 ${HEIGHT}L${half} 0L${WIDTH} ${HEIGHT}z` }),
  );
}

/** The wedge with its words beside each part; they are told elsewhere to whoever cannot see it. @param {Pair} pair */
export function picture({ upper, lower, share }) {
  const led = inHundred(share);
  return h(
    "div",
    { class: "picture", "aria-hidden": "true" },
    wedge(share),
    h("p", null, part(lower, 100 - led), part(upper, led)),
  );
}

/** What a part of the picture says, where there is one. @param {string} number @param {number} count of 100 */
function part(number, count) {
  return count === 0 ? null : h("span", null, h("b", null, `${number} leads`), ` in ${count} of 100`);
}

/** @param {number} length */
function rounded(length) {
  return Math.round(length * 10) / 10;
}
