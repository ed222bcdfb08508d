// @ts-check
/**
 * The classes of the show, and whether this phone is ready for the day.
 *
 * Usage: `<classes-page></classes-page>`; a page, with its h1.
 */

import { Part } from "../../lib/part.js";
import { counted } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";
import { go, START } from "../../state/place.js";
import { listedIn, persistence, readiness } from "../../state/saved.js";
import { session } from "../../state/session.js";
import { badge } from "../class-bar/badge.js";

/** @typedef {import("../../offline/server.js").DayClass} DayClass */

export class ClassesPage extends Part {
  draw() {
    const { held, day } = session;
    const { isReady, line, why } = readiness();
    const classes = day?.classes ?? [];
    return [
      h(
        "header",
        null,
        h(
          "div",
          null,
          h("h1", { tabindex: -1 }, held?.show.title ?? ""),
          h("p", { class: "seat" }, held?.seat.name ?? ""),
        ),
        h("saved-state", null),
      ),
      h(
        "main",
        null,
        h("p", { class: isReady ? "ready" : "not-ready" }, h("b", null, line), why === null ? null : h("span", null, why)),
        classes.length === 0 ? h("p", null, "The show has no class yet. It appears here when the office adds one.") : null,
        h("ul", null, ...classes.map((each) => h("li", { key: each.id }, this.#class(each, classes)))),
        h("button", { class: "to-how", onclick: () => go({ ...START, page: "how" }) }, "How a placing is worked out"),
        h("button", { class: "to-how", onclick: () => go({ ...START, page: "settings" }) }, "Settings: light or dark, left hand"),
        h(
          "p",
          { class: "caution" },
          "Around horses: eyes up, a length apart, approach at the shoulder and speak, never from straight behind. " +
            "Nearside suggests; the judge, the show's rules and its veterinarian decide.",
        ),
        // Last, for it is known a moment later than the rest, and no class may move under the thumb.
        h("p", { class: "promise" }, persistence()),
      ),
    ];
  }

  /** @param {DayClass} dayClass @param {DayClass[]} classes */
  #class(dayClass, classes) {
    const keepsCard = session.held?.seat.card !== null;
    return h(
      "button",
      {
        onclick: () =>
          go({ page: keepsCard ? "ring" : "gate", class: dayClass.id, number: null, view: null }),
      },
      badge(dayClass, classes),
      h("span", { class: "title" }, dayClass.title),
      h("span", { class: "facts" }, this.#facts(dayClass, keepsCard)),
    );
  }

  /** @param {DayClass} dayClass @param {boolean} keepsCard */
  #facts(dayClass, keepsCard) {
    const horses = listedIn(dayClass);
    const card = session.notebook?.card(dayClass.id) ?? null;
    const facts = [counted(horses, "horse")];
    if (card !== null && keepsCard) {
      const { horses: present, views } = card.progress();
      const seen = views.reduce((sum, each) => sum + each.seen, 0);
      const all = present * views.length;
      if (seen > 0) {
        facts.push(seen === all ? "every view seen" : `${seen} of ${all} views seen`);
        if (present < horses) facts.push("absent not counted");
      }
      if (card.disputes.length > 0) facts.push(`${card.disputes.length} disputed`);
      if (card.signature !== null) facts.push("signed");
    }
    return facts.join(", ");
  }
}
