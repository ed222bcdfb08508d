// @ts-check
/**
 * The running list of the day: every class with where it is, its numbers and its next step as one button.
 *
 * Usage: `<day-page></day-page>`; a page, with its h1. Classes change places by buttons.
 */

import { clock, counted, listed, shortNameAmong } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";
import { dayClasses, desk, seatsOf } from "../desk.js";
import { field, form, text } from "../fields.js";
import { horsesOf } from "../horses.js";
import { OfficePage } from "../office-page.js";
import { addressOf } from "../place.js";
import { STAGES, stageOf } from "../stages.js";

/** @typedef {import("../desk.js").DeskClass} DeskClass */

export class DayPage extends OfficePage {
  draw() {
    const classes = dayClasses();
    return [
      h("h1", { tabindex: -1 }, "The day"),
      firstSteps(classes),
      classes.length === 0 ? null : h("p", { class: "help" }, inShort(classes)),
      h("ol", { class: "running" }, ...classes.map((each, place) => this.#row(each, place, classes))),
      this.heard("order"),
      h(
        "section",
        { class: "files" },
        h("h2", null, "Files"),
        h(
          "div",
          { class: "choices" },
          h("a", { class: "button", href: "/api/show-file", download: true }, "Copy of the show"),
          h("a", { class: "button", href: "/api/results.csv", download: true }, "Results as CSV"),
        ),
        h("p", { class: "help" }, "The copy holds what you may read, with names; what the judges noted is sealed in it. The whole show, to be taken in elsewhere, is made by whoever looks after the machine of the show; its handbook says how."),
      ),
      h(
        "section",
        null,
        h("h2", null, "The show"),
        form(
          { class: "stacked" },
          (said) => void this.command("show", "show", { title: text(said, "title") }, "Kept."),
          field("Title, as everybody sees it", { name: "title", maxlength: 120, value: desk.show?.title }),
          h("button", { disabled: this.isBusy("show") }, "Keep the title"),
          this.heard("show"),
        ),
      ),
    ];
  }

  /** @param {DeskClass} dayClass @param {number} place @param {DeskClass[]} classes */
  #row(dayClass, place, classes) {
    const { id, title } = dayClass;
    const stage = stageOf(dayClass);
    const { said, sign, next, back } = STAGES[stage];
    const where = `stage ${id}`;
    /** @param {string | null} to @param {string} done */
    const step = (to, done) => void this.command(where, "stage", { class: id, stage: to }, done);
    return h(
      "li",
      { key: id, "data-stage": stage },
      h("span", { class: "place" }, shortNameAmong(id, classes)),
      h("div", { class: "what" }, h("h2", null, title), h("p", null, headsOf(dayClass))),
      h("p", { class: "stage" }, h("i", { "aria-hidden": "true" }, sign), `${said}${stage === "withdrawn" ? "" : saidAt(dayClass)}`),
      h(
        "div",
        { class: "steps" },
        next === null ? null : h("button", { type: "button", class: "main", disabled: this.isBusy(where), "aria-label": `${next.label}: ${title}`, onclick: () => step(next.to, next.done) }, next.label),
        back === null ? null : h("button", { type: "button", class: "quiet", disabled: this.isBusy(where), "aria-label": `${back.label}: ${title}`, onclick: () => step(back.to, back.done) }, back.label),
      ),
      h(
        "div",
        { class: "ways" },
        h("button", { type: "button", class: "quiet", disabled: place === 0, "aria-label": `Earlier: ${title}`, onclick: () => this.#move(classes, place, -1) }, "↑"),
        h("button", { type: "button", class: "quiet", disabled: place === classes.length - 1, "aria-label": `Later: ${title}`, onclick: () => this.#move(classes, place, 1) }, "↓"),
        h("a", { href: addressOf("entries", id), "aria-label": `Entries of ${title}` }, "Entries"),
        h("a", { href: addressOf("class", id), "aria-label": `Settings of ${title}` }, "Class"),
        dayClass.released && stage !== "withdrawn" ? h("a", { href: `/api/results.csv?class=${encodeURIComponent(id)}`, download: true, "aria-label": `Result of ${title} as CSV` }, "CSV") : h("a", { href: addressOf("paper", id), "aria-label": `Paper card for ${title}` }, "Card"),
      ),
      this.heard(where),
    );
  }

  /** @param {DeskClass[]} classes @param {number} place @param {number} by */
  #move(classes, place, by) {
    const ids = classes.map(({ id }) => id);
    const [moved] = ids.splice(place, 1);
    ids.splice(place + by, 0, String(moved));
    void this.command("order", "classes-order", { ids }, `${classes[place]?.title} is now number ${place + by + 1}.`);
  }
}

/** What a new show needs before its first class, for as long as any of it is missing. @param {DeskClass[]} classes */
function firstSteps(classes) {
  const steps = [
    { page: "classes", words: "Make the classes", isDone: classes.length > 0 },
    { page: "entries", words: "Enter the horses: typed, pasted, or from a file", isDone: classes.some(({ entries }) => entries.length > 0) },
    { page: "seats", words: "Add a judge, and a steward for the gate", isDone: seatsOf("judge").length > 0 },
    { page: "codes", words: "Print the sheet of codes, and hand each person theirs", isDone: (desk.state?.devices ?? []).some(({ seat }) => seat !== desk.me?.id) },
  ];
  if (steps.every(({ isDone }) => isDone)) return null;
  return h(
    "ol",
    { class: "first", "aria-label": "First steps" },
    ...steps.map(({ page, words, isDone }) => h("li", { key: page }, h("span", { "aria-hidden": "true" }, isDone ? "✓" : "○"), h("a", { href: addressOf(page) }, words), isDone ? h("span", { class: "help" }, "done") : null)),
  );
}

/** @param {DeskClass} dayClass */
function headsOf(dayClass) {
  const horses = horsesOf(dayClass, desk.notes.get(dayClass.id));
  const absent = horses.filter(({ state }) => state === "absent").map(({ number }) => number);
  const present = horses.filter(({ state }) => state === "present").length;
  const { signed, of } = dayClass.cards;
  return [
    counted(horses.length - absent.length, "horse"),
    absent.length > 0 ? `absent ${listed(absent)}` : "",
    present > 0 ? `${present} checked in` : "",
    dayClass.divisions.length > 0 ? `placed apart in ${dayClass.divisions.length}` : "",
    of === 0 ? "no judge yet" : signed === of ? `${counted(of, "card")} signed` : counted(of, "judge"),
  ]
    .filter((each) => each !== "")
    .join(" · ");
}

/** @param {DeskClass} dayClass */
function saidAt({ stage, announced_at }) {
  return stage === "announced" && announced_at !== null ? `, ${clock(announced_at, Date.now())}` : "";
}

/** Where the day is, in a line. @param {DeskClass[]} classes */
function inShort(classes) {
  /** @param {string} stage */
  const at = (stage) => classes.filter((each) => stageOf(each) === stage).map(({ title }) => title);
  const [ring, gate, signed, withdrawn] = [at("ring"), at("gate"), at("signed"), at("withdrawn")];
  const left = at("none").length;
  return [
    ring.length > 0 ? `In the ring: ${listed(ring)}.` : "Nothing in the ring.",
    gate.length > 0 ? `At the gate: ${listed(gate)}.` : "",
    signed.length > 0 ? `Signed, to be announced: ${listed(signed)}.` : "",
    withdrawn.length > 0 ? `Being corrected: ${listed(withdrawn)}.` : "",
    left > 0 ? `${counted(left, "class", "classes")} to come.` : "",
  ].join(" ");
}
