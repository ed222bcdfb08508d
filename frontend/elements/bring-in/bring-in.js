// @ts-check
/**
 * A class brought in with its notes: from a class file, or from one's own classes on this phone. At a show the class it
 * goes into is chosen and the choice checked; among one's own classes it finds its place by itself.
 *
 * Usage: `<bring-in></bring-in>`; a page, with its h1.
 */

import { Part } from "../../lib/part.js";
import { counted, listed } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";
import { asset, basics } from "../../offline/basics.js";
import { bringInto, broughtSaid, likelyClasses, numbersMissing, ownClasses, sourceOf, takeIn, whyNot } from "../../state/bringing.js";
import { readClassFile } from "../../state/classfile.js";
import { go, START } from "../../state/place.js";
import { session } from "../../state/session.js";
import { say } from "../../state/voice.js";
import { pageHead } from "../app-frame/page-head.js";

/** @typedef {import("../../state/classfile.js").Source} Source */

const BYTES_AT_MOST = 32 * 1024 * 1024;

export class BringIn extends Part {
  /** @type {Source | null} */
  #source = null;
  /** The class it goes into. @type {string | null} */
  #into = null;
  #trouble = "";

  draw() {
    const isAtShow = session.alone === null;
    return [
      pageHead(isAtShow ? "Bring in a class" : "Open a class file"),
      h(
        "main",
        null,
        h(
          "p",
          null,
          isAtShow
            ? "A class judged elsewhere comes onto your card here, notes and all; the show's own places and lameness rule hold for it. What is here already is not doubled."
            : "A class from another phone goes on here. What is here already is not doubled.",
        ),
        ...(isAtShow ? this.#own() : []),
        h(
          "label",
          null,
          "A class file",
          h("input", { type: "file", accept: ".json,.txt,application/json,text/plain", onchange: (/** @type {Event} */ event) => void this.#read(event) }),
        ),
        h("p", { class: "problem", role: "alert" }, this.#trouble),
        ...(this.#source === null ? [] : this.#choice(this.#source)),
      ),
      this.#move(),
    ];
  }

  #own() {
    const own = ownClasses();
    if (own.length === 0) return [];
    return [
      h("h2", null, "Your own classes on this phone"),
      h(
        "div",
        { class: "choices" },
        ...own.map((each) =>
          h(
            "button",
            {
              key: each.dayClass.id,
              "aria-pressed": String(this.#source?.class.id === each.dayClass.id),
              onclick: () => void this.#tried(async () => this.#take(await sourceOf(each))),
            },
            each.dayClass.title,
          ),
        ),
      ),
    ];
  }

  /** The class of the show that is chosen, the likeliest where none is. */
  #chosen() {
    const classes = this.#source === null ? [] : likelyClasses(this.#source);
    return { classes, into: classes.find(({ id }) => id === this.#into) ?? classes[0] };
  }

  #move() {
    const { into } = this.#chosen();
    const source = this.#source;
    if (source === null || into === undefined) return null;
    const reason = whyNot(source, into);
    return h(
      "footer",
      null,
      reason === null ? null : h("p", { class: "problem", role: "alert" }, reason),
      h(
        "button",
        { class: "main", disabled: reason !== null, onclick: () => void this.#tried(async () => this.#done(await bringInto(source, into))) },
        `Bring it into ${into.title}`,
      ),
    );
  }

  /** @param {Source} source */
  #choice(source) {
    const { classes, into } = this.#chosen();
    if (into === undefined) return [h("p", { class: "problem" }, "The show has no class yet.")];
    const missing = numbersMissing(source, into);
    return [
      h("h2", null, `Where does “${source.class.title}” go?`),
      h("p", null, `${counted(source.entries.length, "horse")}, ${counted(source.notes.length, "note")}, ${source.standard.title}. Its card “${source.card}” becomes yours.`),
      h(
        "label",
        null,
        "Class of the show",
        h(
          "select",
          {
            onchange: (/** @type {Event} */ event) => {
              this.#into = /** @type {HTMLSelectElement} */ (event.target).value;
              this.repaint();
            },
          },
          ...classes.map(({ id, title }) => h("option", { key: id, value: id, selected: id === into.id }, title)),
        ),
      ),
      missing.length === 0 ? null : h("p", null, `Not in that class, and entered with it: ${listed(missing)}.`),
    ];
  }

  /** @param {Event} event */
  async #read(event) {
    const field = /** @type {HTMLInputElement} */ (event.target);
    const [file] = field.files ?? [];
    if (file === undefined) return;
    field.value = ""; // the same file, mended, can be chosen again
    await this.#tried(async () => {
      if (file.size > BYTES_AT_MOST) throw new Error("This is no class file: it is far too large.");
      const { standards } = await basics();
      const source = readClassFile(await file.text(), standards, await asset("/files/class-file.json"));
      if (session.alone === null) this.#take(source);
      else this.#done(await takeIn(source));
    });
  }

  /** What goes wrong is said. @param {() => Promise<void>} act */
  async #tried(act) {
    try {
      await act();
    } catch (error) {
      this.#source = null;
      this.#trouble = error instanceof Error ? error.message : String(error);
      this.repaint();
    }
  }

  /** @param {Source} source */
  #take(source) {
    for (const { id } of session.day?.classes ?? []) void session.notebook?.open(id);
    this.#source = source;
    this.#into = null;
    this.#trouble = "";
    this.repaint();
  }

  /** @param {import("../../state/bringing.js").Brought} brought */
  #done(brought) {
    go({ ...START, page: "ring", class: brought.id });
    say(broughtSaid(brought), true);
  }
}
