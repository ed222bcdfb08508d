// @ts-check
/**
 * What two devices said of one thing, shown where that thing stands: both values, who wrote them and when. One tap on
 * a value settles it.
 *
 * Usage: `disputeBox(card, dispute)`. A group; each value is a button, shut for whoever may not write such notes.
 */

import { capital } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";
import { settle } from "../../state/ring.js";
import { maySettle, saidBy, subjectOf, writtenBy } from "../../state/telling.js";

/** @typedef {import("../../state/card.js").Card} Card */
/** @typedef {import("../../engine/shapes.js").Dispute} Dispute */

/** @param {Card} card @param {Dispute | null} dispute @param {boolean} [isNamed] whether the horse is not plain from its place */
export function disputeBox(card, dispute, isNamed = false) {
  // The fault left, as on the trait's own row.
  const notes = (dispute?.notes ?? [])
    .flatMap((id) => card.notes.get(id) ?? [])
    .toSorted((a, b) => (a.degree ?? 0) - (b.degree ?? 0));
  const [first] = notes;
  if (dispute === null || first === undefined) return null;
  const about = subjectOf(first);
  const number = isNamed && first.number ? `${first.number}: ` : "";
  return h(
    "div",
    { key: dispute.slot.join(" "), class: "disputed", role: "group", "aria-label": `Disputed: ${number}${about}. Which one stands?` },
    h("p", null, `${number}${about}: two devices differ. Which stands?`),
    ...notes.map((note) =>
      h(
        "button",
        { key: note.id, disabled: !maySettle(card, note), onclick: () => settle(card, note.id) },
        h("b", null, capital(saidBy(note))),
        h("span", null, writtenBy(card.saidFirst(note))),
      ),
    ),
  );
}
