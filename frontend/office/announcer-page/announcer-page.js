// @ts-check
/**
 * The announcer's page: which classes can be announced, and of one class what is read, in huge type.
 *
 * Usage: `<announcer-page></announcer-page>`; a page, with its h1. One placing at a time: a tap that bounces reads nothing
 * past, for the button rests a moment after each step. Should the result change meanwhile, nothing more is shown of it
 * until it is begun again.
 */

import { apart, awaitedSaid, belowSaid, judgesSaid, listsOf, methodSaid, missingSaid, placeWord, spoken, standingOf, stepSaid, stepsOf, struckSaid, takenFor, waySaid } from "../../announce/announcing.js";
import { capital, clock, counted, listed, moment } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";
import { desk } from "../desk.js";
import { addressOf, at } from "../place.js";
import { published, PublishedPage } from "../published.js";
import { letSleep, stayAwake } from "./awake.js";

/** @typedef {import("../../announce/announcing.js").ClassResult} ClassResult */
/** @typedef {import("../../announce/announcing.js").List} List */
/** @typedef {import("../../announce/announcing.js").Placed} Placed */
/** @typedef {import("../../announce/announcing.js").Standing} Standing */
/** @typedef {import("../../announce/announcing.js").Step} Step */
/** @typedef {import("../../announce/announcing.js").Way} Way */
/** @typedef {import("../published.js").DayClass} DayClass */

/** How long a step can't be followed by the next: longer than a thumb bounces, shorter than a placing is read. */
const RESTS_MS = 600;

/** @type {readonly { standing: Standing, title: string, sign: string }[]} in the order they concern the announcer */
const GROUPS = [
  { standing: "changed", title: "Changed since it was announced", sign: "!" },
  { standing: "withdrawn", title: "Being corrected", sign: "■" },
  { standing: "ready", title: "Ready to announce", sign: "▶" },
  { standing: "waits", title: "Not announced yet: not signed", sign: "○" },
  { standing: "announced", title: "Announced", sign: "✓" },
];

/** @type {readonly { way: Way, said: string }[]} */
const WAYS = [
  { way: "up", said: "From the last place up" },
  { way: "down", said: "From the first place down" },
];

export class AnnouncerPage extends PublishedPage {
  /** Which way it is read; null before one chose. @type {Way | null} */
  #way = null;
  #listKey = "";
  #isWhole = false;
  #step = 0;
  #isResting = false;
  /** What was to be read when the reading began. */
  #began = "";

  disconnectedCallback() {
    letSleep();
    super.disconnectedCallback();
  }

