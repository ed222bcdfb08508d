// @ts-check
/**
 * Two horses side by side in one view: both horses' marks on their plumb lines, either to be marked, and the direct
 * call between them under the thumb.
 *
 * Usage: `<compare-page></compare-page>`; a page. Ends are toggle buttons named by the horse and the words; the two
 * calls are toggle buttons too.
 */

import { isFaultOnly } from "../../engine/standard.js";
import { Part } from "../../lib/part.js";
import { h } from "../../lib/view.js";
import { openCompare, openPair, tapCall } from "../../state/comparing.js";
import { SERIOUS } from "../../state/marking.js";
import { passesOf } from "../../state/passes.js";
import { go } from "../../state/place.js";
import { suggestion } from "../../state/placing.js";
import { takes } from "../../state/ring.js";
import { session } from "../../state/session.js";
import { traitSheet } from "../../state/sheet.js";
import { viewFrom } from "../../state/telling.js";
import { callCircle } from "../call-circle/call-circle.js";
import { disputeBox } from "../dispute-box/dispute-box.js";
import { ends } from "../trait-lines/trait-row.js";
import { undoButton } from "../thumb-bar/undo-button.js";

/** @typedef {import("../../state/card.js").Card} Card */
/** @typedef {import("../../state/card.js").Horse} Horse */
/** @typedef {import("../../state/sheet.js").Group} Group */
/** @typedef {import("../../state/sheet.js").Row} Row */
/** @typedef {import("../../state/passes.js").Pass} Pass */
/** @typedef {import("../../engine/shapes.js").Trait} Trait */

export class ComparePage extends Part {
  /** Passes whose further traits are shown. @type {Set<string>} */
  #opened = new Set();

  draw() {
    const { card } = session;
    if (card === null) return [h("class-bar", { ".about": "compare" }), h("p", { class: "opening" }, "Opening the class")];
    const { two, pass } = openPair(card);
    const [horse, other] = two ?? [];
    if (horse === undefined || other === undefined) {
      return [
        h("class-bar", { ".about": "compare" }),
        h("p", { class: "opening" }, "It takes two horses to compare."),
        h("main", null),
        h("footer", null, this.#moves()),
      ];
    }
    const pair = [horse, other];
    return [
      h("class-bar", { ".about": `${horse.number} beside ${other.number}, ${pass.title}` }),
      h("div", { class: "heads" }, this.#head(card, horse, other, true), this.#head(card, other, horse, false)),
      h("main", null, this.#circle(card, pair), ...this.#traits(card, pair, pass)),
      h(
        "footer",
        null,
        this.#views(card, pass),
        disputeBox(card, card.callDispute(horse.number, other.number)),
        this.#calls(card, horse.number, other.number),
        this.#moves(),
      ),
    ];
  }

  /** @param {Card} card @param {Horse} horse @param {Horse} other @param {boolean} isLeft */
  #head(card, horse, other, isLeft) {
    const others = card.horses.filter((each) => each.number !== other.number);
    return h(
      "div",
      null,
      h(
        "select",
        {
          "aria-label": isLeft ? "Horse on the left" : "Horse on the right",
          ".value": horse.number,
          onchange: (/** @type {Event} */ event) => {
            const chosen = /** @type {HTMLSelectElement} */ (event.target).value;
            if (isLeft) openCompare(card, chosen, other.number);
            else openCompare(card, other.number, chosen);
          },
        },
        ...others.map(({ number }) => h("option", { key: number, value: number, selected: number === horse.number }, number)),
      ),
      h("p", null, card.isAbsent(horse.number) ? "absent" : (horse.identification ?? "")),
    );
  }

  /** @param {Card} card @param {Horse[]} pair */
  #circle(card, pair) {
    const { placing } = suggestion(card.class.id);
    const circle = placing?.circles.find((each) => pair.every(({ number }) => each.includes(number)));
    return placing === null || circle === undefined ? null : callCircle(card, placing, circle);
  }

  /** @param {Card} card @param {Horse[]} pair @param {Pass} pass */
  #traits(card, pair, pass) {
    const { first, rest } = traitSheet(card.standard, card.class.sexes, pass);
    const isOpened = this.#opened.has(pass.key);
    /** @param {Row} row */
    const isMarked = ({ trait, view }) => pair.some(({ number }) => card.degree(number, trait.key, view) !== 0);
    const shown = rest
      .map((group) => ({ ...group, rows: isOpened ? group.rows : group.rows.filter(isMarked) }))
      .filter((group) => group.rows.length > 0);
    const left = rest.flatMap((group) => group.rows).length - shown.flatMap((group) => group.rows).length;
    return [
      ...first.map((group) => this.#group(card, pair, pass, group, group.title)),
      ...shown.map((group) => this.#group(card, pair, pass, group, `${group.title}, more`)),
      left === 0
        ? null
        : h(
            "button",
            {
              key: "more traits",
              class: "more-traits",
              onclick: () => {
                this.#opened.add(pass.key);
                this.repaint();
              },
            },
            left === 1 ? "1 more trait" : `${left} more traits`,
          ),
    ];
  }

  /** @param {Card} card @param {Horse[]} pair @param {Pass} pass @param {Group} group @param {string} title */
  #group(card, pair, { views }, { rows }, title) {
    return [
      h("h2", { key: title }, title),
      ...rows.map(({ trait, view }) => {
        const from = views.length > 1 ? `, ${viewFrom(view)}` : "";
        return h(
          "div",
          { key: `${trait.key} ${view}`, class: "both", role: "group", "aria-label": `${trait.title}${from}` },
          h(
            "p",
            { class: "ends", "aria-hidden": "true" },
            h("span", null, trait.faulty, trait.weight === SERIOUS ? h("em", null, "serious") : null),
            isFaultOnly(trait) ? null : [h("i", null), h("span", null, trait.good)],
          ),
          ...pair.map(({ number }) => h("div", { class: "trait" }, ...ends(card, { number, view }, trait, true, from))),
          ...pair.map(({ number }) => disputeBox(card, card.markDispute(number, trait.key, view), true)),
        );
      }),
    ];
  }

  /** @param {Card} card @param {Pass} pass */
  #views(card, pass) {
    return h(
      "nav",
      { class: "views-row", "aria-label": "Views" },
      ...passesOf(card.standard).map((each) =>
        h(
          "button",
          { key: each.key, "aria-current": each === pass ? "true" : null, onclick: () => go({ view: each.key }) },
          each.title,
        ),
      ),
    );
  }

  /** @param {Card} card @param {string} left @param {string} right */
  #calls(card, left, right) {
    const over = card.winner(left, right);
    return h(
      "div",
      { class: "calls", role: "group", "aria-label": "Direct call" },
      ...[
        { winner: left, loser: right },
        { winner: right, loser: left },
      ].map(({ winner, loser }) =>
        h(
          "button",
          {
            "aria-pressed": String(over === winner),
            disabled: !takes(card, "over"),
            onclick: () => tapCall(card, { winner, loser }),
          },
          h("b", null, `${over === winner ? "✓ " : ""}${winner} over ${loser}`),
          h("small", null, over === winner ? "tap to take it back" : "by eye"),
        ),
      ),
    );
  }

  #moves() {
    return h(
      "div",
      { class: "moves" },
      h("button", { onclick: () => go({ page: "ring" }) }, "‹ Ring"),
      undoButton(),
      h("button", { onclick: () => go({ page: "placing" }) }, "Placing"),
    );
  }
}
