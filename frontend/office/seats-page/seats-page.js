// @ts-check
/**
 * The seats: who sits where, the code, link and QR that lead there; added, renamed, given a new code, taken away.
 *
 * Usage: `<seats-page></seats-page>`; a page, with its h1.
 */

import { counted } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";
import { dayClasses, desk, nameOf, seatsOf } from "../desk.js";
import { field, form, select, text, textOrNull } from "../fields.js";
import { OfficePage } from "../office-page.js";
import { addressOf } from "../place.js";
import { picture, shownCode } from "../slip.js";
import { ROLES } from "../words.js";

/** @typedef {import("../desk.js").DeskSeat} DeskSeat */

export class SeatsPage extends OfficePage {
  #role = "judge";
  /** The seat whose QR and changes are unfolded. */
  #open = "";

  draw() {
    const seats = desk.state?.seats ?? [];
    return [
      h("h1", { tabindex: -1 }, "Seats"),
      h("p", { class: "help" }, "A code lets one person's devices in, as often as needed. Hand it to nobody else: a judge's code opens the judge's card."),
      h("p", null, h("a", { class: "button main", href: addressOf("codes") }, "Sheet of codes to print")),
      this.heard("seats"),
      h("ul", { class: "rows" }, ...Object.keys(ROLES).flatMap((role) => seats.filter((seat) => seat.role === role).map((seat) => this.#row(seat)))),
      h("section", null, h("h2", null, "A new seat"), this.#newSeat(), this.heard("new")),
    ];
  }

  /** @param {DeskSeat} seat */
  #row(seat) {
    const { id, name, role, code, link } = seat;
    const isOpen = this.#open === id;
    return h(
      "li",
      { key: id },
      h("span", { class: "what" }, h("b", null, name), h("small", null, whose(seat))),
      h("span", { class: "typed" }, shownCode(code)),
      h("button", { type: "button", class: "quiet", "aria-expanded": String(isOpen), "aria-label": `${isOpen ? "Close" : "QR and changes"}: ${name}`, onclick: () => this.#unfold(id) }, isOpen ? "Close" : "QR, change"),
      isOpen
        ? h(
            "div",
            { class: "inside" },
            h("div", { class: "way" }, picture(link, name), h("p", { class: "link" }, h("a", { href: link }, link))),
            h(
              "div",
              { class: "way" },
              form(
                { class: "stacked", key: `name ${id}` },
                (said) => void this.command(`name ${id}`, "seat", { id, role, name: text(said, "name"), judge: hasJudge(role) ? textOrNull(said, "judge") : null }, "Kept."),
                field("Name", { name: "name", maxlength: 80, value: name }),
                hasJudge(role) ? judgeChoice(role, role === "scribe" ? seat.card : seat.shadows) : null,
                h("button", { disabled: this.isBusy(`name ${id}`) }, "Keep the change"),
                this.heard(`name ${id}`),
              ),
            ),
            h(
              "div",
              { class: "way" },
              h("h3", null, "Lost the slip, or the phone"),
              this.ask(
                `code ${id}`,
                "New code",
                `The code of ${name} changes, and every device joined with the old one is turned away until it joins with the new one. Notes they hold are kept there and sent after that.`,
                "Yes, a new code",
                () => this.command(`code ${id}`, "seat-code", { id }, "It has a new code. Print its slip again."),
              ),
              this.ask(
                `gone ${id}`,
                "Remove the seat",
                `${name} is no longer a seat of the show, and its devices are turned away. What was written from it stays.`,
                "Yes, remove it",
                () => this.#remove(seat),
              ),
            ),
          )
        : null,
    );
  }

  /** @param {DeskSeat} seat */
  async #remove({ id, name }) {
    const isDone = await this.command(`gone ${id}`, "seat-gone", { id });
    if (isDone) this.say("seats", `${name} is no longer a seat of the show.`);
    return isDone;
  }

  /** @param {string} id */
  #unfold(id) {
    this.#open = this.#open === id ? "" : id;
    this.repaint();
  }

  #newSeat() {
    return form(
      { class: "stacked" },
      (said, of) => void this.#add(said, of),
      h(
        "div",
        { class: "beside" },
        select("Role", { name: "role", onchange: (/** @type {Event} */ event) => this.#choose(/** @type {HTMLSelectElement} */ (event.target).value) }, ROLES, this.#role),
        field("Name, as others see it", { name: "name", maxlength: 80, placeholder: ROLES[this.#role] }),
        hasJudge(this.#role) ? judgeChoice(this.#role, null) : null,
      ),
      h("p", { class: "help" }, ABOUT[this.#role]),
      h("button", { class: "main", disabled: this.isBusy("new") }, "Add the seat"),
    );
  }

  /** @param {string} role */
  #choose(role) {
    this.#role = role;
    this.repaint();
  }

  /** @param {FormData} said @param {HTMLFormElement} of */
  async #add(said, of) {
    const role = this.#role;
    const name = text(said, "name") || (ROLES[role] ?? "");
    const asked = { id: null, role, name, judge: hasJudge(role) ? textOrNull(said, "judge") : null };
    if (!(await this.command("new", "seat", asked, `${name} has a seat, and a code above.`))) return;
    const unnamed = dayClasses().filter(({ judges }) => judges === null).length;
    // Cards of one judge more is nothing to find out in the ring.
    if (role === "judge" && unnamed > 0 && seatsOf("judge").length > 1) {
      this.say("new", `${name} has a seat, and a code above. ${counted(unnamed, "class names", "classes name")} no judge, so ${name} judges there too: tick who judges under Classes.`);
    }
    const typed = /** @type {HTMLInputElement} */ (of.elements.namedItem("name"));
    typed.value = "";
    typed.focus();
  }
}

/** @type {Record<string, string>} */
const ABOUT = {
  office: "Sees and changes all of the show, and the signed orders once they are out.",
  judge: "Marks and places on a card of their own; sees numbers and identification marks, never names.",
  scribe: "Writes on one judge's card.",
  steward: "Keeps the gate and writes down lameness calls.",
  trainee: "Places on a card of their own; shadows a judge.",
  announcer: "Reads the running list and the results; writes nothing.",
};

/** @param {string} role */
function hasJudge(role) {
  return role === "scribe" || role === "trainee";
}

/** @param {string} role @param {string | null} chosen */
function judgeChoice(role, chosen) {
  const judges = seatsOf("judge").map(({ id, name }) => /** @type {[string, string]} */ ([id, name]));
  return select(role === "scribe" ? "Writes for" : "Shadows", { name: "judge" }, role === "scribe" ? judges : [["", "nobody"], ...judges], chosen ?? "");
}

/** @param {DeskSeat} seat */
function whose({ role, card, shadows }) {
  const word = ROLES[role] ?? role;
  if (role === "scribe") return `${word} of ${nameOf(card)}`;
  return role === "trainee" && shadows !== null ? `${word}, shadows ${nameOf(shadows)}` : word;
}
