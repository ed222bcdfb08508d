// @ts-check
/**
 * A championship: who comes back, the champion named, then the reserve with the second of the champion's class come in;
 * read back with what is warned of before it is kept, changed later with a reason. The judge decides: nothing is blocked.
 *
 * Usage: `h("champion-naming", { ".championship": each, ".classes": classes, ".onKept": (all) => ... })`
 *
 * @typedef {{ class: string, number: string }} Horse
 * @typedef {Horse & { title: string, identification: string | null, placed?: number | null, horse?: string | null,
 *   exhibitor?: string | null }} Contender
 * @typedef {{ id: string, title: string, judge: string, contenders: Contender[], reserve_contenders: Contender[] | null,
 *   champion: Contender | null, reserve: Contender | null, warnings: string[], waiting: string[], versions: number }} Championship
 */

import { Part } from "../lib/part.js";
import { listed, ordinal } from "../lib/phrases.js";
import { h } from "../lib/view.js";
import * as server from "../offline/server.js";

const MOST_REASON = 500;

export class ChampionNaming extends Part {
  /** @type {Championship | null} */
  championship = null;
  /** Those another horse can be of. @type {{ id: string, title: string }[]} */
  classes = [];
  /** @type {(all: Championship[]) => void} */
  onKept = () => {};

  /** As it would stand, read back by the server; null while nothing is chosen. @type {Championship | null} */
  #drafted = null;
  #isChanging = false;
  #isBusy = false;
  #reason = "";
  #trouble = "";

  draw() {
    const { championship } = this;
    if (championship === null) return null;
    const { title, champion, reserve, waiting, versions } = championship;
    const now = this.#drafted ?? (this.#isChanging ? { ...championship, champion: null, reserve: null } : championship);
    const asksChampion = now.champion === null;
    const asksReserve = !asksChampion && now.reserve === null;
    return [
      h("h2", { tabindex: -1 }, title),
      waiting.length === 0 ? null : h("p", null, h("b", null, "Still out: "), `${listed(waiting)}. Their firsts come back once all is signed.`),
      this.#drafted === null && !this.#isChanging ? this.#standing(championship) : null,
      asksChampion ? this.#choice("Who is champion?", championship.contenders, (horse) => this.#draft(horse, null), "champion") : null,
      this.#drafted === null ? null : this.#readBack(this.#drafted, versions > 0 && !(reserve === null && isSame(champion, this.#drafted.champion))),
      asksReserve ? this.#choice("Who is reserve?", now.reserve_contenders ?? [], (horse) => this.#draft(now.champion, horse), "reserve") : null,
      this.#trouble === "" ? null : h("p", { class: "trouble", role: "alert" }, h("b", null, "Not done: "), this.#trouble),
      this.#isChanging && this.#drafted === null ? h("button", { type: "button", onclick: () => this.#leave() }, "Leave it as it was") : null,
    ];
  }

