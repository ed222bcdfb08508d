// @ts-check
/**
 * The thumb's third: the passes with the placing behind them; under them back, undo, and the two ways to go on: this
 * horse in its next pass, and the next horse, by its number and the marks to know it by.
 *
 * Usage: `h("thumb-bar", null)`.
 */

import { Part } from "../../lib/part.js";
import { h } from "../../lib/view.js";
import { lineOf } from "../../state/line.js";
import { passesOf, passOf } from "../../state/passes.js";
import { go } from "../../state/place.js";
import { horseBefore, isAskedToUndo, nextHorse, nextView, openNow, openStop, walkOn } from "../../state/ring.js";
import { session } from "../../state/session.js";
import { undoButton } from "./undo-button.js";

/** @typedef {import("../../state/card.js").Card} Card */
/** @typedef {import("../../state/ring.js").Stop} Stop */

export class ThumbBar extends Part {
  draw() {
    const { card } = session;
    if (card === null) return null;
    const { horse, view } = openNow(card);
    if (horse === null) return null;
    const step = session.notebook?.lastStep ?? null;
    return this.kept([card, lineOf(card), horse.number, view, step, isAskedToUndo(step)], () => this.#bar(card, { number: horse.number, view }));
  }

  /** @param {Card} card @param {Stop} stop */
  #bar(card, stop) {
    const { number, view } = stop;
    const before = horseBefore(card, stop);
    return [
      h(
        "nav",
        { class: "views-row", "aria-label": "Views" },
        ...passesOf(card.standard).map(({ key, title, views }) => {
          const seen = views.filter((each) => card.isSeen(number, each));
          const said = seen.length === views.length ? "seen" : seen.length > 0 ? "partly seen" : null;
          return h(
            "button",
            {
              key,
              "aria-current": key === view ? "true" : null,
              "aria-label": said === null ? null : `${title}, ${said}`,
              onclick: () => openStop(card, { number, view: key }),
            },
            h("span", null, title),
            h("span", { class: "done", "aria-hidden": "true" }, ...views.map((each) => h("i", { class: seen.includes(each) ? "is" : null }))),
          );
        }),
      ),
      h("button", { class: "to-placing", onclick: () => go({ page: "placing" }) }, "Placing"),
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
        undoButton(),
        this.#onward(card, stop, nextView(card, stop), "next-view"),
        this.#onward(card, stop, nextHorse(card, stop), "next"),
      ),
    ];
  }

  /** @param {Card} card @param {Stop} stop @param {Stop | null} next @param {string} kind */
  #onward(card, stop, next, kind) {
    const title = next === null ? "Placing" : passOf(card.standard, next.view).title;
    const isSameHorse = next?.number === stop.number;
    const isSameView = next?.view === stop.view;
    const marks = (next === null ? null : card.horse(next.number)?.identification) ?? "";
    const [large, small] =
      next === null
        ? [title, "the line is done"]
        : isSameHorse && !isSameView
          ? [title, "same horse"]
          : [next.number, isSameView ? marks : title];
    const said =
      next === null
        ? "Placing, the line is done"
        : isSameHorse
          ? `Next view of ${next.number}: ${title}`
          : isSameView
            ? `Next horse, ${next.number}${marks === "" ? "" : `, ${marks}`}`
            : `Next: ${next.number}, ${title}`;
    return h(
      "button",
      { class: kind, "aria-label": said, onclick: () => walkOn(card, stop, next) },
      h("b", { class: large.length > 4 && isSameView ? "long" : null }, `${large} ›`),
      small === "" ? null : h("small", null, small),
    );
  }
}
