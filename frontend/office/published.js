// @ts-check
/**
 * What is released of the show, for the announcer and for paper: results and championships, and the classes of the day
 * they belong to. Asked anew whenever the table is, while a page that shows it is open.
 *
 * @typedef {import("../announce/announcing.js").ClassResult} ClassResult
 * @typedef {import("../offline/server.js").DayClass} DayClass
 * @typedef {{ class: string, title: string, number: string, identification: string | null, horse?: string | null,
 *   exhibitor?: string | null }} Named
 * @typedef {{ id: string, title: string, judge: string | null, champion: Named | null, reserve: Named | null }} Honors
 */

import { changed } from "../lib/part.js";
import * as server from "../offline/server.js";
import { desk } from "./desk.js";
import { OfficePage } from "./office-page.js";

class Published {
  /** @type {ClassResult[] | null} */
  results = null;
  /** @type {Honors[]} */
  honors = [];
  /** @type {DayClass[]} */
  classes = [];
  /** Where each class is: at the gate, in the ring, announced. @type {Record<string, { stage?: string | null }>} */
  about = {};

  #whose = "";

  async ask() {
    const whose = this.#now();
    const [day, answer] = await Promise.all([server.day(), server.ask("/api/results", "classes")]);
    /** @type {{ classes: ClassResult[], championships?: Honors[] }} */
    const told = /** @type {any} */ (answer);
    if (whose !== this.#now()) return;
    this.results = told.classes;
    this.honors = told.championships ?? [];
    this.classes = day.classes;
    this.about = /** @type {any} */ (day).about_classes ?? {};
    changed();
  }

  /** What was told to another seat, or of another show, is not shown. */
  forgetOthers() {
    if (this.#whose === this.#now()) return;
    this.#whose = this.#now();
    this.results = null;
    this.honors = [];
    this.classes = [];
    this.about = {};
  }

  #now() {
    return JSON.stringify([desk.show?.id, desk.me?.id]);
  }

  /** @param {string} id */
  result(id) {
    return this.results?.find((each) => each.id === id) ?? null;
  }

  /** @param {string} id */
  stage(id) {
    return this.about[id]?.stage ?? null;
  }
}

export const published = new Published();

/** A page of what is published. */
export class PublishedPage extends OfficePage {
  /** @type {() => void} */
  #stop = () => {};

  connectedCallback() {
    published.forgetOthers();
    this.#stop = desk.onPull(() => published.ask());
    super.connectedCallback();
    void desk.refresh();
  }

  disconnectedCallback() {
    this.#stop();
    super.disconnectedCallback();
  }
}
