// @ts-check
/**
 * The thumb's third: the views, and under them back, undo, the placing, and the next horse by its number.
 *
 * Usage: `h("thumb-bar", null)`.
 */

import { Part } from "../../lib/part.js";
import { h } from "../../lib/view.js";
import { go, place } from "../../state/place.js";
import { openNow, openStop, stopAfter, stopBefore, undo, walkOn } from "../../state/ring.js";
import { session } from "../../state/session.js";
import { viewTitle } from "../../state/telling.js";

/** @typedef {import("../../state/card.js").Card} Card */
/** @typedef {import("../../state/ring.js").Stop} Stop */

export class ThumbBar extends Part {
  draw() {
    const card = session.notebook?.card(place().class ?? "") ?? null;
    const { horse, view } = card === null ? { horse: null, view: "" } : openNow(card);
    if (card === null || horse === null) return null;
    const step = session.notebook?.lastStep ?? null;
    return this.kept([card, horse.number, view, step], () => this.#bar(card, { number: horse.number, view }, step));
  }

  /** @param {Card} card @param {Stop} stop @param {import("../../state/notebook.js").Step | null} step */
  #bar(card, stop, step) {
    const { number, view } = stop;
    const before = stopBefore(card, stop);
    const after = stopAfter(card, stop);
    return [
      h(
        "nav",
        { class: "views-row", "aria-label": "Views", "data-count": card.standard.views.length },
        ...card.standard.views.map((each) => {
          const isSeen = card.isSeen(number, each);
          return h(
            "button",
            {
              key: each,
              "aria-current": each === view ? "true" : null,
              "aria-label": isSeen ? `${viewTitle(each)}, seen` : null,
              onclick: () => openStop(card, { number, view: each }),
            },
            h("span", null, viewTitle(each)),
            h("i", { class: isSeen ? "done" : null, "aria-hidden": "true" }),
          );
        }),
      ),
      h(
        "div",
        { class: "moves" },
        h(
          "button",
          {
            class: "before",
            disabled: before === null,
            "aria-label": before === null ? "No horse before this one" : `Back to ${before.number}`,
            onclick: () => before !== null && openStop(card, before),
          },
          before === null ? "‹" : `‹ ${before.number}`,
        ),
        h(
          "button",
          {
            class: "undo",
            disabled: step === null,
            "aria-label": step === null ? "Nothing to undo" : `Undo ${step.words}`,
            onclick: () => void undo(),
          },
          "Undo",
        ),
        h("button", { class: "to-placing", onclick: () => go({ page: "placing" }) }, "Placing"),
        h(
          "button",
          { class: "next", onclick: () => walkOn(card, stop), "aria-label": this.#nextSaid(after, view) },
          after === null ? "Placing ›" : `${after.number} ›`,
          after !== null && after.view !== view ? h("small", null, viewTitle(after.view)) : null,
        ),
      ),
    ];
  }

  /** @param {{ number: string, view: string } | null} after @param {string} view */
  #nextSaid(after, view) {
    if (after === null) return "Placing, the line is done";
    return after.view === view ? `Next horse, ${after.number}` : `Next: ${after.number}, ${viewTitle(after.view)}`;
  }
}