  draw() {
    if (published.results === null) return h("h1", { tabindex: -1 }, "To announce");
    const { of } = at();
    const dayClass = of === null ? undefined : published.classes.find(({ id }) => id === of);
    if (dayClass === undefined) return this.#all();
    const result = published.result(dayClass.id);
    const standing = standingOf(result, published.stage(dayClass.id));
    const list = result === null ? undefined : this.#list(result);
    if (this.#way !== null && list !== undefined) return this.#reading(dayClass, list, this.#way, standing);
    return this.#class(dayClass, result, standing);
  }

  #all() {
    /** @type {Record<string, DayClass[]>} */
    const found = {};
    for (const each of published.classes) (found[standingOf(published.result(each.id), published.stage(each.id))] ??= []).push(each);
    return [
      h("h1", { tabindex: -1 }, "To announce"),
      published.classes.length === 0 ? h("p", null, "This show has no class yet.") : null,
      ...GROUPS.map(({ standing, title, sign }) => {
        const classes = found[standing] ?? [];
        if (classes.length === 0) return null;
        return h(
          "section",
          { key: standing, class: "group", "data-standing": standing },
          h("h2", null, h("i", { "aria-hidden": "true" }, sign), title),
          h("ul", null, ...classes.map((each) => h("li", { key: each.id }, h("a", { href: addressOf("announcer", each.id) }, h("b", null, each.title), this.#inShort(each))))),
        );
      }),
      this.#honors(),
    ];
  }

  /** @param {DayClass} dayClass */
  #inShort({ id, entries }) {
    const result = published.result(id);
    if (result === null) return h("span", null, counted(entries.length, "horse"));
    const when = result.announced_at ? `announced ${clock(result.announced_at, Date.now())}` : null;
    return h("span", null, [judgesSaid(result), `${result.shown} shown`, when].filter(Boolean).join(", "));
  }

  #honors() {
    const honors = published.honors.filter(({ champion }) => champion !== null);
    if (honors.length === 0) return null;
    return h(
      "section",
      { class: "group" },
      h("h2", null, h("i", { "aria-hidden": "true" }, "★"), "Champions"),
      h(
        "ul",
        null,
        ...honors.map(({ id, title, champion, reserve }) =>
          h("li", { key: id, class: "honor" }, h("b", null, title), honor("Champion", champion), honor("Reserve", reserve)),
        ),
      ),
    );
  }

  /** @param {DayClass} dayClass @param {ClassResult | null} result @param {Standing} standing */
  #class(dayClass, result, standing) {
    const lists = result === null ? [] : listsOf(result);
    const list = this.#list(result);
    return [
      h("a", { class: "button back", href: addressOf("announcer") }, "‹ All classes"),
      h("h1", { tabindex: -1 }, dayClass.title),
      this.#standing(result, standing),
      result === null ? null : h("p", { class: "how" }, `${judgesSaid(result)}. ${methodSaid(result)}. ${counted(result.shown, "horse")} shown.`),
      result === null || result.stricken.length === 0 ? null : h("p", null, `${struckSaid(result.stricken)}.`),
      lists.length < 2 || standing === "withdrawn"
        ? null
        : h(
            "fieldset",
            { class: "lists" },
            h("legend", null, `${lists.length} lists, each read by itself`),
            ...lists.map(({ key, title }) =>
              h("button", { key, type: "button", "aria-pressed": String(key === list?.key), onclick: () => this.#choose(key) }, title),
            ),
          ),
      standing === "withdrawn" || list === undefined ? null : this.#ways(list),
      this.#announced(dayClass, standing),
    ];
  }

  /** @param {ClassResult | null} result @param {Standing} standing */
  #standing(result, standing) {
    const when = result?.announced_at ? ` at ${clock(result.announced_at, Date.now())}` : "";
    /** @type {Record<Standing, string>} */
    const said = {
      ready: "Ready to announce.",
      changed: `The result changed since it was announced${when}. Announce it again, and say that it is corrected.`,
      withdrawn: (result === null ? "" : awaitedSaid(result)) || "Announced, and taken back since. There is nothing to announce until it is signed anew.",
      waits: "Not announced yet: not every card of this class is signed.",
      announced: `Announced${when}.`,
    };
    return h("p", { class: "standing", "data-standing": standing, role: "status" }, said[standing]);
  }

  /** @param {List} list */
  #ways(list) {
    const steps = stepsOf(list.lines, "up");
    if (steps.length === 0) return h("p", null, "Nobody is placed.");
    return [
      h("h2", null, "Which way is it read?"),
      h(
        "div",
        { class: "ways" },
        ...WAYS.map(({ way, said }) => {
          const turns = stepsOf(list.lines, way).map(({ place }) => placeWord(place));
          const short = turns.length > 3 ? [turns[0], turns[1], "…", turns[turns.length - 1]] : turns;
          return h("button", { key: way, type: "button", class: "main", onclick: () => this.#begin(list, way) }, h("b", null, said), h("span", null, short.join(", ").replace(", …,", " …")));
        }),
      ),
      h("p", { class: "help" }, belowSaid(list.lines)),
    ];
  }

  /** Marking it announced is the office's. @param {DayClass} dayClass @param {Standing} standing */
  #announced({ id }, standing) {
    if (desk.me?.role !== "office") return null;
    const again = standing === "changed";
    if (!again && standing !== "ready") return this.heard("announced");
    const mark = () => void this.command("announced", "stage", { class: id, stage: "announced" }, "Marked as announced.");
    return [
      h("button", { type: "button", class: "mark", disabled: this.isBusy("announced"), onclick: mark }, again ? "Mark the correction as announced" : "Mark as announced"),
      this.heard("announced"),
    ];
  }

  /** @param {DayClass} dayClass @param {List} list @param {Way} way @param {Standing} standing */
  #reading(dayClass, list, way, standing) {
    stayAwake();
    const steps = stepsOf(list.lines, way);
    const isChanged = said(list) !== this.#began || standing === "withdrawn";
    const band = isChanged ? "" : waySaid(steps, way);
    return h(
      "div",
      { class: this.#isWhole ? "reading whole" : "reading" },
      h(
        "div",
        { class: "of" },
        h("button", { type: "button", class: "back", onclick: () => this.#leave() }, "‹ Stop"),
        h("h1", { tabindex: -1 }, [dayClass.title, list.title].filter(Boolean).join(": ")),
        isChanged || this.#isWhole ? null : h("button", { type: "button", onclick: () => this.#turn() }, "Whole list"),
      ),
      isChanged
        ? h(
            "div",
            { class: "stop", role: "alert" },
            h("b", null, "Stop reading"),
            h("p", null, standing === "withdrawn" ? "The signature was taken back. What was read does not hold; say that a correction follows." : "The result changed while you were reading. What was read may not hold: begin again."),
            h("button", { type: "button", class: "main", onclick: () => this.#leave() }, "Begin again"),
          )
        : this.#isWhole
          ? this.#whole(dayClass, list, steps, band)
          : this.#one(dayClass, steps, band, standing),
    );
  }

  /** One placing at a time. @param {DayClass} dayClass @param {Step[]} steps @param {string} band @param {Standing} standing */
  #one(dayClass, steps, band, standing) {
    const step = steps[this.#step];
    const next = steps[this.#step + 1];
    const isOver = step === undefined;
    return [
      h("p", { class: "band" }, band),
      h(
        "div",
        { class: "now-read", role: "status", tabindex: 0 },
        isOver
          ? h("div", { class: "over" }, h("b", null, "That was all"), h("p", null, `${capital(counted(steps.length, "placing"))} read, the last one was ${placeWord(steps[steps.length - 1]?.place ?? 1)} place.`), this.#announced(dayClass, standing))
          : [
              h("p", { class: "place-said" }, stepSaid(step)),
              missingSaid(step) === "" ? null : h("p", { class: "missing" }, missingSaid(step)),
              ...step.horses.map((horse) => this.#horse(horse, dayClass)),
              h("p", { class: "aside" }, spoken(step)),
            ],
      ),
      h("p", { class: "band turns" }, this.#turns(steps)),
      h(
        "div",
        { class: "moves" },
        h("button", { type: "button", disabled: this.#step === 0, onclick: () => this.#go(-1) }, "‹\u00a0Back"),
        isOver
          ? h("button", { key: "again", type: "button", class: "main", onclick: () => this.#leave() }, "Done")
          : h("button", { key: "next", type: "button", class: "main", "aria-disabled": this.#isResting ? "true" : null, onclick: () => this.#go(1) }, next === undefined ? "Read: that was the last" : `Read. Next: ${next.horses.length > 1 ? "tied " : ""}${placeWord(next.place)}`),
      ),
    ];
  }

  /** What was read, what is, what comes, in words. @param {Step[]} steps */
  #turns(steps) {
    const words = steps.map(({ place }) => placeWord(place));
    const parts = [
      ["Read: ", words.slice(0, this.#step)],
      ["Now: ", words.slice(this.#step, this.#step + 1)],
      ["To come: ", words.slice(this.#step + 1)],
    ];
    return parts.flatMap(([name, turns]) => (turns?.length ? [h("span", { key: String(name) }, String(name), h("b", null, Array.isArray(turns) ? turns.join(", ") : turns))] : []));
  }

  /** @param {Placed} horse @param {DayClass} dayClass */
  #horse({ number, horse, exhibitor }, dayClass) {
    const alike = takenFor(number, dayClass.entries.map((each) => each.number));
    return h(
      "div",
      { key: number, class: "horse" },
      h("p", { class: "number", "data-signs": [...number].length }, number),
      h("p", { class: "apart" }, `“${apart(number)}”`),
      alike.length === 0 ? null : h("p", { class: "alike" }, h("b", null, "Say it sign by sign: "), alikeSaid(alike)),
      h("p", { class: "name" }, horse ?? h("span", null, "no name of the horse")),
      h("p", { class: "by" }, exhibitor ? `shown by ${exhibitor}` : h("span", null, "no name of the exhibitor")),
    );
  }

  /** @param {DayClass} dayClass @param {List} list @param {Step[]} steps @param {string} band */
  #whole(dayClass, list, steps, band) {
    const numbers = dayClass.entries.map((each) => each.number);
    const title = [dayClass.title, list.title].filter(Boolean).join(": ");
    // On paper both stand on every sheet, so each is true of all of them.
    const [first, last] = [steps[0], steps[steps.length - 1]].map((step) => placeWord(step?.place ?? 1));
    const words = (/** @type {string} */ what) => h("tr", null, h("td", { colspan: 3, class: "band" }, h("span", { class: "printed" }, title), what, band));
    return [
      h(
        "table",
        { class: "list" },
        h("thead", null, words(`It begins with ${first} place. `), h("tr", { class: "aside" }, h("th", { scope: "col" }, "Place"), h("th", { scope: "col" }, "Number"), h("th", { scope: "col" }, "Horse and exhibitor"))),
        h("tfoot", null, words(`It is over when ${last} place is read. `)),
        h(
          "tbody",
          null,
          ...steps.flatMap((step) =>
            step.horses.map((horse, index) => {
              const alike = takenFor(horse.number, numbers);
              return h(
                "tr",
                { key: horse.number },
                h("th", { scope: "row" }, index === 0 ? stepSaid(step) : `Also tied for ${placeWord(step.place)} place`, index === step.horses.length - 1 && missingSaid(step) !== "" ? h("span", null, missingSaid(step)) : null),
                h("td", null, h("span", { class: "number" }, horse.number), h("span", { class: "apart" }, `“${apart(horse.number)}”`)),
                h(
                  "td",
                  null,
                  h("b", null, horse.horse ?? "no name of the horse"),
                  h("span", null, horse.exhibitor ? `shown by ${horse.exhibitor}` : "no name of the exhibitor"),
                  alike.length === 0 ? null : h("span", { class: "alike" }, `Say it sign by sign: ${alikeSaid(alike)}`),
                ),
              );
            }),
          ),
        ),
      ),
      h("p", { class: "help" }, belowSaid(list.lines)),
      h("div", { class: "moves" }, h("button", { type: "button", onclick: () => this.#turn() }, "‹ One at a time"), h("button", { type: "button", onclick: () => print() }, "Print this list")),
      h("p", { class: "printed" }, `${desk.show?.title}. Printed ${moment(Date.now())}. Paper does not hear of a correction: look at the page before it is read.`),
    ];
  }

  /** @param {ClassResult | null} result @returns {List | undefined} */
  #list(result) {
    const lists = result === null ? [] : listsOf(result);
    return lists.find(({ key }) => key === this.#listKey) ?? lists[0];
  }

  /** @param {string} key */
  #choose(key) {
    this.#listKey = key;
    this.repaint();
  }

  /** @param {List} list @param {Way} way */
  #begin(list, way) {
    this.#way = way;
    this.#listKey = list.key;
    this.#step = 0;
    this.#began = said(list);
    this.repaint();
    scrollTo(0, 0);
    this.focusHeading();
  }

  #leave() {
    this.#way = null;
    letSleep();
    this.repaint();
    this.focusHeading();
  }

  #turn() {
    this.#isWhole = !this.#isWhole;
    this.repaint();
  }

  /** @param {number} by */
  #go(by) {
    if (this.#isResting && by > 0) return;
    this.#step += by;
    this.#isResting = true;
    this.repaint();
    setTimeout(() => {
      this.#isResting = false;
      this.repaint();
    }, RESTS_MS);
  }
}

/** Other numbers in words, for figures beside a number are read as the number. @param {readonly string[]} alike */
function alikeSaid(alike) {
  return `${listed(alike.map((each) => `“${apart(each)}”`))} ${alike.length === 1 ? "is" : "are"} in this class too.`;
}

/** All of a list that is read, to see whether it changed. @param {List} list */
function said({ lines }) {
  return JSON.stringify(lines.map(({ place, awarded, number, horse, exhibitor }) => [place, awarded, number, horse, exhibitor]));
}

/** @param {string} what @param {import("../published.js").Named | null} named */
function honor(what, named) {
  if (named === null) return h("span", null, `${what}: not named yet`);
  const { number, title, horse, exhibitor } = named;
  return h("span", null, `${what}: number `, h("strong", null, number), ` (“${apart(number)}”), ${[title, horse, exhibitor ? `shown by ${exhibitor}` : null].filter(Boolean).join(", ")}`);
}
