// @ts-check
/**
 * A newer version is on this phone: said once, put away with a tap, never taken while one is at work.
 *
 * Usage: `h("update-bar", null)`.
 */

import { Part } from "../../lib/part.js";
import { h } from "../../lib/view.js";
import { session } from "../../state/session.js";

export class UpdateBar extends Part {
  #isPutAway = false;

  draw() {
    if (!session.newerWaits || this.#isPutAway) return null;
    return h(
      "div",
      { role: "status" },
      h("p", null, "A newer Nearside is on this phone. It starts when you next close and open it; nothing changes now."),
      h(
        "button",
        {
          onclick: () => {
            this.#isPutAway = true;
            this.repaint();
          },
        },
        "Good",
      ),
    );
  }
}
