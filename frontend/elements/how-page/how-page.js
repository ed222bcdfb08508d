// @ts-check
/**
 * How a placing is worked out: first for a judge, without figures, then with them, on one small class.
 *
 * Usage: `<how-page></how-page>`; a page, with its h1. Every number and every sentence about a horse comes from the
 * engine at work on that class; none is written here.
 */

import { Part } from "../../lib/part.js";
import { capital, degreeWord, listed } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";
import { weighings } from "../../state/firmness.js";
import { addedUp, corners, figure, fraction, workedClass } from "../../state/how.js";
import { go, place, START } from "../../state/place.js";
import { pageHead } from "../app-frame/page-head.js";
import { picture } from "../placing-page/wedge.js";

/** @typedef {import("../../engine/sheets.js").Sheet} Sheet */
/** @typedef {import("../../engine/placing.js").Pair} Pair */
/** @typedef {import("../../state/how.js").Worked} Worked */

const WEIGHTS = ["minor", "ordinary", "weighty", "serious"];

export class HowPage extends Part {
  /** @type {Worked | null} */
  #worked = null;
  #isMissing = false;

  connectedCallback() {
    super.connectedCallback();
    workedClass().then(
      (worked) => {
        this.#worked = worked;
        this.repaint();
      },
      () => {
        this.#isMissing = true;
        this.repaint();
      },
    );
  }

  draw() {
    const back = () => (place().class === null ? go(START) : go({ page: "placing" }));
    return [
      pageHead("How a placing is worked out", back),
      h(
        "main",
        { tabindex: 0 },
        this.#isMissing ? h("p", null, "The example is not on this phone yet: open this page once with a signal.") : null,
        this.#worked === null ? null : [forJudges(this.#worked), inFigures(this.#worked)],
      ),
      h("footer", null, h("button", { onclick: back }, place().class === null ? "‹ Classes" : "‹ Placing")),
    ];
  }
}

/** @param {Worked} worked */
function forJudges(worked) {
  const { placing, sheets, standard, told } = worked;
  const titles = standard.criteria.map(({ title }) => title.toLowerCase());
  const adjacent = placing.pairs.filter((pair) => pair.adjacent);
  const open = adjacent.find(({ share }) => share > 0 && share < 1000) ?? adjacent[0];
  return [
    h("p", null, told.intro),
    sections(told.judges, [
      h(
        "ul",
        { class: "marks" },
        ...sheets.map((sheet) => h("li", { key: sheet.number }, h("b", null, sheet.number), h("span", null, marksOf(worked, sheet)))),
      ),
      null,
      h("p", null, `${capital(listed(titles))}.`),
      adjacent.map((pair) => h("p", { key: `said ${pair.upper}`, class: "said" }, pair.sentence)),
      open === undefined ? null : [picture(open), h("p", null, weighings(open))],
    ]),
  ];
}

/** @param {Worked} worked */
function inFigures(worked) {
  const { placing, scheme, sheets, standard, told } = worked;
  const { weights } = scheme;
  const whole = weights.reduce((sum, weight) => sum + weight, 0);
  const count = weights.length;
  const kinds = [...new Set(scheme.traits.map(({ weight }) => weight))].sort((a, b) => a - b);
  return [
    h("h2", { class: "title" }, told.title),
    sections(told.figures, [
      h(
        "p",
        null,
        `Weight of the trait (${listed(kinds.map((weight) => `${WEIGHTS[weight - 1]} ${weight}`))}) times count of the degree (${listed(standard.degrees.map((each, place) => `${degreeWord(place + 1)} ${each}`))}).`,
      ),
      sheets.map((sheet) => scores(worked, sheet)),
      h("p", null, `With ${count} criteria in order, the i-th weighs (1/i + … + 1/${count}) / ${count}: ${weights.join(", ")} of ${whole}.`),
      h(
        "ul",
        { class: "totals" },
        ...sheets.map((sheet) =>
          h(
            "li",
            { key: sheet.number },
            h("b", null, sheet.number),
            h("span", null, `${weighed(weights, sheet.scores)} = ${figure(sheet.total)}`),
          ),
        ),
      ),
      placing.pairs.filter((pair) => pair.adjacent).map((pair) => inPair(worked, pair)),
    ]),
    h("p", { class: "soft" }, told.whole),
  ];
}

