// @ts-check
/**
 * The slips for the exhibitors of a class, to print and cut: once the class is released, of the judges who agreed.
 *
 * Usage: `<slips-page></slips-page>`; a page, with its h1.
 */

import { Asked } from "../../announce/asked.js";
import { slipDrawn, WHAT_IT_SAYS } from "../../announce/slips.js";
import { counted } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";
import { desk } from "../desk.js";
import { addressOf, at } from "../place.js";
import { published, PublishedPage } from "../published.js";

/** @typedef {import("../../announce/slips.js").Slips} Slips */

export class SlipsPage extends PublishedPage {
  /** @type {Asked<Slips> | null} */
  #asked = null;
  /** @type {() => void} */
  #halt = () => {};

  connectedCallback() {
    const { of } = at();
    const asked = of === null ? null : new Asked(`/api/classes/${encodeURIComponent(of)}/slips`, "cards");
    this.#asked = asked;
    this.#halt = desk.onPull(async () => {
      await asked?.ask();
    });
    super.connectedCallback();
  }

  disconnectedCallback() {
    this.#halt();
    super.disconnectedCallback();
  }

  draw() {
    const asked = this.#asked;
    if (asked === null) return this.#all();
    const { answer } = asked;
    const cards = answer?.cards ?? [];
    const count = cards.reduce((sum, { slips }) => sum + slips.length, 0);
    return [
      h("a", { class: "button back", href: addressOf("slips") }, "‹ All classes"),
      h("h1", { tabindex: -1 }, answer?.title ?? "Slips"),
      h("p", { class: "help" }, WHAT_IT_SAYS),
      asked.told("the slips"),
      answer !== null && count === 0 ? h("p", null, "No judge of this class has agreed to slips. The judge does so on the signed card.") : null,
      count === 0 ? null : h("div", { class: "choices" }, h("button", { type: "button", class: "main", onclick: () => print() }, `Print ${counted(count, "slip")}`)),
      count === 0
        ? null
        : h("div", { class: "slips" }, ...cards.flatMap(({ judge, name, slips }) => slips.map((each) => ({ ...slipDrawn(each, { show: desk.show?.title ?? "", title: answer?.title ?? "", judge: name }), key: `${judge} ${each.number}` })))),
    ];
  }

  /** The released classes. */
  #all() {
    const results = published.results ?? [];
    return [
      h("h1", { tabindex: -1 }, "Slips for exhibitors"),
      h("p", { class: "help" }, WHAT_IT_SAYS),
      results.length === 0 ? h("p", null, "No class is signed by all its judges yet.") : null,
      h("ul", { class: "rows" }, ...results.map(({ id, title }) => h("li", { key: id }, h("a", { class: "button", href: addressOf("slips", id) }, title), h("span", null, this.#agreed(id))))),
    ];
  }

  /** @param {string} id */
  #agreed(id) {
    const agreed = desk.state?.classes.find((each) => each.id === id)?.slips ?? [];
    return agreed.length === 0 ? "no judge agreed yet" : `${counted(agreed.length, "judge")} agreed`;
  }
}
