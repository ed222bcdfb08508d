// @ts-check
/**
 * What becomes of a signed card: the exhibitors' slips to look over, and the judge's word whether they may have them and
 * trainees may study the card. Only with a connection to the show office, where the slips are written.
 *
 * Usage: `<slips-page></slips-page>`; a page, with its h1. Nothing is given out without that word.
 */

import { Asked } from "../../announce/asked.js";
import { slipDrawn, WHAT_IT_SAYS } from "../../announce/slips.js";
import { Part } from "../../lib/part.js";
import { counted } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";
import { place } from "../../state/place.js";
import { session } from "../../state/session.js";

/** @typedef {import("../../announce/slips.js").Slips} Slips */
/** @typedef {{ study: boolean, slips: boolean }} Word */

export class SlipsPage extends Part {
  #path = `/api/classes/${encodeURIComponent(place().class ?? "")}`;
  /** @type {Asked<Slips>} */
  #slips = new Asked(`${this.#path}/slips`, "cards");
  /** @type {Asked<Word>} */
  #word = new Asked(`${this.#path}/agree`, "slips");

  connectedCallback() {
    super.connectedCallback();
    void this.#slips.ask();
    void this.#agree(null, null);
  }

  draw() {
    const { answer } = this.#slips;
    const card = answer?.cards[0];
    const word = this.#word.answer;
    return [
      h("class-bar", { ".about": "slips for exhibitors" }),
      h(
        "main",
        { tabindex: 0 },
        h("p", null, WHAT_IT_SAYS),
        this.#slips.told("the slips"),
        card === undefined ? null : h("h2", null, `${counted(card.slips.length, "slip")}, in your order`),
        card === undefined ? null : h("div", { class: "slips" }, ...card.slips.map((each) => slipDrawn(each, { show: session.held?.show.title ?? "", title: answer?.title ?? "", judge: card.name }))),
      ),
      h(
        "footer",
        null,
        this.#word.trouble === null || word === null ? null : h("p", { class: "trouble", role: "alert" }, h("b", null, "Not done: "), this.#word.trouble),
        word === null || card === undefined
          ? null
          : [
              this.#turn("Trainees may study this card", word.study, () => this.#agree(!word.study, null)),
              this.#turn("Exhibitors may have their slips", word.slips, () => this.#agree(null, !word.slips)),
            ],
      ),
    ];
  }

  /** @param {string} what @param {boolean} isAgreed @param {() => Promise<unknown>} turn */
  #turn(what, isAgreed, turn) {
    return h("button", { key: what, "aria-pressed": String(isAgreed), onclick: () => void turn() }, `${isAgreed ? "✓ " : ""}${what}`);
  }

  /** Say yes or no, or with nothing ask what was said. @param {boolean | null} study @param {boolean | null} slips */
  #agree(study, slips) {
    return this.#word.ask(undefined, { study, slips });
  }
}
