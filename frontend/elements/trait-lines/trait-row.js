// @ts-check
/**
 * One trait of one horse on its plumb line: the faulty end, what takes a mark back, the good end; under them what is
 * disputed.
 *
 * Usage: `traitRow(card, { number, view }, trait, "")`. Ends are toggle buttons (ARIA pressed) named by their words, their
 * side and their degree. A marked trait carries a knob on the line: one tap on it, and the trait hangs plumb again.
 */

import { isFaultOnly } from "../../engine/standard.js";
import { h } from "../../lib/view.js";
import { SERIOUS, takeMarkBack, tapTrait } from "../../state/marking.js";
import { takesMarks } from "../../state/ring.js";
import { markSaid } from "../../state/telling.js";
import { disputeBox } from "../dispute-box/dispute-box.js";

/** @typedef {import("../../state/card.js").Card} Card */
/** @typedef {import("../../state/ring.js").Stop} Stop */
/** @typedef {import("../../engine/shapes.js").Trait} Trait */

/** @param {Card} card @param {Stop} stop @param {Trait} trait @param {string} from the view in words, where several are seen together */
export function traitRow(card, stop, trait, from) {
  return h(
    "div",
    { key: `${trait.key} ${stop.view}`, class: "trait" },
    ...ends(card, stop, trait, false, from),
    disputeBox(card, card.markDispute(stop.number, trait.key, stop.view)),
  );
}

/** The two ends and what is between them. @param {Card} card @param {Stop} stop @param {Trait} trait @param {boolean} isBeside beside another horse, under words they share @param {string} from */
export function ends(card, stop, trait, isBeside, from) {
  const degree = card.degree(stop.number, trait.key, stop.view);
  const isOpen = takesMarks(card, stop.number);
  const whose = isBeside ? `${stop.number}: ` : "";
  /** @param {1 | -1} side */
  const end = (side) => {
    const words = side < 0 ? trait.faulty : String(trait.good);
    const taps = degree * side > 0 ? Math.abs(degree) : 0;
    const isSerious = side < 0 && trait.weight === SERIOUS;
    const kind = side < 0 ? (isSerious ? "serious fault" : "fault") : "good";
    return h(
      "button",
      {
        class: `${side < 0 ? "faulty" : "good"}${isSerious ? " serious" : ""}`,
        "aria-pressed": String(taps > 0),
        "aria-label": `${whose}${words}${from}, ${kind}, ${taps === 0 ? "not marked" : `marked ${taps} of 3`}`,
        "data-degree": taps,
        disabled: !isOpen,
        onclick: () => tapTrait(card, stop, trait, side),
      },
      isBeside ? null : h("span", { class: "words" }, words, isSerious ? h("em", null, "serious") : null),
      h("span", { class: "degree" }, h("i", null), h("i", null), h("i", null)),
    );
  };
  return [
    end(-1),
    h(
      "button",
      {
        class: "take-back",
        "aria-label": `Take back ${whose}${markSaid(trait, degree)}${from}`,
        // There all the time, so that nothing moves under the thumb; out of sight while there is nothing to take back.
        disabled: degree === 0 || !isOpen,
        onclick: (/** @type {Event} */ event) => {
          // The knob goes with the mark; whoever works by keyboard stays on the trait.
          const row = /** @type {Element} */ (event.currentTarget).parentElement;
          /** @type {HTMLElement | null | undefined} */ (row?.querySelector("[aria-pressed=true]"))?.focus();
          takeMarkBack(card, stop, trait);
        },
      },
      h("span", { "aria-hidden": "true" }, "✕"),
    ),
    isFaultOnly(trait) ? h("span", { class: "no-end" }) : end(1),
  ];
}
