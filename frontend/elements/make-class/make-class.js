// @ts-check
/**
 * Making a class of one's own, or changing one: title, standard, sexes, numbers; the rest has its usual values.
 *
 * Usage: `<make-class></make-class>`; a page, with its h1 and one form. The class in the address is the one that is
 * changed; then its standard and sexes stay, for its marks speak of them.
 */

import { DEFAULT_LAMENESS } from "../../engine/shapes.js";
import { changed, Part } from "../../lib/part.js";
import { listed } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";
import { basics } from "../../offline/basics.js";
import { handOn } from "../../state/handing.js";
import { changeClass, countedUp, makeClass, readNumbers } from "../../state/own.js";
import { place } from "../../state/place.js";
import { notDone, session } from "../../state/session.js";
import { pageHead } from "../app-frame/page-head.js";

/** @typedef {import("../../offline/basics.js").Basics} Basics */
/** @typedef {Record<string, string>} Words */

/** @type {Words} */
const SEXES = { mare: "Mares", stallion: "Stallions", gelding: "Geldings" };
/** @type {Words} */
const AGES = { weanling: "Weanling", yearling: "Yearling", two: "Two", three: "Three", aged: "Four and over" };
/** @type {Words} */
const OUTCOMES = { last: "Stands last", not_placed: "Is not placed", ignored: "Nothing follows" };

export class MakeClass extends Part {
  /** @type {Basics | null} */
  #basics = null;

  connectedCallback() {
    super.connectedCallback();
    basics().then((all) => {
      this.#basics = all;
      changed();
    }, notDone);
  }

