// @ts-check
/**
 * All about saving: what is where, why not, what the show office refused, what the phone promised, other seats.
 *
 * Usage: `<saving-page></saving-page>`; a page, with its h1.
 */

import { Part } from "../../lib/part.js";
import { ago, capital, counted, refusalTold } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";
import { go } from "../../state/place.js";
import { persistence, readiness, saved } from "../../state/saved.js";
import { lateSaid, session } from "../../state/session.js";
import { told, writtenBy } from "../../state/telling.js";
import { pageHead } from "../app-frame/page-head.js";

/** @typedef {import("../../offline/outbox.js").RefusedNote} RefusedNote */

export class SavingPage extends Part {
  draw() {
    const now = Date.now();
    const { state, short, long } = saved(now);
    const { isTalking, ok_at, trouble } = session.status;
    const { isReady, line, why } = readiness();
    const isAlone = session.alone !== null;
    return [
      pageHead("Saving"),
      h(
        "main",
        null,
        h("p", { class: "now", "data-state": state }, h("b", null, short), h("span", null, long)),
        isAlone
          ? null
          : h(
              "dl",
              null,
              fact("On this phone", held()),
              fact("Waiting for the office", counted(session.counts.waiting, "note")),
              fact("Office last reached", ok_at === null ? "Not yet" : ago(ok_at, now)),
              trouble === null ? null : fact("Why not now", trouble.sentence),
            ),
        isAlone
          ? null
          : h(
              "button",
              { class: "main", disabled: isTalking, onclick: () => void session.tryNow() },
              isTalking ? "Asking the office" : "Try now",
            ),
        session.refused.length > 0 && this.#refused(),
        h("h2", null, "Without a network"),
        h("p", { class: isReady ? "ready" : "not-ready" }, line),
        why === null ? null : h("p", null, why),
        h("p", null, persistence()),
        session.others.length > 0 && this.#others(),
        h("h2", null, "This phone's seat"),
        h("p", null, `${session.held?.seat.name ?? ""}, ${session.held?.show.title ?? ""}`),
        h("button", { onclick: () => session.offerAnotherSeat() }, "Join with another code"),
        h("button", { onclick: () => go({ page: "settings" }) }, "Settings: light or dark, left hand"),
      ),
    ];
  }

  #refused() {
    /** @type {Map<string, RefusedNote[]>} */
    const groups = new Map();
    const late = session.refused.filter((each) => each.late === true);
    for (const each of session.refused) {
      if (each.late === true) continue;
      const why = refusalTold(each.reason);
      groups.set(why, [...(groups.get(why) ?? []), each]);
    }
    return [
      groups.size === 0
        ? null
        : [
            h("h2", null, "Refused by the show office"),
            h("p", null, "The office did not take these, so the card does not show them. Each is kept here until you say."),
            h("ul", { class: "refused" }, ...[...groups].map(([why, alike]) => this.#alike(why, alike))),
          ],
      late.length === 0
        ? null
        : [
            h("h2", null, "Put aside: the card was signed before"),
            h("p", null, lateSaid(late.length)),
            h("ul", { class: "refused" }, ...late.map(({ note }) => h("li", { key: note.id }, h("b", null, capital(told(note))), h("span", null, `${capital(writtenBy(note))}.`)))),
            h("button", { onclick: () => void session.putAside(late) }, "Understood"),
          ],
    ];
  }

  /** What was refused for one reason. @param {string} why @param {RefusedNote[]} alike */
  #alike(why, alike) {
    const reason = h("span", { class: "reason" }, `Reason: ${why}`);
    const [only] = alike;
    if (alike.length === 1 && only !== undefined) return this.#refusedNote(only, reason);
    return h(
      "li",
      { key: why },
      h("b", null, counted(alike.length, "note")),
      reason,
      ways(alike, "Send all again", "Put all aside"),
      h("details", null, h("summary", null, "One by one"), h("ul", { class: "refused" }, ...alike.map((each) => this.#refusedNote(each, null)))),
    );
  }

  /** @param {RefusedNote} refused @param {import("../../lib/view.js").Child} reason */
  #refusedNote(refused, reason) {
    const { note } = refused;
    const title = session.day?.classes.find((each) => each.id === note.class)?.title ?? note.class;
    const what = told(note);
    return h(
      "li",
      { key: note.id },
      h("b", null, capital(what)),
      h("span", null, `${title}. ${capital(writtenBy(note))}.`),
      reason,
      ways([refused], "Send again", "Put aside", `: ${what}`),
    );
  }

  #others() {
    return [
      h("h2", null, "Other seats on this phone"),
      h(
        "ul",
        { class: "others" },
        ...session.others.map(({ held, waiting }) =>
          h(
            "li",
            { key: held.owner },
            `${counted(waiting, "note")} of ${held.seat.name} (${held.show.title}) still to send: ` +
              "join again with that seat's code and they go out.",
          ),
        ),
      ),
    ];
  }
}

/** What can be done about refused notes. @param {RefusedNote[]} refused @param {string} again @param {string} aside @param {string} [which] */
function ways(refused, again, aside, which = "") {
  return h(
    "div",
    { class: "choices" },
    h("button", { onclick: () => void session.sendAgain(refused), "aria-label": again + which }, again),
    h("button", { onclick: () => void session.putAside(refused), "aria-label": aside + which }, aside),
  );
}

/** How much of what was noted is on the phone's disk. */
function held() {
  const { unsaved, writing } = session.notebook?.saving ?? { unsaved: 0, writing: 0 };
  if (unsaved > 0) return "Not all of it";
  return writing > 0 ? "Being saved" : "Everything noted";
}

/** @param {string} term @param {string} detail */
function fact(term, detail) {
  return h("div", { key: term }, h("dt", null, term), h("dd", null, detail));
}
