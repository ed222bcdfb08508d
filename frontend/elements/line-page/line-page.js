// @ts-check
/**
 * The whole line at a glance: which horse was seen from where, the order they stand in, and who is in the ring.
 *
 * Usage: `<line-page></line-page>`; a page of three sheets, chosen by toggle buttons (ARIA pressed). Horses are moved
 * by the buttons beside them or dragged by the handle, which is for fingers and mice only.
 */

import { Drag, moved } from "../../lib/drag.js";
import { Part } from "../../lib/part.js";
import { counted, listed, ordinal } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";
import { arrange, countHeads, headCount, isArranged, lineOf } from "../../state/line.js";
import { readOrder } from "../../state/order.js";
import { passesOf, viewsInTurn } from "../../state/passes.js";
import { go } from "../../state/place.js";
import { lookAtAll, openNow, openStop, unlooked } from "../../state/ring.js";
import { session } from "../../state/session.js";
import { viewTitle } from "../../state/telling.js";
import { say } from "../../state/voice.js";
import { gateRow } from "../gate-page/gate-row.js";
import { undoButton } from "../thumb-bar/undo-button.js";

/** @typedef {import("../../state/card.js").Card} Card */
/** @typedef {import("../../state/passes.js").Pass} Pass */

const SHEETS = { seen: "Seen", order: "Line-up", count: "Head count" };

