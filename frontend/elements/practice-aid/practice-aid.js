// @ts-check
/**
 * What helps in the practice class alone: what there is to see of the open horse, and the hints.
 *
 * Usage: `h("practice-aid", { ".spot": "traits" })`. Empty in any other class.
 */

import { Part } from "../../lib/part.js";
import { h } from "../../lib/view.js";
import { hintAt } from "../../state/hints.js";
import { place } from "../../state/place.js";
import { openNow } from "../../state/ring.js";
import { session } from "../../state/session.js";
import { viewFrom } from "../../state/telling.js";

/** @typedef {import("../../state/hints.js").Spot} Spot */

export class PracticeAid extends Part {
  /** @type {Spot | null} */
  #spot = null;
  #shown = "";

  /** @param {Spot} spot */
  set spot(spot) {
    this.#spot = spot;
    this.repaint();
  }

  draw() {
    if (session.alone !== "practice" || this.#spot === null) return null;
    const hint = hintAt(this.#spot);
    return [this.#spot === "traits" ? this.#seen() : null, hint === null ? null : h("p", { class: "hint" }, hint)];
  }

  repaint() {
    super.repaint();
    const { number, view } = place();
    const shown = `${number} ${view}`;
    // Where what is told scrolls with the traits, another horse begins with what there is to see of it.
    if (this.#spot === "traits" && shown !== this.#shown) this.parentElement?.scrollTo(0, 0);
    this.#shown = shown;
  }

  #seen() {
    const { card } = session;
    if (card === null) return null;
    const { horse, pass } = openNow(card);
    const seen = session.day?.seen?.[horse?.number ?? ""] ?? {};
    return pass.views.map((each) => h("p", { key: each }, h("b", null, `What you see ${viewFrom(each)}: `), seen[each] ?? ""));
  }
}
