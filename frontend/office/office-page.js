// @ts-check
/**
 * What every page of the table has in common: a command's refusal stands where the command was given and what was typed
 * stays; what has consequences is asked once more, with what will happen.
 *
 * `where` names the place on the page: one command at a time runs there, and what came of it is said there. A page that is
 * drawn anew while somebody types keeps their text, for fields are read when they are sent and never written over.
 *
 * Usage: `class DayPage extends OfficePage { draw() { return [this.ask("stop", "Stop", "All goes home.", "Yes, stop", act)]; } }`
 */

import { Part } from "../lib/part.js";
import { h } from "../lib/view.js";
import { desk } from "./desk.js";

/** @typedef {import("../lib/view.js").Child} Child */

export class OfficePage extends Part {
  /** @type {Map<string, { text: string, isTrouble: boolean }>} */
  #heard = new Map();
  /** @type {Set<string>} */
  #busy = new Set();
  #asked = "";

  /**
   * Do something, and say here what came of it.
   * @param {string} where
   * @param {() => Promise<string | null>} act answers why it was not done
   * @param {string} [done] said when it was
   * @returns {Promise<boolean>} whether it was done
   */
  async act(where, act, done = "") {
    if (this.#busy.has(where)) return false;
    this.#busy.add(where);
    this.#heard.delete(where);
    this.repaint();
    const trouble = await act();
    this.#busy.delete(where);
    this.say(where, trouble ?? done, trouble !== null);
    return trouble === null;
  }

  /**
   * A command of the office.
   * @param {string} where
   * @param {string} path
   * @param {object} body
   * @param {string} [done]
   */
  command(where, path, body, done) {
    return this.act(where, () => desk.command(path, body), done);
  }

  /** @param {string} where */
  isBusy(where) {
    return this.#busy.has(where);
  }

  /** @param {string} where @param {string} text @param {boolean} [isTrouble] */
  say(where, text, isTrouble = false) {
    this.#heard.set(where, { text, isTrouble });
    this.repaint();
  }

  /** What came of the last thing done here, for eyes and ears; its place is kept, so that a reader hears it change. @param {string} where */
  heard(where) {
    const { text = "", isTrouble = false } = this.#heard.get(where) ?? {};
    return h("p", { class: isTrouble ? "trouble" : "done", role: "status" }, isTrouble ? h("b", null, "Not done: ") : null, text);
  }

  /**
   * A button that asks once more, with what will happen, before it acts. Which question is open is the page's.
   * @param {string} where
   * @param {string} label
   * @param {Child} what will happen
   * @param {string} yes
   * @param {() => Promise<boolean>} act
   * @param {Record<string, unknown>} [props] of the first button
   */
  ask(where, label, what, yes, act, props = {}) {
    if (this.#asked !== where) return [h("button", { type: "button", ...props, onclick: () => this.#ask(where) }, label), this.heard(where)];
    const done = async () => {
      if (await act()) this.#ask("");
    };
    return h(
      "div",
      { class: "asked", role: "group", "aria-label": label },
      h("p", { tabindex: -1 }, what),
      h(
        "div",
        { class: "choices" },
        h("button", { type: "button", class: "main", disabled: this.isBusy(where), onclick: () => void done() }, yes),
        h("button", { type: "button", onclick: () => this.#ask("") }, "No, leave it"),
      ),
      this.heard(where),
    );
  }

  /** @param {string} where */
  #ask(where) {
    const before = this.#asked;
    this.#asked = where;
    if (where !== "") this.#heard.delete(where);
    this.repaint();
    // The question is read before it is answered; after "no" the keys go on from where they were.
    if (where !== "") /** @type {HTMLElement | null} */ (this.querySelector(".asked > p"))?.focus();
    else if (before !== "") this.focusHeading();
  }

  focusHeading() {
    /** @type {HTMLElement | null} */ (this.querySelector("h1"))?.focus({ preventScroll: true });
  }
}
