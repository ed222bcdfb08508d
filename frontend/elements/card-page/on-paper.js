// @ts-check
/** The signed card as it is printed: the order with what each horse is known by, where places end; and every version of it. */

import { moment, ordinal } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";

/** @typedef {import("../../state/card.js").Card} Card */
/** @typedef {import("../../state/cardlink.js").SignedCard} SignedCard */
/** @typedef {import("../../state/versions.js").Version} Version */

/** @param {Card} card @param {SignedCard} signed */
export function onPaper(card, { order }) {
  const { places } = card.class;
  return h(
    "div",
    { class: "on-paper" },
    h(
      "table",
      null,
      h("thead", null, h("tr", null, ...["Place", "Number", "Known by"].map((each) => h("th", { scope: "col" }, each)))),
      h(
        "tbody",
        null,
        ...order.flatMap((number, index) => [
          h("tr", { key: number }, h("td", null, ordinal(index + 1)), h("th", { scope: "row" }, number), h("td", null, card.horse(number)?.identification ?? "")),
          index + 1 === places && order.length > places ? h("tr", { key: "end", class: "end" }, h("td", { colspan: 3 }, "Places end here")) : null,
        ]),
      ),
    ),
  );
}

/** What was signed before and why it was taken back, where it was. @param {Card} card @param {readonly Version[]} all */
export function corrected(card, all) {
  if (all.length < 2) return null;
  return h(
    "div",
    { class: "versions" },
    h("h2", null, `Corrected: version ${all.length} holds`),
    h("ol", null, ...all.map((version, index) => h("li", { key: index }, versionSaid(card, version, index, all.length)))),
  );
}

/** @param {Card} card @param {Version} version @param {number} index @param {number} count */
function versionSaid(card, { numbers, signed_at, by, back }, index, count) {
  const whose = by === card.name ? "" : ", from paper, entered by the office";
  const order = index + 1 === count ? "the order that stands" : numbers.join(", ");
  return `Version ${index + 1}, signed ${moment(signed_at)}${whose}: ${order}.${back === null ? "" : ` Taken back ${moment(back.at)}: ${back.reason}.`}`;
}