export class LinePage extends Part {
  /** @type {keyof typeof SHEETS} */
  #sheet = "seen";
  #typed = "";
  #drag = new Drag(this, (order, number, isMoved) => {
    const { card } = session;
    if (card !== null && isMoved) this.#put(card, order, number);
  });

  draw() {
    const { card } = session;
    if (card === null) return [h("class-bar", { ".about": "the line" }), h("p", { class: "opening" }, "Opening the class")];
    const { pass } = openNow(card);
    const sheet = this.#sheet;
    return [
      h("class-bar", { ".about": "the line" }),
      h(
        "div",
        { class: "sheets", role: "group", "aria-label": "What to see of the line" },
        ...Object.entries(SHEETS).map(([key, title]) =>
          h(
            "button",
            {
              "aria-pressed": String(key === sheet),
              onclick: () => {
                this.#sheet = /** @type {keyof typeof SHEETS} */ (key);
                this.repaint();
                this.querySelector("main")?.scrollTo(0, 0);
              },
            },
            title,
          ),
        ),
      ),
      h("main", { key: sheet }, sheet === "seen" ? this.#seen(card, pass) : sheet === "order" ? this.#order(card) : this.#count(card)),
      h("footer", null, sheet === "seen" ? this.#passes(card, pass) : null, this.#moves(card, pass)),
    ];
  }

  /** @param {Card} card @param {Pass} pass */
  #seen(card, pass) {
    const views = viewsInTurn(card.standard);
    const line = lineOf(card);
    const present = line.filter((horse) => !card.isAbsent(horse.number));
    return h(
      "table",
      null,
      h("caption", { class: "aside" }, "Which horse was seen from where"),
      h(
        "thead",
        null,
        h(
          "tr",
          null,
          h("th", { scope: "col" }, "No."),
          ...views.map((view) =>
            h(
              "th",
              { scope: "col", "data-here": pass.views.includes(view) },
              h("span", null, viewTitle(view)),
              h("small", null, `${present.filter(({ number }) => card.isSeen(number, view)).length}/${present.length}`),
            ),
          ),
        ),
      ),
      h(
        "tbody",
        null,
        ...line.map(({ number, identification }) =>
          h(
            "tr",
            { key: number },
            h(
              "th",
              { scope: "row" },
              h(
                "button",
                { onclick: () => openStop(card, { number, view: pass.key }) },
                h("b", null, number),
                h("small", null, identification ?? ""),
              ),
            ),
            card.isAbsent(number)
              ? h("td", { colspan: views.length }, "absent")
              : views.map((view) => {
                  const isSeen = card.isSeen(number, view);
                  return h(
                    "td",
                    { "data-here": pass.views.includes(view) },
                    h("i", { class: isSeen ? "done" : null, "aria-hidden": "true" }, isSeen ? "✓" : ""),
                    h("span", { class: "aside" }, isSeen ? "seen" : "not seen"),
                  );
                }),
          ),
        ),
      ),
    );
  }

  /** @param {Card} card */
  #order(card) {
    const order = this.#drag.order(lineOf(card).map((horse) => horse.number));
    return [
      h(
        "ol",
        { "aria-label": "The line, its head first", ...this.#drag.listens },
        ...order.map((number, at) =>
          h(
            "li",
            { key: number, class: this.#drag.isDragged(number) ? "dragged" : null },
            this.#drag.handle(number, order),
            h("b", null, number),
            h("span", { class: "marks" }, card.horse(number)?.identification ?? ""),
            this.#mover(card, order, at, -1),
            this.#mover(card, order, at, 1),
          ),
        ),
      ),
      h(
        "form",
        {
          onsubmit: (/** @type {Event} */ event) => {
            event.preventDefault();
            this.#putAsTyped(card);
          },
        },
        h("label", { for: "as-typed" }, "Or typed, from the head of the line"),
        h("input", {
          id: "as-typed",
          ".value": this.#typed,
          autocomplete: "off",
          autocapitalize: "characters",
          placeholder: order.slice(0, 3).join(" "),
          oninput: (/** @type {Event} */ event) => {
            this.#typed = /** @type {HTMLInputElement} */ (event.target).value;
          },
        }),
        h("button", null, "Put so"),
      ),
    ];
  }

  /** @param {Card} card @param {readonly string[]} order @param {number} at @param {1 | -1} step */
  #mover(card, order, at, step) {
    const number = String(order[at]);
    const to = at + step;
    const isOpen = to >= 0 && to < order.length;
    return h(
      "button",
      {
        class: step < 0 ? "up" : "down",
        "aria-label": `${number} ${step < 0 ? "up" : "down"}`,
        disabled: !isOpen,
        onclick: () => {
          this.#put(card, moved(order, number, to), number);
          // The row moves in the page, and would lose the focus.
          const row = this.querySelectorAll("ol > li")[to];
          /** @type {HTMLElement | null | undefined} */ (row?.querySelector(`.${step < 0 ? "up" : "down"}:enabled, button:enabled`))?.focus();
        },
      },
      step < 0 ? "▲" : "▼",
    );
  }

  /** @param {Card} card */
  #count(card) {
    const present = card.horses.filter((horse) => !card.isAbsent(horse.number)).length;
    const own = headCount(card);
    const shown = own ?? present;
    const apart = Math.abs(shown - present);
    const said =
      own === null
        ? `The list says ${present} present. How many do you count?`
        : apart === 0
          ? `You count ${own}, as the list says.`
          : `You count ${own}; the list says ${present} present: ${counted(apart, "horse")} ${own < present ? "missing" : "more"}.`;
    /** @param {string} sign @param {string} name @param {number} to */
    const step = (sign, name, to) => h("button", { "aria-label": name, disabled: to < 0, onclick: () => countHeads(card, to) }, sign);
    return [
      h(
        "div",
        { class: "heads", role: "group", "aria-label": "Own head count" },
        step("−", "One less", shown - 1),
        h(
          "button",
          {
            "aria-pressed": String(own !== null),
            "aria-label": `I count ${shown}`,
            onclick: () => countHeads(card, own === null ? present : null),
          },
          own === null ? `${shown} ?` : `${shown} ✓`,
        ),
        step("+", "One more", shown + 1),
      ),
      h("p", { class: "count", role: "status" }, said),
      h("ul", { class: "gate" }, ...lineOf(card).map((horse) => gateRow(card, horse))),
    ];
  }

  /** @param {Card} card @param {Pass} pass */
  #passes(card, pass) {
    return h(
      "nav",
      { class: "views-row", "aria-label": "Views" },
      ...passesOf(card.standard).map(({ key, title }) =>
        h("button", { key, "aria-current": key === pass.key ? "true" : null, onclick: () => go({ view: key }) }, title),
      ),
    );
  }

  /** @param {Card} card @param {Pass} pass */
  #moves(card, pass) {
    const left = unlooked(card, pass);
    return h(
      "div",
      { class: "moves" },
      h("button", { onclick: () => go({ page: "ring" }) }, "‹ Ring"),
      undoButton(),
      this.#sheet === "seen" && session.writes("looked")
        ? h(
            "button",
            { class: "all", disabled: left.length === 0, onclick: () => lookAtAll(card, pass) },
            h("b", null, left.length === 0 ? "All looked at" : "Whole line looked at"),
            h("small", null, pass.title),
          )
        : null,
      this.#sheet === "order"
        ? h("button", { class: "all", disabled: !isArranged(card), onclick: () => arrange(card, []) }, "As first opened")
        : null,
    );
  }

  /** @param {Card} card @param {readonly string[]} order @param {string} number */
  #put(card, order, number) {
    arrange(card, order);
    this.repaint();
    say(`${number} is ${ordinal(order.indexOf(number) + 1)} in line.`);
  }

  /** @param {Card} card */
  #putAsTyped(card) {
    const { numbers, problem } = readOrder(card, this.#typed);
    if (problem !== null) return say(`${problem} The line stays as it is.`, true);
    if (numbers.length === 0) return;
    this.#typed = "";
    arrange(card, [...numbers, ...lineOf(card).map((horse) => horse.number)]);
    this.repaint();
    say(`The line begins with ${listed(numbers)}.`, true);
  }
}
