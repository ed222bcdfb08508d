// @ts-check
/**
 * Joining a show: a typed code, or one that came with a link.
 *
 * Usage: `<join-page></join-page>`; a page, with its h1. Forgives case, spaces, dashes; says which signs a code never
 * holds. A link opened on a phone that is already joined asks first: it would change the seat.
 */

import { Part } from "../../lib/part.js";
import { counted } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";
import { session } from "../../state/session.js";

const SIGNS = 8;
const NEVER = /[^23456789ABCDEFGHJKMNPQRSTUVWXYZ]/;

export class JoinPage extends Part {
  #typed = "";

  draw() {
    return h("main", null, session.phase === "joined" ? this.#anotherSeat() : this.#welcome());
  }

  #welcome() {
    return [
      h("img", { src: "/icons/nearside.svg", alt: "", width: 64, height: 64 }),
      h("h1", { tabindex: -1 }, "Nearside"),
      h("p", null, "A ringside notebook. Type the code the show office gave you."),
      this.#form("Join the show"),
      h(
        "ol",
        { class: "next" },
        h("li", null, "The phone fetches the classes and numbers of the day. Only this needs a signal."),
        h("li", null, "Then you mark horses, with or without a signal. Every tap is saved on this phone."),
        h("li", null, "Notes go to the show office by themselves whenever it can be reached."),
      ),
      this.#others(),
    ];
  }

  #anotherSeat() {
    const { seat, show } = session.held ?? { seat: { name: "" }, show: { title: "" } };
    return [
      h("h1", { tabindex: -1 }, "Take another seat?"),
      h("p", null, `This phone is joined as ${seat.name}, ${show.title}.`),
      h("p", null, "Notes of that seat stay on this phone, apart from the new seat's; unsent ones wait until you come back."),
      this.#form("Join with this code"),
      h("button", { onclick: () => session.declineCode() }, `Stay ${seat.name}`),
      this.#others(),
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
      h("label", { for: "code" }, "Code"),
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

  #others() {
    return session.others.map(({ held, waiting }) =>
      h(
        "p",
        { key: held.owner, class: "waiting" },
        `${counted(waiting, "note")} of ${held.seat.name} (${held.show.title}) still to send: join with that seat's code.`,
      ),
    );
  }
}

/** The code without what the eye or the keyboard puts between. @param {string} typed */
export function tidy(typed) {
  return typed.toUpperCase().replace(/[\s\-_.–—]/g, "");
}

/** @param {string} code @returns {string | null} */
function problemWith(code) {
  const never = code.match(NEVER);
  if (never !== null) return `A code has no “${never[0]}”: never 0, 1, I, L or O, for they look alike.`;
  if (code.length > SIGNS) return `A code has ${SIGNS} letters and digits; this has ${code.length}.`;
  return null;
}

/** @param {string} code */
function progressOf(code) {
  if (code.length === SIGNS) return "All 8 there.";
  return code.length === 0 ? "8 letters and digits; large or small is all the same." : `${code.length} of ${SIGNS}.`;
}
