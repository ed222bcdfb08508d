// @ts-check
/**
 * The results to print and pin up: a sheet a class, and one of the champions; of the whole show, of a day, of one class.
 *
 * Usage: `<results-page></results-page>`; a page, with its h1. On paper only the sheets stand, each on a page of its own.
 */

import { awaitedSaid, belowSaid, judgesSaid, listsOf, methodSaid, struckSaid } from "../../announce/announcing.js";
import { counted, moment, ordinal } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";
import { desk } from "../desk.js";
import { addressOf, at } from "../place.js";
import { published, PublishedPage } from "../published.js";

/** @typedef {import("../../announce/announcing.js").ClassResult} ClassResult */
/** @typedef {import("../../announce/announcing.js").Placed} Placed */

/** More places than these, and the lines are drawn smaller, so that a class stays one page. */
const SMALLER = [8, 20];
const HEAD_SIGNS = 16;

export class ResultsPage extends PublishedPage {
  /** @type {string | null} the day that is shown; null: all */
  #day = null;

  draw() {
    const { results } = published;
    if (results === null) return h("h1", { tabindex: -1 }, "Results");
    const { of } = at();
    const days = [...new Set(results.map(dayOf))];
    const day = days.includes(this.#day ?? "") ? this.#day : null;
    const shown = results.filter((each) => (of === null ? day === null || dayOf(each) === day : each.id === of));
    const query = of === null ? "" : `?class=${encodeURIComponent(of)}`;
    return [
      of === null ? null : h("a", { class: "button back", href: addressOf("results") }, "‹ All results"),
      h("h1", { tabindex: -1 }, of === null ? "Results" : (shown[0]?.title ?? "Results")),
      shown.length === 0 ? h("p", null, of === null ? "No class is signed by all its judges yet." : "This class is not signed by all its judges yet.") : null,
      of !== null || days.length < 2
        ? null
        : h(
            "div",
            { class: "choices days", role: "group", "aria-label": "Day" },
            ...[null, ...days].map((each) => h("button", { key: each ?? "all", type: "button", "aria-pressed": String(each === day), onclick: () => this.#choose(each) }, each ?? "All days")),
          ),
      shown.length === 0
        ? null
        : h(
            "div",
            { class: "choices" },
            h("button", { type: "button", class: "main", onclick: () => print() }, of === null ? `Print ${counted(shown.length, "class", "classes")}` : "Print this class"),
            h("a", { class: "button", href: `/api/results.csv${query}`, download: "results.csv" }, "As CSV"),
            h("a", { class: "button", href: `/api/results${query}`, download: "results.json" }, "As JSON"),
          ),
      ...shown.map((each) => this.#sheet(each, of === null)),
      of === null && published.honors.length > 0 ? this.#champions() : null,
    ];
  }

  /** @param {ClassResult} result @param {boolean} isOfMany */
  #sheet(result, isOfMany) {
    const { id, title, judges, shown, stricken, head } = result;
    const lists = listsOf(result);
    const lines = lists.reduce((count, list) => count + list.lines.filter(({ awarded }) => awarded).length, 0);
    const waits = awaitedSaid(result);
    const isCorrected = judges.some(({ corrected }) => corrected);
    return h(
      "section",
      { key: id, class: ["sheet", "sheet small", "sheet small tight"][SMALLER.filter((most) => lines > most).length] },
      h("h2", null, isOfMany ? h("a", { href: addressOf("results", id) }, title) : title),
      h("p", null, `${desk.show?.title}, ${dayOf(result)}. ${counted(shown, "horse")} shown.`),
      h("p", null, `${judgesSaid(result)}. ${methodSaid(result)}.`),
      isCorrected && waits === "" ? h("p", { class: "corrected" }, h("b", null, "Corrected: "), "a card of this class was taken back with a reason and signed anew. Earlier sheets do not hold.") : null,
      waits === "" ? null : h("p", { class: "corrected" }, h("b", null, "No result stands. "), waits),
      ...(waits === "" ? lists.map(({ key, title: part, lines: of }) => [part === null ? null : h("h3", { key: `h ${key}` }, part), table(key, of)]) : []),
      stricken.length === 0 ? null : h("p", null, `${struckSaid(stricken)}. Those below moved up; the judge's card stays as it was signed.`),
      h("p", { class: "foot" }, `Printed ${moment(Date.now())}.`, head ? [" Check code of the record ", h("span", { class: "head" }, (head.slice(0, HEAD_SIGNS).match(/..../g) ?? []).join(" ")), "."] : null),
    );
  }

  #champions() {
    return h(
      "section",
      { class: "sheet champions" },
      h("h2", null, "Champions"),
      h("p", null, `${desk.show?.title}.`),
      ...published.honors.map(({ id, title, judge, champion, reserve }) => [
        h("h3", { key: `h ${id}` }, title, judge ? h("span", null, ` named by ${judge}`) : null),
        h(
          "table",
          { key: id },
          head(["Title", "Number", "Horse", "Exhibitor", "From"]),
          h("tbody", null, honor("Champion", champion), honor("Reserve", reserve)),
        ),
      ]),
      h("p", { class: "foot" }, `Printed ${moment(Date.now())}.`),
    );
  }

  /** @param {string | null} day */
  #choose(day) {
    this.#day = day;
    this.repaint();
  }
}

/** The day a result is of: that of its last signature. @param {ClassResult} result */
function dayOf({ judges }) {
  const at_ms = Math.max(...judges.map(({ signed_at = 0 }) => signed_at));
  return new Date(at_ms).toLocaleDateString([], { dateStyle: "long" });
}

/** @param {string} key @param {readonly Placed[]} lines */
function table(key, lines) {
  const placed = lines.filter(({ awarded }) => awarded);
  if (placed.length === 0) return h("p", { key }, "Nobody is placed.");
  // A column nobody filled in takes no room from the others.
  const hasMarks = placed.some(({ identification }) => identification);
  return [
    h(
      "table",
      { key },
      head(["Place", "Number", "Horse", "Exhibitor", ...(hasMarks ? ["Known by"] : [])]),
      h(
        "tbody",
        null,
        ...placed.map(({ place, tied, number, identification, horse, exhibitor }) =>
          h("tr", { key: number }, h("td", { class: "at" }, ordinal(place), tied ? h("small", null, "tied") : null), h("th", { scope: "row" }, number), h("td", { class: "horse" }, horse ?? ""), h("td", null, exhibitor ?? ""), hasMarks ? h("td", { class: "marks" }, identification ?? "") : null),
        ),
      ),
    ),
    belowSaid(lines) === "" ? null : h("p", { key: `b ${key}` }, belowSaid(lines, "")),
  ];
}

/** @param {readonly string[]} columns */
function head(columns) {
  return h("thead", null, h("tr", null, ...columns.map((each) => h("th", { scope: "col" }, each))));
}

/** @param {string} what @param {import("../published.js").Named | null} named */
function honor(what, named) {
  if (named === null) return h("tr", null, h("td", { class: "at" }, what), h("td", { colspan: 4 }, "not named"));
  return h("tr", null, h("td", { class: "at" }, what), h("th", { scope: "row" }, named.number), h("td", { class: "horse" }, named.horse ?? ""), h("td", null, named.exhibitor ?? ""), h("td", null, named.title));
}
