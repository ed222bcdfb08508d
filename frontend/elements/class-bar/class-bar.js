// @ts-check
/**
 * The head of a class's pages: the way back to the classes, badge and title of the class, the truth about saving.
 *
 * Usage: `h("class-bar", { ".about": "Placing" })`. It is a banner landmark with the page's only h1.
 */

import { Part } from "../../lib/part.js";
import { h } from "../../lib/view.js";
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
    return h(
      "header",
      { class: dayClass.title.length > LONG ? "long" : null },
      h("button", { class: "to-classes", "aria-label": "All classes", onclick: () => go(START) }, "‹"),
      badge(dayClass, classes),
      h(
        "h1",
        { tabindex: -1, "aria-label": `${dayClass.title}, ${this.about}` },
        dayClass.title,
      ),
      h("saved-state", null),
    );
  }
}
