// @ts-check
/**
 * The record of lameness calls as this seat may read it: horse by horse, in order, to be read out to the veterinarian or
 * printed. Only with a connection to the show office.
 *
 * Usage: `<calls-page></calls-page>`; a page, with its h1.
 */

import { Asked } from "../../announce/asked.js";
import { callsDrawn } from "../../announce/calls.js";
import { Part } from "../../lib/part.js";
import { h } from "../../lib/view.js";
import { pageHead } from "../app-frame/page-head.js";

export class CallsPage extends Part {
  /** @type {Asked<import("../../announce/calls.js").Calls>} */
  #asked = new Asked("/api/calls", "caution");

  connectedCallback() {
    super.connectedCallback();
    void this.#asked.ask();
  }

  draw() {
    const { answer } = this.#asked;
    return [
      pageHead("Record of lameness calls"),
      h("main", { tabindex: 0 }, this.#asked.told("the record of the calls"), answer === null ? null : callsDrawn(answer, Date.now())),
      h(
        "footer",
        null,
        h("button", { onclick: () => void this.#asked.ask() }, "Ask again"),
        h("button", { class: "main", disabled: answer === null, onclick: () => print() }, "Print"),
      ),
    ];
  }
}
