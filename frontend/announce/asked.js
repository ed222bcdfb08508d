// @ts-check
/**
 * What a page asks the server for while it is open, and what came of it. Nothing of it is kept on the device: where the
 * server can't be reached, the page says so.
 *
 * @template T
 */

import { changed } from "../lib/part.js";
import { h } from "../lib/view.js";
import * as server from "../offline/server.js";

/** @template T */
export class Asked {
  /** @type {T | null} */
  answer = null;
  /** @type {string | null} why there is none, or none newer */
  trouble = null;
  /** Whether the office said so; otherwise nobody answered. */
  #isRefused = false;
  #times = 0;

  /** @param {string} path @param {string} holds a field the answer must have */
  constructor(path, holds) {
    this.path = path;
    this.holds = holds;
  }

  /** Ask; an answer that another one has overtaken is put aside. @param {string} [path] @param {object} [body] @returns {Promise<string | null>} why not */
  async ask(path = this.path, body) {
    const time = (this.#times += 1);
    try {
      const answer = /** @type {T} */ (await server.ask(path, this.holds, body));
      if (time === this.#times) this.answer = answer;
      this.trouble = null;
    } catch (error) {
      if (!(error instanceof server.SaidNo || error instanceof server.NoAnswer)) throw error;
      this.trouble = error.message;
      this.#isRefused = error instanceof server.SaidNo;
    }
    changed();
    return this.trouble;
  }

  /** What is said in its place: that it is on its way, or why it is not. @param {string} what */
  told(what) {
    if (this.trouble === null) return this.answer === null ? h("p", { key: "asked", role: "status" }, `Asking the show office for ${what}.`) : null;
    return h(
      "div",
      { key: "asked", class: "not-asked", role: "alert" },
      h("p", null, this.#isRefused ? null : h("b", null, `Only with a connection to the show office: ${what}. `), this.trouble),
      h("button", { type: "button", onclick: () => void this.ask() }, "Ask again"),
    );
  }
}
