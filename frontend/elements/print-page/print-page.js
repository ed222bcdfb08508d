// @ts-check
/**
 * What goes on paper: of one class one's own card, with placing, marks and signature; or blank cards with the numbers,
 * a page a class, a column a criterion.
 *
 * Usage: `<print-page></print-page>`; a page, with its h1. The paper shows the sheets alone (`print-page.css`).
 */

import { Part } from "../../lib/part.js";
import { h } from "../../lib/view.js";
import { orderOf, paperLines, paperSaid } from "../../state/paper.js";
import { place } from "../../state/place.js";
import { DECIDES, suggestion } from "../../state/placing.js";
import { session } from "../../state/session.js";
import { handedOver } from "../../state/signing.js";
import { pageHead } from "../app-frame/page-head.js";

/** @typedef {import("../../state/card.js").Card} Card */

const SPARE_LINES = 4;

export class PrintPage extends Part {
  draw() {
    const ofClass = place().class;
    const classes = (session.day?.classes ?? []).filter(({ id }) => ofClass === null || id === ofClass);
    for (const { id } of classes) void session.notebook?.open(id);
    const cards = classes.flatMap(({ id }) => session.notebook?.card(id) ?? []);
    const word = ofClass === null ? "Blank cards" : "Your card";
    return [
      pageHead(word),
      h("main", null, ...cards.map((card) => h("section", { key: card.class.id, tabindex: 0, class: ofClass === null ? "sheet blank" : "sheet" }, ...(ofClass === null ? blank(card) : filled(card))))),
      h("footer", null, h("button", { class: "main", disabled: cards.length === 0, onclick: () => print() }, "Print")),
    ];
  }
}

/** @param {Card} card @param {string} word */
function head(card, word) {
  // The office prints for a judge it does not name.
  const whose = card.seat.card === null ? "Judge:" : card.seat.name;
  return [
    h("h2", null, card.class.title),
    h("p", null, `${session.held?.show.title}. ${card.standard.title}. ${word}`),
    h("p", null, whose),
  ];
}

/** @param {Card} card */
function blank(card) {
  const columns = ["Number", "Marks", ...card.standard.criteria.map(({ title }) => title), "Place"];
  const lines = [...card.horses.map(({ number, identification }) => [number, identification ?? ""]), ...Array(SPARE_LINES).fill(["", ""])];
  return [
    ...head(card, `Places: ${card.class.places}.`),
    table(columns, lines.map((line) => [...line, ...columns.slice(2).map(() => "")])),
    signatureLine(),
  ];
}

/** Room for a pen on a line. */
function signatureLine() {
  return h("p", { class: "signed" }, "Signature:", h("span", null), "Date, time:", h("span", null));
}

/** @param {Card} card */
function filled(card) {
  const { placing } = suggestion(card.class.id);
  const handed = handedOver(card);
  // A signed card goes on paper as it was signed.
  const shown = handed ?? (card.signature === null && placing !== null ? { then: card, placing, since: [] } : null);
  return [
    ...head(card, paperSaid(card)),
    ...(shown === null
      ? [h("p", null, "Working out the placing.")]
      : [
          table(["Place", "Number", "Marks to know it by", "Noted"], paperLines(shown.then, shown.placing)),
          shown.since.length === 0 ? null : h("p", null, `Since it was signed: ${shown.since.join("; ")}.`),
          orderOf(card) === null ? h("p", null, `A suggestion from the notes. ${DECIDES}`) : null,
        ]),
    signatureLine(),
  ];
}

/** @param {string[]} columns @param {string[][]} lines */
function table(columns, lines) {
  return h(
    "table",
    null,
    h("thead", null, h("tr", null, ...columns.map((each) => h("th", { scope: "col" }, each)))),
    h("tbody", null, ...lines.map((line) => h("tr", null, ...line.map((each) => h("td", null, each))))),
  );
}
