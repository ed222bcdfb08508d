// @ts-check
/**
 * Signing: what is open, the order read back with the marks each horse is known by, then two buttons in two places, so
 * that a double tap of a wet glove signs nothing.
 *
 * Usage: `<sign-page></sign-page>`; a page. The second button stands in a group that takes the focus, so that a held key
 * does not run on into it.
 */

import { Part } from "../../lib/part.js";
import { clock, ordinal } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";
import { countSaid, gateCount } from "../../state/gate.js";
import { ownOrder } from "../../state/order.js";
import { go } from "../../state/place.js";
import { DECIDES, suggestion } from "../../state/placing.js";
import { session } from "../../state/session.js";
import { inOrder, maySign, points, sign, signs, takenBack, unplacedBeside } from "../../state/signing.js";
import { apart } from "../card-page/handed.js";
import { placesEnd } from "../placing-page/places-end.js";

/** @typedef {import("../../engine/placing.js").Placing} Placing */
/** @typedef {import("../../state/card.js").Card} Card */

const NAMED = 3;
const PLACES = ["first", "second", "third"];

export class SignPage extends Part {
  /** The order that was about to be signed. */
  #asked = "";

  draw() {
    const { card } = session;
    const { placing, isCurrent } = suggestion();
    const isReady = card !== null && placing !== null && isCurrent;
    return [
      h("class-bar", { ".about": "sign the card" }),
      h("main", null, isReady ? this.#card(card, placing) : h("p", { role: "status" }, "Reading the card.")),
      h("footer", null, isReady ? this.#buttons(card, placing) : null),
    ];
  }

  /** @param {Card} card @param {Placing} placing */
  #card(card, placing) {
    const order = ownOrder(card)?.numbers ?? [];
    const open = points(card, placing);
    const back = takenBack(card);
    const checked = inOrder(card, open);
    const count = gateCount(card);
    return [
      signs(card) ? null : h("p", { class: "problem" }, "Only the judge signs. This seat may look."),
      back === null ? null : h("p", null, `Signed before, taken back ${clock(back.at, Date.now())}: ${back.reason}`),
      count.isKept ? h("p", null, `The gate: ${countSaid(count).toLowerCase()}.`) : null,
      checked.length === 0 ? null : h("p", null, `Checked, and nothing open: ${checked.join(", ")}.`),
      open.length === 0 ? h("p", null, h("b", null, "✓ Nothing is open.")) : null,
      h(
        "ul",
        { class: "points", "aria-label": "What is open" },
        ...open.map(({ said, label, act, stops }) =>
          h(
            "li",
            { key: said },
            h("i", { "aria-hidden": "true" }, "!"),
            h("span", null, stops ? h("b", null, "Before signing: ") : null, said),
            h("button", { "aria-label": `${label}: ${said}`, onclick: act }, label),
          ),
        ),
      ),
      order.length === 0 ? null : h("h2", { id: "read-back" }, "Read it back"),
      h(
        "ol",
        { class: "read-back", "aria-labelledby": "read-back" },
        ...order.map((number, index) =>
          h(
            "li",
            { key: number },
            h("span", { class: "place" }, ordinal(index + 1)),
            h("b", null, number),
            h("span", { class: "marks" }, card.horse(number)?.identification ?? "no description"),
            placesEnd(index, order, card.class.places),
          ),
        ),
      ),
      h("div", { class: "apart" }, order.length === 0 ? null : apart({ unplaced: unplacedBeside(card, placing, order) })),
      h("p", { class: "decides" }, `Your own order is what you sign. ${DECIDES}`),
    ];
  }

  /** @param {Card} card @param {Placing} placing */
  #buttons(card, placing) {
    const order = ownOrder(card)?.numbers ?? [];
    // An order that changed under the hand is asked for anew.
    const isAsked = this.#asked !== "" && this.#asked === order.join();
    const named = order.slice(0, NAMED).map((number, index) => `${number} ${PLACES[index]}`);
    const more = order.length > NAMED ? `, and ${order.length - NAMED} more` : "";
    const back = h("button", { key: "back", onclick: () => go({ page: "placing" }) }, "‹ Placing");
    if (!isAsked) {
      return [back, h("button", { key: "sign", class: "main", disabled: !maySign(card, placing), onclick: () => this.#ask(order.join()) }, "Sign this card")];
    }
    return [
      h(
        "div",
        { key: "yes", class: "yes", role: "group", tabindex: -1, "aria-label": `Sign this order? ${named.join(", ")}${more}` },
        h("button", { class: "main", onclick: () => sign(card, placing) }, `Yes, sign: ${named.join(", ")}${more}`),
      ),
      h("button", { key: "no", onclick: () => this.#ask("") }, "Not yet"),
      h("p", { key: "above" }, "Sign with the button above"),
    ];
  }

  /** @param {string} order */
  #ask(order) {
    this.#asked = order;
    this.repaint();
    if (order !== "") this.querySelector("#read-back")?.scrollIntoView();
    /** @type {HTMLElement | null} */ (this.querySelector(order === "" ? "footer .main" : ".yes"))?.focus();
  }
}
