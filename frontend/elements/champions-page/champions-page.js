// @ts-check
/**
 * The judge's page of the championships: who comes back with the own placing, champion and reserve named, and what the own
 * cards of the day say. Only with a connection to the show office, for who comes back rests on everybody's cards.
 *
 * Usage: `<champions-page></champions-page>`; a page, with its h1.
 */

import { Asked } from "../../announce/asked.js";
import { Part } from "../../lib/part.js";
import { h } from "../../lib/view.js";
import { session } from "../../state/session.js";
import { pageHead } from "../app-frame/page-head.js";

/** @typedef {import("../../announce/champion-naming.js").Championship} Championship */
/** @typedef {{ championships: Championship[], placings?: { class: string, title: string, numbers: string[] }[] }} Championships */

export class ChampionsPage extends Part {
  /** @type {Asked<Championships>} */
  #asked = new Asked("/api/championships", "championships");

  connectedCallback() {
    super.connectedCallback();
    void this.#asked.ask();
  }

  draw() {
    const { answer } = this.#asked;
    const classes = session.day?.classes ?? [];
    return [
      pageHead("Champion and reserve"),
      h(
        "main",
        null,
        this.#asked.told("who comes back"),
        answer?.championships.length === 0 ? h("p", null, "No championship is yours to judge.") : null,
        ...(answer?.championships ?? []).map((each) =>
          h("champion-naming", {
            key: each.id,
            ".championship": each,
            ".classes": classes,
            ".onKept": (/** @type {Championship[]} */ all) => this.#kept(all),
          }),
        ),
        answer?.placings?.length ? this.#placings(answer.placings) : null,
      ),
      h("footer", null, h("button", { onclick: () => void this.#asked.ask() }, "Ask again")),
    ];
  }

  /** @param {NonNullable<Championships["placings"]>} placings */
  #placings(placings) {
    return h(
      "details",
      null,
      h("summary", null, "Your placings of the day"),
      h("dl", { class: "placings" }, ...placings.map(({ class: id, title, numbers }) => h("div", { key: id }, h("dt", null, title), h("dd", null, numbers.join(" · "))))),
    );
  }

  /** @param {Championship[]} championships */
  #kept(championships) {
    if (this.#asked.answer !== null) this.#asked.answer = { ...this.#asked.answer, championships };
    this.repaint();
  }

  repaint() {
    super.repaint();
    // Each draws itself from what it was handed.
    for (const each of this.querySelectorAll("champion-naming")) /** @type {Part} */ (each).repaint();
  }
}
