// @ts-check
/** One horse at the gate: its number, the marks to know it by, and whether it is present or absent, two toggle buttons. */

import { h } from "../../lib/view.js";
import { write } from "../../state/ring.js";
import { session } from "../../state/session.js";

/** @param {import("../../state/card.js").Card} card @param {import("../../state/card.js").Horse} horse */
export function gateRow(card, { number, identification }) {
  const state = card.presence(number)?.state ?? null;
  return h(
    "li",
    { key: number },
    h("b", null, number),
    h("span", { class: "marks" }, identification ?? ""),
    ...["present", "absent"].map((each) =>
      h(
        "button",
        {
          "aria-label": `${number} ${each}`,
          "aria-pressed": String(state === each),
          disabled: !session.writes("presence"),
          onclick: () =>
            write(
              card,
              [{ kind: "presence", number, state: state === each ? null : each }],
              `${number}: ${state === each ? "gate says nothing" : each}`,
            ),
        },
        each === "present" ? "Present" : "Absent",
      ),
    ),
  );
}
