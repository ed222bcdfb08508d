// @ts-check
/**
 * The classes of the show, and whether this phone is ready for the day; one's own classes are made and changed here.
 *
 * Usage: `<classes-page></classes-page>`; a page, with its h1.
 */

import { Part } from "../../lib/part.js";
import { counted } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";
import { openCalls } from "../../state/calls.js";
import { settleLine } from "../../state/line.js";
import { openOwn } from "../../state/own.js";
import { go, openCard, START } from "../../state/place.js";
import { openPractice } from "../../state/practice.js";
import { listedIn, persistence, readiness } from "../../state/saved.js";
import { session } from "../../state/session.js";
import { isSigned } from "../../state/shut.js";
import { badge } from "../class-bar/badge.js";

/** @typedef {import("../../offline/server.js").DayClass} DayClass */

/** Where a class is by the running list of the show; once it is signed, that is what counts. @type {Readonly<Record<string, string>>} */
const STAGES = { gate: "at the gate", ring: "in the ring", announced: "announced" };

export class ClassesPage extends Part {
  /** Whether the practice is about to be begun anew. */
  #isAsked = false;

  draw() {
    const { held, day, alone } = session;
    const { isReady, line, why } = readiness();
    const classes = day?.classes ?? [];
    const isAtDesk = ["office", "announcer"].includes(held?.seat.role ?? "");
    return [
      h(
        "header",
        null,
        h(
          "div",
          null,
          h("h1", { tabindex: -1 }, held?.show.title ?? ""),
          alone === null ? h("p", { class: "seat" }, held?.seat.name ?? "") : null,
        ),
        h("saved-state", null),
      ),
      h(
        "main",
        null,
        isAtDesk
          ? h(
              "p",
              { class: "desk" },
              h("a", { class: "button main", href: "/office" }, held?.seat.role === "office" ? "Open the show table" : "Open the announcer's page"),
              h("span", null, held?.seat.role === "office" ? "This page keeps the gate; the table is a page of its own." : "This page shows the gate alone."),
            )
          : null,
        h("p", { class: isReady ? "ready" : "not-ready" }, h("b", null, line), why === null ? null : h("span", null, why)),
        classes.length > 0
          ? null
          : h("p", null, alone === null ? "The show has no class yet. It appears here when the office adds one." : "No class yet."),
        h("ul", null, ...classes.map((each) => h("li", { key: each.id }, ...this.#class(each, classes)))),
        alone === "practice" ? h("p", null, "Words train the weighing, not the eye: look at horses for that. Nothing here is ever sent.") : null,
        ...this.#ways(classes.length),
        h(
          "p",
          { class: "caution" },
          "Around horses: eyes up, a length apart, approach at the shoulder and speak, never from straight behind. " +
            "Nearside suggests; the judge, the show's rules and its veterinarian decide.",
        ),
        // It stands with all about saving; here only where this phone is all there is.
        alone === "own" && session.isPersistent === false ? h("p", { class: "promise" }, persistence()) : null,
      ),
      alone === null
        ? null
        : h(
            "footer",
            null,
            ...(alone === "practice"
              ? this.#practice()
              : [
                  h("button", { onclick: () => this.#to("bring") }, "Open a class file"),
                  h("button", { class: "main", onclick: () => this.#to("make") }, "Make a class"),
                ]),
          ),
    ];
  }

  /** What comes after the practice; or, asked for above, the practice anew: not where the finger just was. */
  #practice() {
    if (!this.#isAsked) return [h("button", { class: "main", onclick: openOwn }, "A class of your own")];
    return [
      h("p", { role: "alert" }, "All its marks go."),
      h("button", { onclick: () => this.#ask(false) }, "Keep it"),
      h("button", { onclick: () => (this.#ask(false), void openPractice(session.held?.owner)) }, "Begin anew"),
    ];
  }

  /** @param {boolean} isAsked */
  #ask(isAsked) {
    this.#isAsked = isAsked;
    this.repaint();
  }

  /** What else there is to do, less often. @param {number} count of classes */
  #ways(count) {
    const { alone } = session;
    const keepsCard = session.held?.seat.card !== null;
    const ways = [
      alone === "practice" ? { words: "Begin the practice anew", go: () => this.#ask(true) } : null,
      keepsCard && alone === null ? { words: "Bring in a class", go: () => this.#to("bring") } : null,
      session.day?.championships?.length ? { words: "Champion and reserve", go: () => this.#to("champions") } : null,
      alone === null && session.writes("presence") ? { words: "Record of lameness calls", go: () => this.#to("calls") } : null,
      alone !== "practice" && count > 0 ? { words: "Print blank cards", go: () => this.#to("print") } : null,
      { words: alone === null ? "Another seat or class" : "Join a show", go: () => session.offerAnotherSeat() },
      { words: "Read a signed card", go: () => openCard("") },
      { words: "How a placing is worked out", go: () => this.#to("how") },
      { words: "Settings: light or dark, left hand", go: () => this.#to("settings") },
    ];
    return ways.map((way) => (way === null ? null : h("button", { key: way.words, class: "to-how", onclick: way.go }, way.words)));
  }

  /** @param {import("../../state/place.js").PageName} page */
  #to(page) {
    go({ ...START, page });
  }

  /** @param {DayClass} dayClass @param {DayClass[]} classes */
  #class(dayClass, classes) {
    const keepsCard = session.held?.seat.card !== null && aboutOf(dayClass).is_yours !== false;
    return [
      h(
        "button",
        {
          onclick: () => {
            settleLine(dayClass.id);
            go({ page: keepsCard ? "ring" : "gate", class: dayClass.id, number: null, view: null });
          },
        },
        badge(dayClass, classes),
        h("span", { class: "title" }, dayClass.title),
        h("span", { class: "facts" }, this.#facts(dayClass, keepsCard)),
      ),
      session.alone !== "own"
        ? null
        : h(
            "button",
            { "aria-label": `Change ${dayClass.title}`, onclick: () => go({ ...START, page: "make", class: dayClass.id }) },
            "Change",
          ),
    ];
  }

  /** @param {DayClass} dayClass @param {boolean} keepsCard */
  #facts(dayClass, keepsCard) {
    const horses = listedIn(dayClass);
    const card = session.notebook?.card(dayClass.id) ?? null;
    const { stage, is_yours } = aboutOf(dayClass);
    const facts = [counted(horses, "horse")];
    if (is_yours === false) facts.push("another judge's");
    if (card !== null && keepsCard) {
      const { horses: present, views } = card.progress();
      const seen = views.reduce((sum, each) => sum + each.seen, 0);
      const all = present * views.length;
      if (seen > 0) {
        facts.push(seen === all ? "every view seen" : `${seen} of ${all} views seen`);
        if (present < horses) facts.push("absent not counted");
      }
      const calls = openCalls(card);
      if (calls.length > 0) facts.push(`${counted(calls.length, "call")} open`);
      if (card.disputes.length > 0) facts.push(`${card.disputes.length} disputed`);
    }
    if (isSigned(card)) facts.push("signed");
    if (stage && (stage === "announced" || !facts.includes("signed"))) facts.push(STAGES[stage] ?? stage);
    return facts.join(", ");
  }
}

/** @param {DayClass} dayClass */
function aboutOf({ id }) {
  return session.day?.about_classes?.[id] ?? {};
}
