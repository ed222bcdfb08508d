// @ts-check
/**
 * The head of a class's pages: the way back to the classes, badge and title of the class, how many the gate counts in the
 * ring, the truth about saving, and the call that waits.
 *
 * Usage: `h("class-bar", { ".about": "Placing" })`. It is a banner landmark with the page's only h1.
 */

import { Part } from "../../lib/part.js";
import { h } from "../../lib/view.js";
import { countNews } from "../../state/gate.js";
import { go, place, START } from "../../state/place.js";
import { session } from "../../state/session.js";
import { badge } from "./badge.js";

const LONG = 40;

export class ClassBar extends Part {
  /** What the page shows of the class. */
  about = "";

  draw() {
    const classes = session.day?.classes ?? [];
    const dayClass = classes.find((each) => each.id === place().class);
    if (dayClass === undefined) return null;
    const { card } = session;
    const heads = card === null || card.seat.card === null ? "" : countNews(card);
    return [
      h(
        "header",
        { class: dayClass.title.length > LONG ? "long" : null },
        h("button", { class: "to-classes", "aria-label": "All classes", onclick: () => go(START) }, "‹"),
        badge(dayClass, classes),
        h(
          "div",
          { class: "of" },
          h("h1", { tabindex: -1, "aria-label": `${dayClass.title}, ${this.about}` }, dayClass.title),
          heads === "" ? null : h("p", { class: "in-ring" }, heads),
        ),
        h("saved-state", null),
      ),
      // In the ring it stands under the traits, which keep their places.
      place().page === "ring" ? null : h("call-bar", null),
    ];
  }
}