  draw() {
    const before = session.day?.classes.find(({ id }) => id === place().class);
    const { from_grade, outcome } = before?.lameness ?? DEFAULT_LAMENESS;
    if (before !== undefined) void session.notebook?.open(before.id);
    const { numbers, read, problem } = readNumbers(this.#typed?.value ?? "");
    const horses = session.notebook?.card(before?.id ?? "")?.horses.filter(({ entered }) => entered) ?? before?.entries ?? [];
    const isEmpty = numbers.length === 0;
    const [miscounted, outside] = [this.#outside("main > .figures"), this.#outside("details")];
    const isNew = before === undefined;
    return h(
      "form",
      { novalidate: true, onsubmit: (/** @type {Event} */ event) => this.#done(event), oninput: () => this.repaint() },
      pageHead(isNew ? "A class of your own" : "Change the class"),
      h(
        "main",
        null,
        labeled("Title", { name: "title", maxlength: 120, autocomplete: "off", value: before?.title, placeholder: this.#usualTitle() }),
        isNew
          ? null
          : h("p", { class: "help" }, `Entered: ${listed(horses.map(({ number }) => number)) || "none"}. None is ever dropped: note a wrong one absent.`),
        h(
          "label",
          null,
          `${isNew ? "Numbers" : "More numbers"}, with anything between them`,
          h("textarea", { name: "typed", rows: 2, autocapitalize: "characters", spellcheck: "false", "aria-describedby": "numbers-read" }),
        ),
        h(
          "p",
          { id: "numbers-read", class: problem === null ? "help" : "problem", role: "status" },
          problem ?? (isEmpty ? "21-24 is read as 21 22 23 24. More can come in later." : read),
        ),
        h(
          "div",
          { class: "figures" },
          figure("First number", "first", 1, 9999),
          figure("How many", "many", 6, 60),
          h("button", { type: "button", disabled: miscounted !== "", onclick: () => this.#countUp() }, "Count up"),
          wrong(miscounted),
        ),
        ...(isNew ? [this.#standards(), several("Sexes (none chosen: all)", "sexes", "checkbox", SEXES, ["mare"])] : []),
        several("Ages (none chosen: all)", "ages", "checkbox", AGES, before?.ages ?? ["aged"]),
        h(
          "details",
          null,
          h("summary", null, "Places, and what follows from lameness"),
          h("div", { class: "figures" }, figure("Places", "places", before?.places ?? 6, 20), figure("Lame from grade", "from_grade", from_grade, 5)),
          several("Such a horse", "outcome", "radio", OUTCOMES, [outcome]),
        ),
        wrong(outside),
      ),
      h(
        "footer",
        null,
        before === undefined ? null : h("button", { type: "button", onclick: () => this.#handOn(before.id) }, "Class file"),
        h(
          "button",
          { class: "main", disabled: (isNew && this.#basics === null) || (problem ?? outside) !== "" },
          isNew ? `Make ${isEmpty ? "an empty" : "the"} class` : "Keep the changes",
        ),
      ),
    );
  }

  #standards() {
    const titles = (this.#basics?.standards ?? []).map(({ key, title }) => [key, title]);
    const about = (/** @type {string} */ key) => this.#basics?.about_standards[key]?.about;
    return several("Standard", "standard", "radio", Object.fromEntries(titles), ["stock-type"], about);
  }

  /** @returns {HTMLTextAreaElement | null} */
  get #typed() {
    return this.querySelector("textarea");
  }

  /** @param {string} id */
  #handOn(id) {
    const card = session.notebook?.card(id) ?? null;
    if (card !== null) void handOn(card);
  }

  #countUp() {
    const field = this.#typed;
    const { first, many } = this.#said();
    if (field !== null) field.value = `${field.value} ${countedUp(Number(first), Number(many))}`.trim();
    this.repaint();
  }

  /** Which figure does not do, in a sentence. @param {string} group */
  #outside(group) {
    /** @type {HTMLInputElement | null} */
    const field = this.querySelector(`${group} input:invalid`);
    return field === null ? "" : `${field.labels?.[0]?.textContent}: a whole number from 1 to ${field.max}.`;
  }

  #usualTitle() {
    const { standard, sexes } = this.#said();
    const title = this.#basics?.standards.find(({ key }) => key === standard)?.title ?? "";
    return `${title} ${listed(sexes.map((/** @type {string} */ sex) => SEXES[sex]?.toLowerCase() ?? ""))}`;
  }

  /** What the form says. @returns {any} */
  #said() {
    const form = this.querySelector("form");
    const data = new FormData(form ?? undefined);
    return { ...Object.fromEntries(data), sexes: data.getAll("sexes"), ages: data.getAll("ages") };
  }

  /** @param {Event} event */
  #done(event) {
    event.preventDefault();
    const { title, standard: key, sexes, ages, places, from_grade, outcome, typed } = this.#said();
    const { numbers } = readNumbers(typed);
    const lameness = { from_grade: Number(from_grade), outcome };
    const fields = {
      title: title.trim() || this.#usualTitle(),
      ages: ages.length > 0 ? ages : Object.keys(AGES),
      places: Number(places),
      lameness,
    };
    const before = place().class;
    const standard = this.#basics?.standards.find((each) => each.key === key);
    if (before !== null) changeClass(before, fields, numbers).catch(notDone);
    else if (standard !== undefined) {
      const entries = numbers.map((number) => ({ number, identification: null }));
      makeClass({ ...fields, sexes: sexes.length > 0 ? sexes : Object.keys(SEXES), entries }, standard).catch(notDone);
    }
  }
}

/** @param {string} problem */
function wrong(problem) {
  return h("p", { class: "problem", role: "status" }, problem);
}

/** @param {string} words @param {Record<string, unknown>} props */
function labeled(words, props) {
  return h("label", null, words, h("input", props));
}

/** @param {string} words @param {string} name @param {number} value @param {number} max */
function figure(words, name, value, max) {
  return labeled(words, { name, type: "number", inputmode: "numeric", required: true, min: 1, max, value });
}

/**
 * @param {string} legend
 * @param {string} name
 * @param {"checkbox" | "radio"} type
 * @param {Words} words
 * @param {readonly string[]} chosen
 * @param {(key: string) => string | undefined} [about]
 */
function several(legend, name, type, words, chosen, about) {
  return h(
    "fieldset",
    null,
    h("legend", null, legend),
    ...Object.entries(words).map(([value, word]) =>
      h("label", { key: value, class: "choice" }, h("input", { type, name, value, checked: chosen.includes(value) }), about === undefined ? word : h("span", null, h("b", null, word), h("small", null, about(value)))),
    ),
  );
}
