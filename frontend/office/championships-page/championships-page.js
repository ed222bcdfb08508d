// @ts-check
/**
 * The championships: which classes' firsts come back, which earlier championships feed it, and who names the champion.
 *
 * Usage: `<championships-page></championships-page>`; a page, with its h1. Naming the champion is not done here.
 */

import { listed } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";
import { classWith, dayClasses, desk, nameOf, seatsOf } from "../desk.js";
import { field, form, select, several, text } from "../fields.js";
import { OfficePage } from "../office-page.js";
import { addressOf } from "../place.js";

/** @typedef {import("../desk.js").Championship} Championship */

export class ChampionshipsPage extends OfficePage {
  #open = "";

  draw() {
    const all = desk.state?.championships ?? [];
    return [
      h("h1", { tabindex: -1 }, "Championships"),
      h("p", { class: "help" }, "The firsts of its classes come back; once the champion is named, the second of the champion's class joins for reserve."),
      all.length === 0 ? null : h("p", null, h("a", { class: "button", href: addressOf("champions") }, "Name champion and reserve")),
      this.heard("championships"),
      all.length === 0 ? null : h("ul", { class: "rows" }, ...all.map((each) => this.#row(each))),
      seatsOf("judge").length === 0 || dayClasses().length === 0
        ? h("p", null, "It needs a judge and a class first: ", h("a", { href: addressOf("seats") }, "Seats"), ", ", h("a", { href: addressOf("classes") }, "Classes"), ".")
        : h("section", null, h("h2", null, "A new championship"), this.#form(null), this.heard("new")),
    ];
  }

  /** @param {Championship} championship */
  #row(championship) {
    const { id, title, classes, feeds, judge, named } = championship;
    const isOpen = this.#open === id;
    const last = named.at(-1);
    const from = [...classes.map((each) => classWith(each)?.title ?? each), ...feeds.map((each) => desk.state?.championships.find((other) => other.id === each)?.title ?? each)];
    return h(
      "li",
      { key: id },
      h("span", { class: "what" }, h("b", null, title), h("small", null, `${listed(from)} · ${nameOf(judge)}`)),
      h("span", null, last?.champion ? `Champion ${last.champion.number}${last.reserve ? `, reserve ${last.reserve.number}` : ""}` : "not named yet"),
      h("button", { type: "button", class: "quiet", "aria-expanded": String(isOpen), "aria-label": `${isOpen ? "Close" : "Change"}: ${title}`, onclick: () => this.#unfold(id) }, isOpen ? "Close" : "Change"),
      isOpen
        ? h(
            "div",
            { class: "inside" },
            h("div", { class: "way" }, this.#form(championship), this.heard(id)),
            h(
              "div",
              { class: "way" },
              this.ask(`gone ${id}`, "Remove it", `“${title}” is no longer judged.`, "Yes, remove it", () => this.#remove(championship)),
            ),
          )
        : null,
    );
  }

  /** @param {Championship} championship */
  async #remove({ id, title }) {
    const isDone = await this.command(`gone ${id}`, "championship-gone", { id });
    if (isDone) this.say("championships", `“${title}” is removed.`);
    return isDone;
  }

  /** @param {string} id */
  #unfold(id) {
    this.#open = this.#open === id ? "" : id;
    this.repaint();
  }

  /** @param {Championship | null} before */
  #form(before) {
    const others = (desk.state?.championships ?? []).filter(({ id }) => id !== before?.id);
    const where = before?.id ?? "new";
    return form(
      { class: "stacked", key: where },
      (said, of) => void this.#keep(before, said, of),
      h(
        "div",
        { class: "beside" },
        field("Title", { name: "title", maxlength: 120, value: before?.title, placeholder: "Champion mare" }),
        select("Judge who names it", { name: "judge" }, seatsOf("judge").map(({ id, name }) => [id, name]), before?.judge ?? null),
      ),
      several("Firsts of the classes", "classes", "checkbox", placedClasses().map(({ id, title }) => [id, title]), before?.classes ?? []),
      others.length === 0 ? null : several("Champions of", "feeds", "checkbox", others.map(({ id, title }) => [id, title]), before?.feeds ?? []),
      h("button", { class: before === null ? "main" : null, disabled: this.isBusy(where) }, before === null ? "Make the championship" : "Keep the change"),
    );
  }

  /** @param {Championship | null} before @param {FormData} said @param {HTMLFormElement} of */
  async #keep(before, said, of) {
    const where = before?.id ?? "new";
    const title = text(said, "title") || (before === null ? "Champion" : before.title);
    const asked = { id: before?.id ?? null, title, classes: said.getAll("classes"), feeds: said.getAll("feeds"), judge: said.get("judge") };
    if ((await this.command(where, "championship", asked, before === null ? `“${title}” is made.` : "Kept.")) && before === null) of.reset();
  }
}

/** The classes whose firsts come back: those of the day, and those judged within another one and placed apart there. */
function placedClasses() {
  return (desk.state?.classes ?? []).filter(({ folded }) => folded === null || folded.how === "combined");
}
