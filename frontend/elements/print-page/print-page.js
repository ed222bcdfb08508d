// @ts-check
/**
 * What goes on paper: of one class one's own card, with placing, marks and signature; or blank cards with the numbers,
 * a page a class, a column a criterion.
 *
 * Usage: `<print-page></print-page>`; a page, with its h1. The paper shows the sheets alone (`print-page.css`).
 */

import { Part } from "../../lib/part.js";
import { clock, degreeWord, ordinal } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";
import { leftOut } from "../../state/order.js";
import { goBack, place } from "../../state/place.js";
import { DECIDES, suggestion } from "../../state/placing.js";
import { session } from "../../state/session.js";
import { viewTitle } from "../../state/telling.js";

/** @typedef {import("../../state/card.js").Card} Card */
/** @typedef {import("../../engine/shapes.js").Trait} Trait */

const SPARE_LINES = 4;

export class PrintPage extends Part {
  draw() {
    const ofClass = place().class;
    const classes = (session.day?.classes ?? []).filter(({ id }) => ofClass === null || id === ofClass);
    for (const { id } of classes) void session.notebook?.open(id);
    const cards = classes.flatMap(({ id }) => session.notebook?.card(id) ?? []);
    const word = ofClass === null ? "Blank cards" : "Your card";
    return [
      h(
        "header",
        null,
        h("button", { class: "back", "aria-label": "Back", onclick: () => goBack() }, "‹"),
        h("h1", { tabindex: -1 }, word),
      ),
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
    h("p", { class: "signed" }, "Signature, time:"),
  ];
}

/** @param {Card} card */
function filled(card) {
  const { placing } = suggestion(card.class.id);
  const { signature } = card;
  const own = signature?.numbers ?? placing?.own ?? null;
  const order = own ?? placing?.placing ?? [];
  const others = leftOut(card, order);
  const unplaced = new Map((placing?.unplaced ?? []).map(({ number, standing, reason }) => [number, [session.day?.words.standings[standing ?? ""] ?? standing, reason].filter((each) => each).join(": ")]));
  const whose = own === null ? "Suggested from the notes, not yet the judge's own." : "The judge's own placing.";
  return [
    ...head(card, signature === null ? `${whose} Not signed.` : `Signed ${clock(signature.at, Date.now())}.`),
    table(
      ["Place", "Number", "Marks to know it by", "Noted"],
      [...order, ...others].map((number, place) => [
        place < order.length ? ordinal(place + 1) : (unplaced.get(number) ?? "not placed"),
        number,
        card.horse(number)?.identification ?? "",
        noted(card, number),
      ]),
    ),
    own === null ? h("p", null, `A suggestion from the notes. ${DECIDES}`) : null,
    h("p", { class: "signed" }, "Signature, time:"),
  ];
}

/** What is noted of a horse, in the standard's order. @param {Card} card @param {string} number */
function noted(card, number) {
  const traits = card.standard.criteria.flatMap((criterion) => criterion.traits);
  const marks = traits.flatMap((trait) =>
    trait.views.flatMap((view) => {
      const degree = card.degree(number, trait.key, view);
      return degree === 0 ? [] : [`${(degree < 0 ? trait.faulty : trait.good) ?? trait.title} (${degreeWord(degree)}, ${viewTitle(view).toLowerCase()})`];
    }),
  );
  const remarks = card.remarks(number).flatMap(({ text, tag }) => text ?? tag ?? []);
  const calls = card.calls(number).map(({ grade }) => `lameness grade ${grade}, an observation, no diagnosis`);
  return [...marks, ...remarks, ...calls].join("; ");
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
