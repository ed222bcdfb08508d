// @ts-check
/**
 * One class: its settings, and what becomes of its horses: moved, split off, merged into another class, judged together with
 * others, taken away. What will happen is said before it does.
 *
 * Usage: `<class-page></class-page>`; a page, with its h1, of the class in the address.
 */

import { counted, listed } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";
import { classForm } from "../class-form.js";
import { classWith, dayClasses, desk, nameOf } from "../desk.js";
import { field, select, several } from "../fields.js";
import { horsesOf } from "../horses.js";
import { OfficePage } from "../office-page.js";
import { addressOf, at, go } from "../place.js";

/** @typedef {import("../desk.js").DeskClass} DeskClass */

export class ClassPage extends OfficePage {
  draw() {
    const dayClass = classWith(at().of);
    if (dayClass === null) return [h("h1", { tabindex: -1 }, "No such class"), h("p", null, h("a", { href: addressOf("classes") }, "All classes"))];
    const { id, title, folded } = dayClass;
    const into = classWith(folded?.into ?? null);
    return [
      h("h1", { tabindex: -1 }, title),
      h(
        "p",
        { class: "links" },
        h("a", { href: addressOf("entries", id) }, "Entries"),
        h("a", { href: addressOf("paper", id) }, "Paper card"),
        h("a", { href: addressOf("classes") }, "All classes"),
      ),
      folded !== null
        ? h("p", null, "It is no longer judged by itself: its horses are in ", h("a", { href: addressOf("class", folded.into) }, into?.title), ".")
        : [
            h(
              "section",
              null,
              classForm(dayClass, (asked) => void this.command("class", "class", asked, "Kept."), "Keep the changes", this.isBusy("class"), () => this.repaint()),
              this.heard("class"),
              agreed(dayClass),
            ),
            this.#some(dayClass),
            this.#whole(dayClass),
          ],
    ];
  }

  /** Some of its horses: to another class there is, or to a new one. @param {DeskClass} dayClass */
  #some(dayClass) {
    const horses = horsesOf(dayClass, desk.notes.get(dayClass.id));
    const others = othersThan(dayClass);
    const numbers = this.#ticked("numbers");
    const to = classWith(this.#said("to")) ?? others[0] ?? null;
    const title = this.#said("split") || `${dayClass.title}, section B`;
    if (horses.length === 0) return null;
    return h(
      "section",
      { class: "some", oninput: () => this.repaint() },
      h("h2", null, "Some of its horses"),
      several("Which", "numbers", "checkbox", horses.map(({ number }) => [number, number]), []),
      h(
        "div",
        { class: "ways" },
        to === null
          ? null
          : h(
              "div",
              { class: "way" },
              select("To the class", { name: "to" }, others.map((each) => [each.id, each.title])),
              this.ask(
                "move",
                "Move them",
                `${listed(numbers)} ${numbers.length === 1 ? "leaves" : "leave"} “${dayClass.title}” for “${to.title}”, on every phone. What is noted of them here stays here.`,
                `Yes, move ${listed(numbers)}`,
                () => this.command("move", "move", { class: dayClass.id, numbers, to: to.id }, `${listed(numbers)} moved to “${to.title}”.`),
                { disabled: numbers.length === 0 },
              ),
            ),
        h(
          "div",
          { class: "way" },
          field("Or to a new class called", { name: "split", maxlength: 120, placeholder: `${dayClass.title}, section B` }),
          this.ask(
            "split",
            "Split them off",
            `${listed(numbers)} ${numbers.length === 1 ? "goes" : "go"} into a new class “${title}” right behind this one, with the same standard, judges and rules. ${counted(horses.length - numbers.length, "horse")} stay here.`,
            `Yes, split ${listed(numbers)} off`,
            () => this.command("split", "split", { class: dayClass.id, title, numbers }, `${listed(numbers)} ${numbers.length === 1 ? "is" : "are"} in “${title}” now.`),
            { disabled: numbers.length === 0 },
          ),
        ),
      ),
    );
  }

  /** All of it: into another class, together with others, or away. @param {DeskClass} dayClass */
  #whole(dayClass) {
    const others = othersThan(dayClass);
    const into = classWith(this.#said("into")) ?? others[0] ?? null;
    const horses = horsesOf(dayClass, desk.notes.get(dayClass.id)).length;
    const beside = this.#ticked("beside").flatMap((id) => classWith(id) ?? []);
    const usual = [dayClass, ...beside].map((each) => each.title).join(" and ").slice(0, 120);
    const title = this.#said("combined") || usual;
    return h(
      "section",
      { class: "whole", oninput: () => this.repaint() },
      h("h2", null, "The whole class"),
      into === null
        ? null
        : h(
            "div",
            { class: "ways" },
            h(
              "div",
              { class: "way" },
              select("Too few? Into the class", { name: "into" }, others.map((each) => [each.id, each.title])),
              this.ask(
                "merge",
                "Merge it",
                `${counted(horses, "horse")} of “${dayClass.title}” come into “${into.title}” and are judged and placed there, as one class. “${dayClass.title}” is no longer judged by itself.`,
                "Yes, merge it",
                () => this.command("merge", "merge", { class: dayClass.id, into: into.id }, `Merged into “${into.title}”.`),
              ),
            ),
            h(
              "div",
              { class: "way" },
              several("Or judged together, and placed apart, with", "beside", "checkbox", others.map((each) => [each.id, each.title]), []),
              field("Called", { name: "combined", maxlength: 120, placeholder: usual }),
              this.ask(
                "combine",
                "Judge them together",
                `“${title}” is one class in the ring, right where the first of them stood; each of ${listed([dayClass, ...beside].map((each) => `“${each.title}”`))} gets a placing and results of its own.`,
                "Yes, judge them together",
                () => this.command("combine", "combine", { classes: [dayClass.id, ...beside.map(({ id }) => id)], title }, `Judged together as “${title}”.`),
                { disabled: beside.length === 0 },
              ),
            ),
          ),
      h(
        "div",
        { class: "way" },
        this.ask(
          "gone",
          "Take the class away",
          `“${dayClass.title}” and its ${counted(horses, "entry", "entries")} go out of the day. What was judged can't be taken away.`,
          "Yes, take it away",
          async () => {
            const isGone = await this.command("gone", "class-gone", { id: dayClass.id });
            if (isGone) go("classes");
            return isGone;
          },
        ),
      ),
    );
  }

  /** @param {string} name */
  #said(name) {
    /** @type {HTMLInputElement | null} */
    const field = this.querySelector(`[name="${name}"]`);
    return field?.value.trim() ?? "";
  }

  /** @param {string} name */
  #ticked(name) {
    return Array.from(this.querySelectorAll(`[name="${name}"]:checked`), (each) => /** @type {HTMLInputElement} */ (each).value);
  }
}

/** What the judges agreed to, each for their own card. @param {DeskClass} dayClass */
function agreed({ study_judges, slips }) {
  const said = [
    study_judges.length > 0 ? `Trainees may study the card of ${listed(study_judges.map(nameOf))}.` : "",
    slips.length > 0 ? `Slips for exhibitors: ${listed(slips.map(nameOf))} ${slips.length === 1 ? "agrees" : "agree"}.` : "",
  ];
  return said.every((each) => each === "") ? null : h("p", { class: "help" }, said.join(" "));
}

/** The other classes, those of the same standard first: only with them it can be one class. @param {DeskClass} dayClass */
function othersThan({ id, standard }) {
  const others = dayClasses().filter((each) => each.id !== id);
  return [...others.filter((each) => each.standard === standard), ...others.filter((each) => each.standard !== standard)];
}
