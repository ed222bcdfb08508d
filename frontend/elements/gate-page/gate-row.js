// @ts-check
/** One horse at the gate: its number, the marks to know it by, and whether it is present or absent, two toggle buttons. */

import { capital } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";
import { tapPresence } from "../../state/ring.js";
import { session } from "../../state/session.js";

/** @param {import("../../state/card.js").Card} card @param {import("../../state/card.js").Horse} horse */
export function gateRow(card, { number, identification }) {
  return h(
    "li",
    { key: number },
    h("b", null, number),
    h("span", { class: "marks" }, identification ?? ""),
    ...presenceButtons(card, number),
  );
}

/** @param {import("../../state/card.js").Card} card @param {string} number */
export function presenceButtons(card, number) {
  return ["present", "absent"].map((each) =>
    h(
      "button",
      {
        "aria-label": `${number} ${each}`,
        "aria-pressed": String(card.presence(number)?.state === each),
        disabled: !session.writes("presence"),
        onclick: () => tapPresence(card, number, each),
      },
      capital(each),
    ),
  );
}
