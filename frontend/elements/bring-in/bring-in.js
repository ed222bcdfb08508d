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
import {
  bringInto, broughtSaid, classMeant, heldBeside, heldElsewhere, numbersMissing, openAll, ownClasses, sourceOf, takeIn, whyNot,
} from "../../state/bringing.js";
import { readClassFile } from "../../state/classfile.js";
import { go, START } from "../../state/place.js";
import { session } from "../../state/session.js";
import { named, shortName } from "../../state/telling.js";
import { say } from "../../state/voice.js";
import { pageHead } from "../app-frame/page-head.js";
import { badge } from "../class-bar/badge.js";

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

  /** The class of the show that is chosen. */
  get #chosen() {
    return session.day?.classes.find(({ id }) => id === this.#into);
  }

  #move() {
    const into = this.#chosen;
    const source = this.#source;
    if (source === null || into === undefined) return null;
    const elsewhere = heldElsewhere(source, into.id);
    const reason = whyNot(source, into);
    const beside = heldBeside(source, into);
    const warning = beside > 0 ? `${shortName(into)} already holds ${counted(beside, "note")} of yours.` : null;
    return h(
      "footer",
      null,
      reason === null && warning === null ? null : h("p", { class: "problem", role: "alert" }, reason ?? warning),
      elsewhere !== undefined
        ? h("button", { class: "main", onclick: () => this.#to(elsewhere.id) }, `Open ${named(elsewhere)}`)
        : h(
            "button",
            { class: "main", disabled: reason !== null, onclick: () => void this.#tried(async () => this.#done(await bringInto(source, into))) },
            `Bring it into ${named(into)}`,
          ),
    );
  }

  /** @param {Source} source */
  #choice(source) {
    const classes = session.day?.classes ?? [];
    const into = this.#chosen;
    if (classes.length === 0) return [h("p", { class: "problem" }, "The show has no class yet.")];
    const missing = into === undefined ? [] : numbersMissing(source, into);
    return [
      h("h2", null, `Where does “${source.class.title}” go?`),
      h("p", null, `${counted(source.entries.length, "horse")}, ${counted(source.notes.length, "note")}, ${source.standard.title}. Its card “${source.card}” becomes yours.`),
      h(
        "div",
        { class: "choices", role: "group", "aria-label": "Class of the show" },
        ...classes.map((each) =>
          h(
            "button",
            {
              key: each.id,
              "aria-pressed": String(each === into),
              onclick: () => {
                this.#into = each.id;
                this.repaint();
              },
            },
            badge(each, classes),
            h("span", null, each.title),
          ),
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
      if (session.alone === null) await this.#take(source);
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
  async #take(source) {
    await openAll();
    this.#source = source;
    this.#into = classMeant(source)?.id ?? null;
    this.#trouble = "";
    this.repaint();
  }

  /** @param {string} classId */
  #to(classId) {
    go({ ...START, page: "ring", class: classId });
  }

  /** @param {import("../../state/bringing.js").Brought} brought */
  #done(brought) {
    this.#to(brought.id);
    say(broughtSaid(brought), true);
  }
}
