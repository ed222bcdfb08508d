// @ts-check
/**
 * The ways in: a show's code, typed or from a link; a class of one's own; a practice class; and what is on this phone.
 *
 * Usage: `<join-page></join-page>`; a page, with its h1. Forgives case, spaces, dashes; says which signs a code never
 * holds. A link opened on a phone that is already joined asks first: it would change the seat.
 */

import { Part } from "../../lib/part.js";
import { counted } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";
import { problemWith, progressOf, tidy } from "../../state/code.js";
import { openOwn } from "../../state/own.js";
import { openCard } from "../../state/place.js";
import { openPractice } from "../../state/practice.js";
import { session } from "../../state/session.js";

export class JoinPage extends Part {
  #typed = "";

  draw() {
    const { held } = session;
    return h("main", null, ...(held === null ? this.#welcome() : this.#another(held)), this.#ways(), this.#list());
  }

  #welcome() {
    return [
      h("h1", { tabindex: -1 }, h("img", { src: "/icons/nearside.svg", alt: "", width: 40, height: 40 }), "Nearside"),
      h("p", null, "A ringside notebook for halter classes. It works without a signal."),
      this.#form("Join the show"),
    ];
  }

  /** @param {import("../../offline/seats.js").Held} held */
  #another({ seat, show }) {
    return [
      h("h1", { tabindex: -1 }, session.codeOffered ? "Take another seat?" : "Another seat or class"),
      h("p", null, `Open now: ${seat.name}, ${show.title}. All its notes stay on this phone, apart from any other's.`),
      h("button", { onclick: () => session.declineCode() }, `Stay ${session.alone === null ? seat.name : "here"}`),
      this.#form("Join with this code"),
    ];
  }

  /** @param {string} action */
  #form(action) {
    const { isBusy, trouble } = session.joining;
    const typed = this.#typed || session.codeOffered || "";
    const code = tidy(typed);
    const problem = problemWith(code);
    return h(
      "form",
      {
        onsubmit: (/** @type {Event} */ event) => {
          event.preventDefault();
          if (code !== "") void session.join(code);
        },
      },
      h("label", { for: "code" }, "Code from the show office"),
      h("input", {
        id: "code",
        name: "code",
        ".value": typed,
        autocomplete: "off",
        autocapitalize: "characters",
        autocorrect: "off",
        spellcheck: "false",
        enterkeyhint: "go",
        inputmode: "text",
        "aria-describedby": "code-help",
        oninput: (/** @type {Event} */ event) => {
          this.#typed = /** @type {HTMLInputElement} */ (event.target).value;
          session.joining = { isBusy, trouble: null };
          this.repaint();
        },
      }),
      h("p", { id: "code-help", class: problem === null ? "help" : "help problem" }, problem ?? progressOf(code)),
      h("button", { class: "main", type: "submit", disabled: isBusy }, isBusy ? "Joining" : action),
      h("p", { class: "trouble", role: "alert" }, trouble ?? ""),
    );
  }

  /** The ways in without a code; one that is open already is none. */
  #ways() {
    return h(
      "div",
      { class: "ways" },
      session.alone === "own"
        ? null
        : way("A class of your own on this phone", "No account, no server; an office can take it over later.", openOwn),
      session.alone === "practice"
        ? null
        : way("Try it: a practice class", "Six horses in words: it trains the weighing, not the eye.", openPractice),
      way("Read a signed card", "From its QR or its link. No seat is needed.", () => openCard("")),
    );
  }

  /** The seats held here; one's own classes and the practice have their button above. */
  #list() {
    const seats = session.onPhone.filter(({ held }) => held.alone === undefined && held.owner !== session.held?.owner);
    if (seats.length === 0) return null;
    return [
      h("h2", null, "Also on this phone"),
      h(
        "ul",
        { class: "ways" },
        ...seats.map(({ held, waiting, opens }) => {
          const unsent = waiting > 0 ? `${counted(waiting, "note")} still to send. ` : "";
          const title = `${held.seat.name}, ${held.show.title}`;
          return h(
            "li",
            { key: held.owner },
            opens
              ? way(title, `${unsent}Open it.`, () => session.openHeld(held.owner))
              : h("p", { class: waiting > 0 ? "waiting" : "help" }, `${title}. ${unsent}Join with that seat's code.`),
          );
        }),
      ),
    ];
  }
}

/** @param {string} title @param {string} about @param {() => void} onclick */
function way(title, about, onclick) {
  return h("button", { onclick: () => void onclick() }, h("b", null, title), h("span", null, about));
}
