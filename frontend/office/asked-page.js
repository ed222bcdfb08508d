// @ts-check
/**
 * A page of the table that shows one answer of the server, asked for when it opens and whenever the show changes.
 *
 * Usage: `class CallsPage extends AskedPage { asked = new Asked("/api/calls", "caution"); draw() { return this.asked.told("the calls"); } }`
 */

import { desk } from "./desk.js";
import { OfficePage } from "./office-page.js";

export class AskedPage extends OfficePage {
  /** @type {import("../announce/asked.js").Asked<any> | undefined} what it asks for */
  asked;
  /** @type {() => void} */
  #stop = () => {};

  connectedCallback() {
    const ask = async () => {
      await this.asked?.ask();
    };
    this.#stop = desk.onPull(ask);
    super.connectedCallback();
    void ask();
  }

  disconnectedCallback() {
    this.#stop();
    super.disconnectedCallback();
  }
}
