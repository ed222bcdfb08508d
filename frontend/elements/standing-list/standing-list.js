// @ts-check
/**
 * The suggested placing at a glance, beside the traits where the screen has the room: on a tablet, on a phone on its side.
 *
 * Usage: `h("standing-list", null)`. A labeled list; it shows what was worked out last and asks for nothing.
 */

import { Part } from "../../lib/part.js";
import { ordinal } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";
import { place } from "../../state/place.js";
import { lastPlacing } from "../../state/placing.js";

export class StandingList extends Part {
  draw() {
    const placing = lastPlacing(place().class ?? "");
    return this.kept([placing], () =>
      placing === null || placing.placing.length === 0
        ? null
        : h(
            "section",
            { tabindex: 0, "aria-label": "Suggested placing" },
            h("h2", { id: "standing" }, "Suggested"),
            h(
              "ol",
              { "aria-labelledby": "standing" },
              ...placing.placing.map((number, at) => h("li", { key: number }, h("span", null, ordinal(at + 1)), h("b", null, number))),
            ),
          ),
    );
  }
}
