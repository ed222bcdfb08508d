// @ts-check
/**
 * The traits of the open pass on the plumb line: the faulty end left of it, the good end right, degrees as bars that
 * grow outward from it.
 *
 * Usage: `h("trait-lines", null)`; a row a trait.
 */

import { Part } from "../../lib/part.js";
import { counted } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";
import { go, place } from "../../state/place.js";
import { openNow, openStop, tapPresence, walkOn } from "../../state/ring.js";
import { session } from "../../state/session.js";
import { traitSheet } from "../../state/sheet.js";
import { shutAt } from "../../state/shut.js";
import { viewFrom, writtenBy } from "../../state/telling.js";
import { disputeBox } from "../dispute-box/dispute-box.js";
import { traitRow } from "./trait-row.js";

/** @typedef {import("../../state/card.js").Card} Card */
/** @typedef {import("../../state/card.js").Horse} Horse */
/** @typedef {import("../../state/ring.js").Stop} Stop */
/** @typedef {import("../../state/passes.js").Pass} Pass */
/** @typedef {import("../../state/sheet.js").Group} Group */

export class TraitLines extends Part {
  /** Passes whose further traits are shown. @type {Set<string>} */
  #opened = new Set();
  #shown = "";

  draw() {
    const { card } = session;
    if (card === null) return null;
    const { horse, pass } = openNow(card);
    if (horse === null) return null;
    const isOpened = this.#opened.has(pass.key);
    return this.kept([card, horse.number, pass, isOpened], () => this.#lines(card, horse, pass, isOpened));
  }

  /** @param {Card} card @param {Horse} horse @param {Pass} pass @param {boolean} isOpened */
  #lines(card, horse, pass, isOpened) {
    const stop = { number: horse.number, view: pass.key };
    if (card.isAbsent(horse.number)) return [...this.#disputed(card, stop, pass), this.#absent(card, stop)];
    const { first, rest, more } = traitSheet(card.standard, card.class.sexes, pass);
    return [
      ...this.#disputed(card, stop, pass),
      card.signature === null
        ? null
        : h(
            "p",
            { class: "shut" },
            shutAt(card),
            h("button", { onclick: () => go({ page: "sign" }) }, "Signed card"),
          ),
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

  /** A disputed mark stands with its trait; from here leads the way to its view. All else stands here. @param {Card} card @param {Stop} stop @param {Pass} pass */
  #disputed(card, { number }, { views }) {
    const disputes = card.disputesOf(number).map((dispute) => ({ dispute, of: card.notes.get(dispute.used) }));
    const elsewhere = disputes.flatMap(({ of }) => (of?.kind === "mark" && of.view && !views.includes(of.view) ? [of.view] : []));
    return [
      ...disputes.flatMap(({ dispute, of }) => (of?.kind === "mark" ? [] : [disputeBox(card, dispute)])),
      ...[...new Set(elsewhere)].map((seen) =>
        h(
          "button",
          { key: seen, class: "elsewhere", onclick: () => openStop(card, { number, view: seen }) },
          `A mark is disputed ${viewFrom(seen)} ›`,
        ),
      ),
    ];
  }

  /** @param {Card} card @param {Stop} stop @param {Group} group @param {string} title */
  #group(card, { number, view: pass }, { rows }, title) {
    return [
      h("h2", { key: title }, h("span", null, title)),
      ...rows.map(({ trait, view }) => traitRow(card, { number, view }, trait, view === pass ? "" : `, ${viewFrom(view)}`)),
    ];
  }

  /** @param {Card} card @param {Stop} stop @param {Group[]} rest @param {number} more @param {boolean} isOpened */
  #moreButton(card, stop, rest, more, isOpened) {
    const marked = rest
      .flatMap((group) => group.rows)
      .filter(({ trait, view }) => card.degree(stop.number, trait.key, view) !== 0).length;
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
              onclick: () => tapPresence(card, stop.number, "present"),
            },
            `${stop.number} is here after all`,
          )
        : null,
      h("button", { onclick: () => walkOn(card, stop) }, "Next horse"),
    );
  }
}
