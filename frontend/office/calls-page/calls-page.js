// @ts-check
/**
 * The record of lameness calls, to print for the show's veterinarian.
 *
 * Usage: `<calls-page></calls-page>`; a page, with its h1.
 */

import { Asked } from "../../announce/asked.js";
import { callsDrawn } from "../../announce/calls.js";
import { counted } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";
import { AskedPage } from "../asked-page.js";

export class CallsPage extends AskedPage {
  /** @type {Asked<import("../../announce/calls.js").Calls>} */
  asked = new Asked("/api/calls", "caution");

  draw() {
    const { answer } = this.asked;
    return [
      h("h1", { tabindex: -1 }, "Record of lameness calls"),
      this.asked.told("the record of the calls"),
      answer === null ? null : h("p", { class: "help" }, `${counted(answer.classes.reduce((count, { horses }) => count + horses.length, 0), "horse")} called. What a judge called stays on the judge's own card until it may be read.`),
      answer === null ? null : h("div", { class: "choices" }, h("button", { type: "button", class: "main", onclick: () => print() }, "Print for the veterinarian")),
      answer === null ? null : callsDrawn(answer, Date.now()),
    ];
  }
}