/** Each with its title, its text and what is shown under it. @param {Worked["told"]["judges"]} parts @param {unknown[]} shown */
function sections(parts, shown) {
  return parts.map(({ title, text }, place) => [h("h2", null, title), text === "" ? null : h("p", null, text), shown[place] ?? null]);
}

/** A horse's marks in words. @param {Worked} worked @param {Sheet} sheet */
function marksOf({ scheme }, sheet) {
  return listed(
    scheme.traits.flatMap((trait) =>
      [...(sheet.degrees.get(trait.key)?.values() ?? [])].map(
        (degree) => `${(degree < 0 ? trait.faulty : trait.good) ?? trait.title} (${degreeWord(degree)})`,
      ),
    ),
  );
}

/** How the scores of a horse come about. @param {Worked} worked @param {Sheet} sheet */
function scores({ scheme, standard }, sheet) {
  const lines = standard.criteria.flatMap(({ key, title }, place) => {
    const good = addedUp(sheet.goodEnds[place] ?? []);
    const faulty = addedUp(sheet.faultyEnds[place] ?? []);
    if (good === "" && faulty === "") return [];
    const sum = [good, faulty === "" ? "" : `− ${faulty.includes("+") ? `(${faulty})` : faulty}`].filter((each) => each).join(" ");
    return [h("li", { key }, h("span", null, title), h("b", null, `${sum} = ${figure(sheet.scores[place] ?? 0)}`))];
  });
  const strengths = scheme.traits.flatMap((trait) =>
    [...(sheet.degrees.get(trait.key)?.values() ?? [])].map((degree) => {
      const counts = standard.degrees[Math.abs(degree) - 1] ?? 0;
      return `${trait.title.toLowerCase()} ${trait.weight} × ${counts}${degree < 0 ? " faulty" : ""}`;
    }),
  );
  return h(
    "section",
    { key: `scores ${sheet.number}`, class: "scores", "data-number": sheet.number },
    h("p", null, h("b", null, sheet.number), ` ${listed(strengths)}`),
    h("ul", null, ...lines),
  );
}

/** @param {Worked} worked @param {Pair} pair */
function inPair({ sheets, scheme, standard }, pair) {
  const upper = sheets.find(({ number }) => number === pair.upper);
  const lower = sheets.find(({ number }) => number === pair.lower);
  if (upper === undefined || lower === undefined) return null;
  const differences = upper.scores.map((score, place) => score - (lower.scores[place] ?? 0));
  const decides = standard.criteria.find(({ key }) => key === pair.decided_by)?.title.toLowerCase() ?? "";
  const { values: at, of } = corners(scheme, upper, lower);
  const below = at.filter((value) => value < 0);
  const lowest = Math.min(...at);
  const product = at.filter((value) => value > 0).map((value) => fraction(-lowest, value - lowest));
  return h(
    "section",
    { key: `pair ${pair.upper}`, class: "in-pair", "data-pair": `${pair.upper} ${pair.lower}` },
    h("h3", null, `${pair.upper} over ${pair.lower}`),
    h("p", null, `Differences ${differences.map((each) => figure(each)).join(", ")}; weighed ${weighed(scheme.weights, differences)} = ${figure(pair.margin)}.`),
    h("p", null, `The largest part, ${figure(Math.max(...differences.map((each, place) => each * (scheme.weights[place] ?? 0))))}, is that of ${decides}: it decides.`),
    h(
      "p",
      null,
      `${capital(standard.criteria[0]?.title.toLowerCase() ?? "")} alone gives ${figure(at[0] ?? 0, of)}, the first two alike ${figure(at[1] ?? 0, of)}, and so on to all alike: ${at.map((value) => figure(value, of)).join(", ")}. These are the corners of all weighings that keep the order. `,
      below.length === 0
        ? `None is below 0: ${pair.upper} leads under every one of them.`
        : below.length === 1
          ? `One is below 0, so the part under which ${pair.upper} leads is 1 − ${product.join(" × ")} = ${pair.share} per mille.`
          : `The part under which ${pair.upper} leads is ${pair.share} per mille.`,
    ),
  );
}

/** "25 × 10 2/3 + 13 × −4", without what is 0. @param {readonly number[]} weights @param {readonly number[]} scores */
function weighed(weights, scores) {
  const parts = scores.flatMap((score, place) => (score === 0 ? [] : [`${weights[place]} × ${figure(score)}`]));
  return parts.length === 0 ? "0" : parts.join(" + ");
}
