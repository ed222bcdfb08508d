// @ts-check
/**
 * The traits of the open view on the plumb line: the faulty end left of it, the good end right, degrees as bars that
 * grow outward from it.
 *
 * Usage: `h("trait-lines", null)`. Every end is a toggle button (ARIA pressed) named by its words, its side and its
 * degree. A disputed mark shows its values right under the trait, each a button that settles it.
 */

import { isFaultOnly } from "../../engine/standard.js";
import { Part } from "../../lib/part.js";
import { capital, clock, counted } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";
import { place } from "../../state/place.js";
import { openNow, settle, takesMarks, tapTrait, walkOn, write } from "../../state/ring.js";
import { session } from "../../state/session.js";
import { sheetOf } from "../../state/sheet.js";
import { saidBy, writtenBy } from "../../state/telling.js";

/** @typedef {import("../../state/card.js").Card} Card */
/** @typedef {import("../../state/card.js").Horse} Horse */
/** @typedef {import("../../state/ring.js").Stop} Stop */
/** @typedef {import("../../state/sheet.js").Group} Group */
/** @typedef {import("../../engine/shapes.js").Trait} Trait */

const SERIOUS = 4;

export class TraitLines extends Part {
  /** Views whose further traits are shown. @type {Set<string>} */
  #opened = new Set();
  #shown = "";

  draw() {
    const card = session.notebook?.card(place().class ?? "") ?? null;
    const { horse, view } = card === null ? { horse: null, view: "" } : openNow(card);
    if (card === null || horse === null) return null;
    const isOpened = this.#opened.has(view);
    return this.kept([card, horse.number, view, isOpened], () => this.#lines(card, horse, view, isOpened));
  }

  /** @param {Card} card @param {Horse} horse @param {string} view @param {boolean} isOpened */
  #lines(card, horse, view, isOpened) {
    const stop = { number: horse.number, view };
    if (card.isAbsent(horse.number)) return this.#absent(card, stop);
    const { first, rest, more } = sheetOf(card.standard, card.class.sexes, view);
    return [
      card.signature === null
        ? null
        : h("p", { class: "shut" }, `Signed ${clock(card.signature.at, Date.now())}: this card is shut.`),
      ...first.map((group) => this.#group(card, stop, group, group.title)),
      more === 0 ? null : this.#moreButton(card, stop, rest, more, isOpened),
      ...(isOpened ? rest.map((group) => this.#group(card, stop, group, `${group.title}, more`)) : []),
      first.length === 0 ? h("p", { class: "none" }, "The standard judges nothing from this view.") : null,
    ];
  }

  repaint() {
    super.repaint();
    const { number, view } = place();
    const shown = `${number} ${view}`;
    if (shown !== this.#shown) this.scrollTop = 0;
    this.#shown = shown;
  }

  /** @param {Card} card @param {Stop} stop @param {Group} group @param {string} title */
  #group(card, stop, { traits }, title) {
    return [
      h("h2", { key: title }, h("span", null, title)),
      ...traits.map((trait) => h("div", { key: trait.key, class: "trait" }, ...this.#trait(card, stop, trait))),
    ];
  }

  /** @param {Card} card @param {Stop} stop @param {Trait} trait */
  #trait(card, stop, trait) {
    const degree = card.degree(stop.number, trait.key, stop.view);
    const dispute = card.markDispute(stop.number, trait.key, stop.view);
    return [
      this.#end(card, stop, trait, -1, degree),
      isFaultOnly(trait) ? h("span", { class: "no-end" }) : this.#end(card, stop, trait, 1, degree),
      dispute === null ? null : disputed(card, trait, dispute.notes),
    ];
  }

  /** @param {Card} card @param {Stop} stop @param {Trait} trait @param {1 | -1} side @param {number} degree */
  #end(card, stop, trait, side, degree) {
    const words = side < 0 ? trait.faulty : String(trait.good);
    const taps = degree * side > 0 ? Math.abs(degree) : 0;
    const isSerious = side < 0 && trait.weight === SERIOUS;
    const kind = side < 0 ? (isSerious ? "serious fault" : "fault") : "good";
    const said = taps === 0 ? "not marked" : `marked ${taps} of 3`;
    return h(
      "button",
      {
        class: `${side < 0 ? "faulty" : "good"}${isSerious ? " serious" : ""}`,
        "aria-pressed": String(taps > 0),
        "aria-label": `${words}, ${kind}, ${said}`,
        "data-degree": taps,
        disabled: !takesMarks(card, stop.number),
        onclick: () => tapTrait(card, stop, trait, side),
      },
      h("span", { class: "words" }, words, isSerious ? h("em", null, "serious") : null),
      h("span", { class: "degree" }, h("i", null), h("i", null), h("i", null)),
    );
  }

  /** @param {Card} card @param {Stop} stop @param {Group[]} rest @param {number} more @param {boolean} isOpened */
  #moreButton(card, stop, rest, more, isOpened) {
    const marked = rest
      .flatMap((group) => group.traits)
      .filter((trait) => card.degree(stop.number, trait.key, stop.view) !== 0).length;
    const words = isOpened ? "Fewer traits" : `${counted(more, "more trait")}${marked > 0 ? `, ${marked} marked` : ""}`;
    return h(
      "button",
      {
        key: "more traits",
        class: marked > 0 ? "more-traits marked" : "more-traits",
        "aria-expanded": String(isOpened),
        onclick: () => {
          if (isOpened) this.#opened.delete(stop.view);
          else this.#opened.add(stop.view);
          this.repaint();
        },
      },
      words,
    );
  }

  /** @param {Card} card @param {Stop} stop */
  #absent(card, stop) {
    const note = card.presence(stop.number);
    const said = note === null ? "" : `Noted by ${writtenBy(note)}.`;
    return h(
      "div",
      { class: "not-here" },
      h("h2", null, `${stop.number} is absent`),
      h("p", null, `${said} Marks are shut, so that none lands here by accident.`),
      session.writes("presence")
        ? h(
            "button",
            {
              class: "main",
              onclick: () =>
                write(
                  card,
                  [{ kind: "presence", number: stop.number, state: "present" }],
                  `${stop.number}: present`,
                ),
            },
            `${stop.number} is here after all`,
          )
        : null,
      h("button", { onclick: () => walkOn(card, stop) }, "Next horse"),
    );
  }
}

/** @param {Card} card @param {Trait} trait @param {readonly string[]} ids */
function disputed(card, trait, ids) {
  const notes = ids.flatMap((id) => card.notes.get(id) ?? []);
  return h(
    "div",
    { class: "disputed", role: "group", "aria-label": `Disputed: ${trait.title}. Which one stands?` },
    h("p", null, "Two devices differ. Which stands?"),
    ...notes.map((note) =>
      h(
        "button",
        { key: note.id, onclick: () => settle(card, note.id) },
        h("b", null, capital(saidBy(note))),
        h("span", null, writtenBy(note)),
      ),
    ),
  );
}
