// @ts-check
/**
 * The line of horses in standing order, each with a small bar for every view done; the way to any number, and to the
 * line as a whole, with how far it is seen in the open pass.
 *
 * Usage: `h("horse-line", null)`. A list of buttons; the open horse is `aria-current`.
 */

import { Part } from "../../lib/part.js";
import { h } from "../../lib/view.js";
import { lineOf } from "../../state/line.js";
import { viewsInTurn } from "../../state/passes.js";
import { go } from "../../state/place.js";
import { openNow, openStop } from "../../state/ring.js";
import { session } from "../../state/session.js";

/** @typedef {import("../../state/card.js").Card} Card */
/** @typedef {import("../../state/card.js").Horse} Horse */
/** @typedef {import("../../state/passes.js").Pass} Pass */

export class HorseLine extends Part {
  #shown = "";
  /** @type {Map<string, { said: string, drawn: import("../../lib/view.js").Branch }>} */
  #horses = new Map();

  draw() {
    const { card } = session;
    if (card === null) return null;
    const { horse: open, pass } = openNow(card);
    return this.kept([card, lineOf(card), open?.number, pass], () => this.#line(card, open, pass));
  }

  /** @param {Card} card @param {Horse | null} open @param {Pass} pass */
  #line(card, open, pass) {
    const present = card.horses.filter((horse) => !card.isAbsent(horse.number));
    const seen = present.filter(({ number }) => pass.views.every((view) => card.isSeen(number, view))).length;
    return h(
      "nav",
      { "aria-label": "Horses in line" },
      h("button", { class: "to-number", onclick: () => this.#openPad() }, "No.", h("span", { class: "aside" }, "type a number")),
      h(
        "ul",
        null,
        ...lineOf(card).map((horse) => this.#keptHorse(card, horse, open, pass)),
      ),
      h(
        "button",
        {
          class: "to-line",
          "aria-label": `The whole line: ${seen} of ${present.length} seen, ${pass.title}`,
          onclick: () => go({ page: "line" }),
        },
        "Line",
        h("small", null, `${seen}/${present.length}`),
      ),
    );
  }

  repaint() {
    super.repaint();
    const current = this.querySelector("[aria-current]");
    const shown = current?.getAttribute("data-number") ?? "";
    if (shown === this.#shown) return;
    this.#shown = shown;
    // With the frame, when all the rest is drawn: asked for now, the page would be laid out twice.
    requestAnimationFrame(() => current?.scrollIntoView({ block: "nearest", inline: "center" }));
  }

  /**
   * A horse's last drawing while nothing of it changed: a mark concerns one of thirty.
   * @param {Card} card
   * @param {Horse} horse
   * @param {Horse | null} open
   * @param {Pass} pass
   */
  #keptHorse(card, horse, open, pass) {
    const { number } = horse;
    const said = [
      card.class.id,
      pass.key,
      open?.number === number,
      horse.entered,
      card.isAbsent(number),
      card.disputes.some((dispute) => dispute.slot.includes(number)),
      ...card.standard.views.map((each) => card.isSeen(number, each)),
    ].join(" ");
    const before = this.#horses.get(number);
    if (before?.said === said) return before.drawn;
    const drawn = h("li", { key: number }, this.#horse(card, horse, open, pass));
    this.#horses.set(number, { said, drawn });
    return drawn;
  }

  /** @param {Card} card @param {Horse} horse @param {Horse | null} open @param {Pass} pass */
  #horse(card, horse, open, pass) {
    const { number } = horse;
    const views = viewsInTurn(card.standard);
    const seen = views.filter((each) => card.isSeen(number, each)).length;
    const isAbsent = card.isAbsent(number);
    const isDisputed = card.disputes.some((dispute) => dispute.slot.includes(number));
    const states = [
      isAbsent ? "absent" : `${seen} of ${views.length} views seen`,
      horse.entered ? null : "not entered",
      isDisputed ? "disputed" : null,
    ].filter((each) => each !== null);
    return h(
      "button",
      {
        "data-number": number,
        "aria-current": open?.number === number ? "true" : null,
        "aria-label": `${number}, ${states.join(", ")}`,
        class: isAbsent ? "absent" : null,
        onclick: () => this.#open(number),
      },
      h("span", { class: "number" }, number, isDisputed ? h("sup", null, "?") : null),
      isAbsent
        ? h("span", { class: "word" }, "absent")
        : h(
            "span",
            { class: "views" },
            ...views.map((each) =>
              h("i", { class: card.isSeen(number, each) ? "done" : null, "data-here": pass.views.includes(each) }),
            ),
          ),
    );
  }

  /** The card of now: this drawing may be older than the last mark. @param {string} number */
  #open(number) {
    const { card } = session;
    if (card !== null) openStop(card, { number, view: openNow(card).view });
  }

  #openPad() {
    const pad = document.querySelector("number-pad");
    /** @type {import("../number-pad/number-pad.js").NumberPad | null} */ (pad)?.open();
  }
}
