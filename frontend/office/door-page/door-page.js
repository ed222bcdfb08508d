// @ts-check
/**
 * The way in: a seat's code, or the code that opens a new show.
 *
 * Usage: `<door-page></door-page>`; a page, with its h1. A link `#open=CODE` asks for the new show's title, `#join=CODE` is
 * taken when it is confirmed: on this machine somebody may sit already.
 */

import { h } from "../../lib/view.js";
import { problemWith, progressOf, tidy } from "../../state/code.js";
import { desk } from "../desk.js";
import { field, form, text } from "../fields.js";
import { OfficePage } from "../office-page.js";
import { codeInAddress, forgetCode } from "../place.js";
import { changed } from "../../lib/part.js";

export class DoorPage extends OfficePage {
  #typed = "";
  #opens = false;

  draw() {
    const link = codeInAddress();
    const opens = link === null ? this.#opens : link.what === "open";
    const code = tidy(this.#typed || (link?.code ?? ""));
    const problem = problemWith(code);
    return h(
      "main",
      { class: "wide" },
      h("h1", { tabindex: -1 }, h("img", { src: "/icons/nearside.svg", alt: "", width: 40, height: 40 }), opens ? "Open a new show" : "Show table"),
      h("p", null, opens ? "Its classes, entries and seats are made next." : "For the office of a show and its announcer."),
      desk.turned_away === null ? null : h("p", { class: "trouble" }, `${desk.turned_away} What was typed into the show stays there.`),
      desk.me === null ? null : h("p", { class: "caution" }, `This machine sits as ${desk.me.name} of ${desk.show?.title}. Another code takes that seat's place here.`),
      form(
        { class: "stacked" },
        (said) => {
          if (problem !== null || code === "") return this.say("door", code === "" ? "Type the code first." : (problem ?? ""), true);
          void this.act("door", () => (opens ? desk.openShow(code, text(said, "title")) : desk.join(code)));
        },
        field(opens ? "Opening code, as the server printed it" : "Code of the office's or the announcer's seat", {
          name: "code",
          class: "code",
          ".value": this.#typed || (link?.code ?? ""),
          autocapitalize: "characters",
          spellcheck: "false",
          "aria-describedby": "code-help",
          oninput: (/** @type {Event} */ event) => {
            this.#typed = /** @type {HTMLInputElement} */ (event.target).value;
            this.repaint();
          },
        }),
        h("p", { id: "code-help", class: problem === null ? "help" : "help problem" }, problem ?? progressOf(code)),
        opens ? field("Title of the show, as everybody will see it", { name: "title", maxlength: 120, required: true }) : null,
        h("button", { class: "main", disabled: this.isBusy("door") }, opens ? "Open the show" : "Sit down here"),
        this.heard("door"),
      ),
      link !== null
        ? h("button", { type: "button", onclick: () => this.#without() }, "Not now")
        : h("button", { type: "button", onclick: () => this.#turn() }, opens ? "A show is open already: join it" : "Open a new show"),
    );
  }

  #without() {
    forgetCode();
    changed();
  }

  #turn() {
    this.#opens = !this.#opens;
    this.repaint();
    this.focusHeading();
  }
}