  /** What is named. @param {Championship} championship */
  #standing({ champion, reserve, warnings }) {
    if (champion === null) return null;
    return [
      h("dl", { class: "named" }, named("Champion", champion), reserve === null ? null : named("Reserve", reserve)),
      warned(warnings),
      h("button", { type: "button", onclick: () => this.#change() }, "Change it"),
    ];
  }

  /** @param {string} question @param {readonly Contender[]} contenders @param {(horse: Horse) => void} take @param {string} what */
  #choice(question, contenders, take, what) {
    return h(
      "section",
      { key: what, class: "choice" },
      h("h3", null, question),
      contenders.length === 0 ? h("p", null, "Nobody comes back yet.") : null,
      ...contenders.map((each) =>
        h(
          "button",
          { key: `${each.class} ${each.number}`, type: "button", class: "contender", disabled: this.#isBusy, onclick: () => take(each) },
          h("b", null, each.number),
          h("span", null, each.title, each.placed ? `, ${ordinal(each.placed)} on the judge's card` : ""),
          h("span", null, [each.identification, each.horse].filter(Boolean).join(" · ") || "no description"),
        ),
      ),
      h(
        "details",
        null,
        h("summary", null, "Another horse"),
        h(
          "form",
          {
            onsubmit: (/** @type {SubmitEvent} */ event) => {
              event.preventDefault();
              const said = new FormData(/** @type {HTMLFormElement} */ (event.currentTarget));
              take({ class: String(said.get("class")), number: String(said.get("number")).trim().toUpperCase() });
            },
          },
          h("label", null, "Class", h("select", { name: "class" }, ...this.classes.map(({ id, title }) => h("option", { key: id, value: id }, title)))),
          h("label", null, "Number", h("input", { name: "number", autocomplete: "off", autocapitalize: "characters", maxlength: 6 })),
          h("button", { disabled: this.#isBusy }, `Take it as ${what}`),
        ),
      ),
    );
  }

  /** @param {Championship} drafted @param {boolean} asksReason */
  #readBack({ champion, reserve, warnings }, asksReason) {
    if (champion === null) return null;
    const reason = this.#reason.trim();
    return h(
      "section",
      { key: "back", class: "read-back-it", role: "group", "aria-label": "Read it back", tabindex: -1 },
      h("h3", null, "Read it back"),
      h("dl", { class: "named" }, named("Champion", champion), reserve === null ? null : named("Reserve", reserve)),
      warned(warnings),
      asksReason
        ? h(
            "label",
            null,
            "Why does it change?",
            h("input", {
              ".value": this.#reason,
              maxlength: MOST_REASON,
              autocomplete: "off",
              oninput: (/** @type {Event} */ event) => {
                this.#reason = /** @type {HTMLInputElement} */ (event.target).value;
                this.repaint();
              },
            }),
          )
        : null,
      h(
        "div",
        { class: "choices" },
        h("button", { type: "button", onclick: () => this.#leave() }, "Not yet"),
        h(
          "button",
          { type: "button", class: "main", disabled: this.#isBusy || (asksReason && reason === ""), onclick: () => void this.#keep(reason || null) },
          asksReason && reason === "" ? "A reason is needed" : reserve === null ? `Keep champion ${champion.number}` : `Keep champion ${champion.number}, reserve ${reserve.number}`,
        ),
      ),
    );
  }

  /** @param {Horse | null} champion @param {Horse | null} reserve */
  async #draft(champion, reserve) {
    await this.#say("/read-back", "championship", { champion: bare(champion), reserve: bare(reserve), reason: null }, (answer) => {
      this.#drafted = answer.championship;
    });
    /** @type {HTMLElement | null} */ (this.querySelector(".read-back-it"))?.focus();
  }

  /** @param {string | null} reason */
  async #keep(reason) {
    const { champion = null, reserve = null } = this.#drafted ?? {};
    await this.#say("", "championships", { champion: bare(champion), reserve: bare(reserve), reason }, (answer) => {
      this.#leave();
      this.onKept(answer.championships);
    });
    /** @type {HTMLElement | null} */ (this.querySelector("h2"))?.focus();
  }

  /** @param {string} way @param {string} holds @param {object} body @param {(answer: any) => void} took */
  async #say(way, holds, body, took) {
    if (this.#isBusy) return;
    this.#isBusy = true;
    this.#trouble = "";
    this.repaint();
    try {
      took(await server.ask(`/api/championships/${encodeURIComponent(this.championship?.id ?? "")}${way}`, holds, body));
    } catch (error) {
      if (!(error instanceof server.SaidNo || error instanceof server.NoAnswer)) throw error;
      this.#trouble = error.message;
    }
    this.#isBusy = false;
    this.repaint();
  }

  #change() {
    this.#isChanging = true;
    this.repaint();
  }

  #leave() {
    this.#drafted = null;
    this.#isChanging = false;
    this.#reason = this.#trouble = "";
    this.repaint();
  }
}

/** @param {Horse | null} a @param {Horse | null} b */
function isSame(a, b) {
  return a?.class === b?.class && a?.number === b?.number;
}

/** @param {Horse | null} horse */
function bare(horse) {
  return horse && { class: horse.class, number: horse.number };
}

/** @param {string} what @param {Contender} horse */
function named(what, { number, title, identification, horse, exhibitor }) {
  const more = [title, identification, horse, exhibitor ? `shown by ${exhibitor}` : null].filter(Boolean).join(" · ");
  return h("div", { key: what }, h("dt", null, what), h("dd", null, h("b", null, number), h("span", null, more)));
}

/** @param {readonly string[]} warnings */
function warned(warnings) {
  if (warnings.length === 0) return null;
  return h("div", { class: "warned" }, h("b", null, "! Against common practice; the judge decides:"), h("ul", null, ...warnings.map((each) => h("li", { key: each }, each))));
}
