// @ts-check
/**
 * In the ring: the line, the open horse, its traits in the open view, and the thumb's third.
 *
 * Usage: `<ring-page></ring-page>`; a page of parts that read the same card.
 */

import { Part } from "../../lib/part.js";
import { h } from "../../lib/view.js";
import { foresee } from "../../state/placing.js";
import { openNow } from "../../state/ring.js";
import { session } from "../../state/session.js";

export class RingPage extends Part {
  draw() {
    const { card } = session;
    if (card === null) return [h("class-bar", { ".about": "ring" }), h("p", { class: "opening" }, "Opening the class")];
    foresee(card.class.id);
    const { horse, pass } = openNow(card);
    const about = horse === null ? "ring" : `horse ${horse.number}, ${pass.title}`;
    return [
      h("class-bar", { ".about": about }),
      h("horse-line", null),
      horse === null
        ? h("main", { class: "empty" }, h("p", null, "No horse is entered in this class yet. Type the number of the first."))
        : h("main", { class: session.alone }, h("horse-bar", null), aid("traits"), h("trait-lines", null), aid("thumb")),
      h("standing-list", null),
      h("call-bar", null),
      horse === null ? null : h("thumb-bar", null),
      h("number-pad", null),
      h("horse-pad", null),
    ];
  }
}

/** What helps in the practice class; in any other there is none. @param {import("../../state/hints.js").Spot} spot */
function aid(spot) {
  return session.alone === "practice" ? h("practice-aid", { ".spot": spot }) : null;
}
