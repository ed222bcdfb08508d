// @ts-check
/**
 * All classes of the show, and the form of a new one, which stays open for the next.
 *
 * Usage: `<classes-page></classes-page>`; a page, with its h1.
 */

import { counted, listed, shortNameAmong } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";
import { classForm } from "../class-form.js";
import { classWith, dayClasses, desk, judgesOf } from "../desk.js";
import { horsesOf } from "../horses.js";
import { OfficePage } from "../office-page.js";
import { addressOf } from "../place.js";

/** @typedef {import("../desk.js").DeskClass} DeskClass */

export class ClassesPage extends OfficePage {
  draw() {
    const folded = (desk.state?.classes ?? []).filter((each) => each.folded !== null);
    const classes = dayClasses();
    return [
      h("h1", { tabindex: -1 }, "Classes"),
      classes.length === 0 ? null : h("ol", { class: "rows" }, ...classes.map((each) => row(each))),
      folded.length === 0
        ? null
        : h(
            "p",
            { class: "help" },
            folded.map(({ title, folded: into }) => `“${title}” is judged in “${classWith(into?.into ?? null)?.title}”${into?.how === "combined" ? ", and placed apart" : ""}.`).join(" "),
          ),
      h(
        "section",
        null,
        h("h2", null, "A new class"),
        classForm(null, (asked, of) => void this.#make(asked, of), "Make the class", this.isBusy("new"), () => this.repaint()),
        this.heard("new"),
      ),
    ];
  }

  /** @param {object} asked @param {HTMLFormElement} of */
  async #make(asked, of) {
    const { title } = /** @type {{ title: string }} */ (asked);
    if (!(await this.command("new", "class", asked, `“${title}” is made. The next one can follow.`))) return;
    const [field, own] = ["title", "own"].map((name) => /** @type {HTMLInputElement} */ (of.elements.namedItem(name)));
    for (const each of [field, own]) if (each) each.value = "";
    field?.focus();
  }
}

/** @param {DeskClass} dayClass */
function row(dayClass) {
  const { id, title } = dayClass;
  const judges = judgesOf(dayClass).map(({ name }) => name);
  return h(
    "li",
    { key: id },
    h("span", { class: "place" }, shortNameAmong(id, dayClasses())),
    h("span", { class: "what" }, h("a", { href: addressOf("class", id) }, h("b", null, title)), h("small", null, listed(judges) || "no judge yet")),
    h("a", { class: "button quiet", href: addressOf("entries", id), "aria-label": `Entries of ${title}` }, counted(horsesOf(dayClass, desk.notes.get(id)).length, "entry", "entries")),
  );
}
