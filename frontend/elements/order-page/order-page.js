// @ts-check
/**
 * The judge's own order: tap a horse and move it with the thumb's buttons, drag it by its handle, type the numbers, or
 * take the suggestion.
 *
 * Usage: `<order-page></order-page>`; a page. Rows are toggle buttons (ARIA pressed), one picked at a time; the handles
 * are for fingers and mice only, for the buttons below do all they do.
 */

import { Drag, moved } from "../../lib/drag.js";
import { Part } from "../../lib/part.js";
import { clock, listed, ordinal } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";
import { leftOut, ownOrder, readOrder, setOrder, standingOf } from "../../state/order.js";
import { go } from "../../state/place.js";
import { suggestion } from "../../state/placing.js";
import { takes } from "../../state/ring.js";
import { session } from "../../state/session.js";
import { shutSaid } from "../../state/shut.js";
import { placesEnd } from "../placing-page/places-end.js";
import { undoButton } from "../thumb-bar/undo-button.js";

/** @typedef {import("../../engine/placing.js").Placing} Placing */
/** @typedef {import("../../state/card.js").Card} Card */

export class OrderPage extends Part {
  /** @type {string | null} */
  #picked = null;
  #isTyping = false;
  #typed = "";
  #drag = new Drag(this, (order, number, isMoved) => {
    this.#picked = number;
    const { card } = session;
    if (card !== null && isMoved) this.#set(card, order, number);
  });

  draw() {
    const { card } = session;
    const { placing } = suggestion();
    const isReady = card !== null && placing !== null;
    const order = isReady ? this.#drag.order(ownOrder(card)?.numbers ?? placing.placing) : [];
    return [
      h("class-bar", { ".about": "your own order" }),
      h("main", null, isReady ? this.#order(card, placing, order) : h("p", null, "Working out the placing.")),
      h("footer", { class: "two-rows" }, isReady && takes(card, "order") ? this.#moves(card, order) : null, this.#ways(card)),
    ];
  }

  /** @param {Card} card @param {Placing} placing @param {readonly string[]} order */
  #order(card, placing, order) {
    const own = ownOrder(card);
    const isSuggestion = order.join() === placing.placing.join();
    const left = leftOut(card, order);
    if (!takes(card, "order")) return h("p", null, shutSaid(card) ?? "Your seat keeps no order.");
    return [
      this.#isTyping ? this.#typing(card) : null,
      h(
        "div",
        { class: "source" },
        h(
          "p",
          { class: "origin" },
          own === null
            ? "Not your own order yet: this is the suggestion."
            : `Your own order, set ${clock(own.at, Date.now())}${isSuggestion ? ", as the notes have it" : ""}.`,
        ),
        placing.placing.length === 0 || (own !== null && isSuggestion)
          ? null
          : h("button", { onclick: () => setOrder(card, placing.placing, "suggestion taken") }, "Take the suggestion"),
      ),
      h(
        "ol",
        {
          class: "own",
          "aria-label": "Your own order",
          ...this.#drag.listens,
        },
        ...order.map((number, index) =>
          h(
            "li",
            { key: number, class: this.#drag.isDragged(number) ? "dragged" : null },
            this.#row(card, placing, number, ordinal(index + 1)),
            this.#drag.handle(number, order),
            placesEnd(index, order, card.class.places),
          ),
        ),
      ),
      left.length === 0 ? null : h("h2", null, "Not in your order"),
      h("ul", { class: "own" }, ...left.map((number) => h("li", { key: number }, this.#row(card, placing, number, "")))),
    ];
  }

  /** @param {Card} card @param {Placing} placing @param {string} number @param {string} at */
  #row(card, placing, number, at) {
    const byNotes = placing.placing.indexOf(number);
    const said = byNotes === -1 ? (session.day?.words.standings[standingOf(placing, number)] ?? "") : `notes: ${ordinal(byNotes + 1)}`;
    return h(
      "button",
      {
        "aria-pressed": String(this.#picked === number),
        onclick: () => {
          this.#picked = this.#picked === number ? null : number;
          this.repaint();
        },
      },
      h("span", { class: "place" }, at),
      h("b", null, number),
      h("span", { class: "marks" }, card.horse(number)?.identification ?? "", h("i", null, said)),
    );
  }

  /** @param {Card} card */
  #typing(card) {
    const { numbers, problem } = readOrder(card, this.#typed);
    const left = leftOut(card, numbers);
    const help = left.length === 0 ? "All horses stand in it." : `Leaves out ${listed(left)}.`;
    return h(
      "form",
      {
        onsubmit: (/** @type {Event} */ event) => {
          event.preventDefault();
          if (problem !== null || numbers.length === 0) return;
          this.#isTyping = false;
          setOrder(card, numbers, `own order ${listed(numbers)}`);
        },
      },
      h("label", { for: "typed" }, "Your order, best first"),
      h("input", {
        id: "typed",
        ".value": this.#typed,
        autocomplete: "off",
        autocapitalize: "characters",
        // A pad of digits that has a sign to put between numbers.
        inputmode: card.horses.every(({ number }) => /^\d+$/.test(number)) ? "decimal" : "text",
        "aria-describedby": "typed-help",
        oninput: (/** @type {Event} */ event) => {
          this.#typed = /** @type {HTMLInputElement} */ (event.target).value;
          this.repaint();
        },
      }),
      h("p", { id: "typed-help", class: problem === null ? null : "problem", role: "status" }, problem ?? help),
      h(
        "div",
        { class: "choices" },
        h("button", { type: "button", onclick: () => this.#type(card, false) }, "Cancel"),
        h("button", { class: "main", disabled: problem !== null || numbers.length === 0 }, "Set this order"),
      ),
    );
  }

  /** @param {Card} card @param {readonly string[]} order */
  #moves(card, order) {
    const number = this.#picked;
    const at = order.indexOf(number ?? "");
    /** @param {string} sign @param {number} to @param {boolean} isOpen */
    const move = (sign, to, isOpen) =>
      h(
        "button",
        {
          class: "main",
          disabled: !isOpen,
          "aria-label": isOpen ? `${sign}: ${number} to ${ordinal(to + 1)}` : sign,
          onclick: () => number !== null && this.#set(card, moved(order, number, to), number),
        },
        `${sign} ${sign === "Up" ? "▲" : "▼"}`,
      );
    return h(
      "div",
      { role: "group", "aria-label": number === null ? "Tap a horse to move it" : `Move ${number}` },
      number !== null && at === -1
        ? h("button", { onclick: () => this.#set(card, [...order, number], number) }, `Put in ${number}`)
        : h(
            "button",
            {
              disabled: number === null,
              onclick: () => number !== null && this.#set(card, order.filter((each) => each !== number), number),
            },
            number === null ? "Tap a horse" : `Leave out ${number}`,
          ),
      move("Up", at - 1, at > 0),
      move("Down", at + 1, at !== -1 && at + 1 < order.length),
    );
  }

  /** @param {Card | null} card */
  #ways(card) {
    return h(
      "div",
      null,
      h("button", { onclick: () => go({ page: "placing" }) }, "‹ Placing"),
      undoButton(),
      card !== null && takes(card, "order")
        ? h("button", { "aria-expanded": String(this.#isTyping), onclick: () => this.#type(card, !this.#isTyping) }, "Type it")
        : null,
    );
  }

  /** @param {Card} card @param {boolean} isTyping */
  #type(card, isTyping) {
    this.#isTyping = isTyping;
    this.#typed = ownOrder(card)?.numbers.join(" ") ?? "";
    this.repaint();
    if (!isTyping) return;
    this.querySelector("main")?.scrollTo(0, 0);
    this.querySelector("input")?.focus();
  }

  /** @param {Card} card @param {readonly string[]} order @param {string} number what was moved */
  #set(card, order, number) {
    const at = order.indexOf(number);
    this.#picked = number;
    setOrder(card, order, at === -1 ? `${number} left out` : `${number} ${ordinal(at + 1)}`);
    this.repaint();
    this.querySelector("main [aria-pressed=true]")?.scrollIntoView({ block: "nearest" });
  }
}
