// @ts-check
/** The form of a class: what it is called, what its horses are judged by, who judges and how. */

import { DEFAULT_LAMENESS } from "../engine/shapes.js";
import { listed } from "../lib/phrases.js";
import { h } from "../lib/view.js";
import { GRADES } from "../state/grades.js";
import { desk, seatsOf } from "./desk.js";
import { field, form, select, several, text } from "./fields.js";
import { AGES, METHODS, OUTCOMES, SEXES } from "./words.js";

/** @typedef {import("./desk.js").DeskClass} DeskClass */

/** @type {Partial<DeskClass>} what a new class begins with */
const NEW = { standard: "stock-type", sexes: ["mare"], ages: ["aged"], places: 6, method: "separate" };

/**
 * @param {DeskClass | null} before the class that is changed; null for a new one
 * @param {(asked: object, form: HTMLFormElement) => void} sent
 * @param {string} label of the button
 * @param {boolean} isBusy
 * @param {() => void} typed
 */
export function classForm(before, sent, label, isBusy, typed) {
  const { standard, sexes = [], ages = [], places, lameness, judges, method, call_judges = [], study_office } = before ?? NEW;
  const { from_grade, outcome } = lameness ?? DEFAULT_LAMENESS;
  const seats = seatsOf("judge").map(({ id, name }) => /** @type {[string, string]} */ ([id, name]));
  const isFixed = before?.fixed ?? false;
  const key = before?.id ?? "new";
  return form(
    { class: "stacked", "data-class": key, oninput: typed },
    (said, of) => void asked(said, before).then((what) => sent(what, of)),
    field("Title", { name: "title", maxlength: 120, value: before?.title, placeholder: usualTitle(key) }),
    h(
      "div",
      { class: "beside" },
      select("Standard", { name: "standard", disabled: isFixed }, (desk.state?.standards ?? []).map((each) => [each.key, each.title]), standard),
      field("Places", { name: "places", type: "number", inputmode: "numeric", min: 1, max: 20, value: places }),
    ),
    isFixed
      ? null
      : h(
          "details",
          null,
          h("summary", null, "A standard of your own"),
          h("label", null, "Its file, in place of the choice above", h("input", { type: "file", name: "own", accept: ".json,application/json" })),
        ),
    isFixed ? h("p", { class: "help" }, "Horses are judged by it already: standard and sexes stay.") : several("Sexes", "sexes", "checkbox", SEXES, sexes),
    several("Ages", "ages", "checkbox", AGES, ages),
    seats.length === 0
      ? h("p", { class: "help" }, "No judge yet: add one under Seats. A class with nobody named for it has all judges of the show.")
      : seats.length > 1 && several("Judges (none ticked: all judges of the show)", "judges", "checkbox", seats, judges ?? []),
    seats.length > 1 && [
      select("Several judges make", { name: "method" }, METHODS, method),
      h(
        "div",
        { class: "beside" },
        select("Call judge, for ties", { name: "call" }, [["", "none"], ...seats], call_judges[0] ?? ""),
        select("Second call judge", { name: "call" }, [["", "none"], ...seats], call_judges[1] ?? ""),
      ),
    ],
    h(
      "div",
      { class: "beside" },
      select("A horse lame from grade", { name: "from_grade" }, [1, 2, 3, 4, 5].map((grade) => [String(grade), `${grade}: ${GRADES[grade]}`]), String(from_grade)),
      select("What follows", { name: "outcome" }, OUTCOMES, outcome),
    ),
    h(
      "fieldset",
      { class: "several" },
      h(
        "label",
        null,
        h("input", { type: "checkbox", name: "study_office", checked: study_office }),
        h("span", null, "Trainees may study the signed cards, where the judge agrees too"),
      ),
    ),
    h("button", { class: "main", disabled: isBusy }, label),
  );
}

/** What the form asks the server for. @param {FormData} said @param {DeskClass | null} before */
async function asked(said, before) {
  const id = before?.id ?? null;
  const judges = said.getAll("judges");
  const isFixed = before?.fixed ?? false;
  return {
    id,
    title: text(said, "title") || usualTitle(id ?? "new"),
    standard: isFixed ? before?.standard : ((await ownStandard(said.get("own"))) ?? text(said, "standard")),
    sexes: isFixed ? before?.sexes : said.getAll("sexes"),
    ages: said.getAll("ages"),
    places: Number(said.get("places")),
    lameness: { from_grade: Number(said.get("from_grade")), outcome: said.get("outcome") },
    judges: judges.length === 0 ? (seatsOf("judge").length > 1 ? null : (before?.judges ?? null)) : judges,
    method: said.get("method") ?? before?.method ?? "separate",
    call_judges: [...new Set(said.getAll("call"))].filter((each) => each !== ""),
    study_office: said.has("study_office"),
  };
}

/** The standard in a file; what it may hold the server checks, and says where it is none. @param {FormDataEntryValue | null} file */
async function ownStandard(file) {
  if (!(file instanceof File) || file.size === 0) return null;
  const typed = await file.text();
  try {
    return JSON.parse(typed);
  } catch {
    return {}; // refused by name, as any other file that is no standard
  }
}

/** What a class is called where nobody says otherwise: its standard, sexes and ages. @param {string} key of the form */
function usualTitle(key) {
  /** @type {HTMLFormElement | null} */
  const of = document.querySelector(`form[data-class="${key}"]`);
  if (of === null) return "Stock type mares, four and over";
  const said = new FormData(of);
  /** @param {string} name @param {Record<string, string>} words */
  const chosen = (name, words) => listed(said.getAll(name).map((each) => (words[String(each)] ?? "").toLowerCase()));
  const standard = desk.state?.standards.find((each) => each.key === said.get("standard"))?.title ?? "";
  return [`${standard} ${chosen("sexes", SEXES)}`.trim(), chosen("ages", AGES)].filter((each) => each !== "").join(", ");
}
