// @ts-check
/**
 * The frame of the page: which page is open, what is said aloud, the bar of a newer version.
 *
 * Usage: `<app-frame></app-frame>`, once. Two polite live regions (ARIA role status): what happened by
 * itself, and the answer to a tap.
 */

import { Part } from "../../lib/part.js";
import { h } from "../../lib/view.js";
import { cardInAddress, place } from "../../state/place.js";
import { session } from "../../state/session.js";
import { lastSaid, lastTold } from "../../state/voice.js";
import { notHereYet } from "./more-pages.js";

export class AppFrame extends Part {
  #shown = "";

  draw() {
    const { text, isShown } = lastSaid();
    return [
      h("update-bar", null),
      this.#pageNow(),
      // Kept by their keys: a region that is made anew with its words in it is not heard.
      h("p", { key: "told", class: "aside", role: "status" }, lastTold()),
      h("p", { key: "said", class: isShown ? "voice" : "voice aside", role: "status" }, text),
    ];
  }

  repaint() {
    super.repaint();
    const tag = this.querySelector("update-bar + *")?.tagName ?? "";
    const shown = tag + String(place().class);
    // What stands there while a page is on its way is no page.
    if (shown === this.#shown || !tag.includes("-")) return;
    // A new page begins at its top, and the reader's place with it.
    const isFirst = this.#shown === "";
    this.#shown = shown;
    this.scrollTop = 0;
    if (!isFirst) /** @type {HTMLElement | null} */ (this.querySelector("h1"))?.focus({ preventScroll: true });
  }

  #pageNow() {
    const page = this.#page();
    return page.tag.includes("-") && customElements.get(page.tag) === undefined ? notHereYet() : page;
  }

  #page() {
    if (session.phase === "starting") return h("p", { class: "opening" }, "Opening the notebook");
    if (cardInAddress() !== null) return h("read-page", { key: "read" });
    if (session.phase === "nobody" || session.codeOffered !== null) return h("join-page", { key: "join" });
    const { page, class: ofClass } = place();
    if (page === "saving") return h("saving-page", { key: "saving" });
    if (page === "settings") return h("settings-page", { key: "settings" });
    if (page === "how") return h("how-page", { key: "how" });
    // An address of one seat may be opened at another, by the phone's "back": what that one has not, it does not show.
    if (page === "make" && session.alone === "own") return h("make-class", { key: `make ${ofClass}` });
    if (page === "bring" && session.alone !== "practice" && session.held?.seat.card !== null) return h("bring-in", { key: "bring" });
    if (page === "print") return h("print-page", { key: "print" });
    if (session.alone === null && (page === "champions" || page === "calls")) return h(`${page}-page`, { key: page });
    const dayClass = session.day?.classes.find((each) => each.id === ofClass);
    if (["classes", "make", "bring", "champions", "calls"].includes(page) || dayClass === undefined) return h("classes-page", { key: "classes" });
    void session.notebook?.open(dayClass.id);
    // A seat without a card keeps the gate; it has nothing to mark.
    const isShut = session.notebook?.card(dayClass.id)?.signature ?? null;
    const name = session.held?.seat.card === null && page !== "call" ? "gate" : page === "sign" && isShut !== null ? "card" : page;
    const tag = `${name}-page`;
    return h(tag, { key: `${tag} ${dayClass.id}` });
  }
}
