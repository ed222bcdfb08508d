// @ts-check
/**
 * What is worth a line over every page: a newer version is on this phone, which is never taken while one is at work;
 * the battery is low. Each is said once, and put away with a tap.
 *
 * Usage: `h("update-bar", null)`.
 */

import { Part } from "../../lib/part.js";
import { h } from "../../lib/view.js";
import { lowBattery } from "../../state/power.js";
import { session } from "../../state/session.js";

export class UpdateBar extends Part {
  /** @type {Set<string>} */
  #putAway = new Set();

  draw() {
    const low = lowBattery();
    return [
      session.newerWaits &&
        this.#line("newer", "A newer Nearside is on this phone. It starts when you next close and open it; nothing changes now."),
      low !== null && this.#line("battery", `Battery at ${low} %. All that is saved here stays, also when the phone goes out.`),
    ];
  }

  /** @param {string} name @param {string} words */
  #line(name, words) {
    if (this.#putAway.has(name)) return null;
    const putAway = () => {
      this.#putAway.add(name);
      this.repaint();
    };
    return h("div", { key: name, role: "status" }, h("p", null, words), h("button", { onclick: putAway }, "Good"));
  }
}
