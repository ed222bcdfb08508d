// @ts-check
/**
 * A signed card handed over by another device: read from its link, checked by its digest and against the class this
 * device holds. No server is asked, and no seat is needed.
 *
 * Usage: `<read-page></read-page>`; a page, open while the address names a card. The camera is used where the browser
 * reads codes itself; everywhere the link can be pasted.
 */

import { Part } from "../../lib/part.js";
import { listed, moment } from "../../lib/phrases.js";
import { QrCamera } from "../../lib/qr-camera.js";
import { h } from "../../lib/view.js";
import { cardIn, readLink } from "../../state/cardlink.js";
import { cardInAddress, openCard } from "../../state/place.js";
import { session } from "../../state/session.js";
import { signaturesIn } from "../../state/shut.js";
import { pageHead } from "../app-frame/page-head.js";
import { apart, digest, digits } from "../card-page/handed.js";

/** @typedef {import("../../state/cardlink.js").SignedCard} SignedCard */

export class ReadPage extends Part {
  #typed = "";
  #shown = "";
  #camera = new QrCamera(
    (text) => {
      const card = cardIn(text);
      if (card === null) return "That QR holds no signed card.";
      openCard(card);
      return null;
    },
    () => {
      if (this.isConnected) this.repaint();
    },
  );

  draw() {
    const link = cardInAddress() ?? "";
    const read = link === "" ? null : readLink(link);
    return [
      pageHead("A signed card"),
      h(
        "main",
        null,
        read === null ? null : "problem" in read ? h("p", { class: "problem", role: "alert" }, read.problem) : this.#card(read.card, read.fits),
        this.#camera.draw("Read a card's QR"),
        this.#pasted(),
      ),
    ];
  }

  repaint() {
    super.repaint();
    const shown = cardInAddress() ?? "";
    if (shown === this.#shown) return;
    this.#shown = shown;
    this.scrollTop = 0;
    this.querySelector("h1")?.focus({ preventScroll: true });
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    this.#camera.stop();
  }

  /** @param {SignedCard} card @param {boolean} fits */
  #card(card, fits) {
    const { held } = session;
    const ofShow = held?.show.id === card.show ? held : null;
    const dayClass = ofShow?.day?.classes.find((each) => each.id === card.class) ?? null;
    if (dayClass !== null) void session.notebook?.open(dayClass.id);
    const own = dayClass === null ? null : (session.notebook?.card(dayClass.id) ?? null);
    const horses = own?.horses ?? dayClass?.entries ?? [];
    const newer = own === null ? null : signaturesIn(own).find((note) => note.card === card.card && note.at > card.signed_at);
    const known = new Set(horses.map(({ number }) => number));
    const strange = [...card.order, ...card.unplaced.map(({ number }) => number)].filter((number) => !known.has(number));
    const whose = ofShow?.day?.seats?.find((seat) => seat.id === card.card)?.name ?? card.card;
    return [
      h("h2", { class: "of" }, dayClass?.title ?? card.title),
      h("p", null, `Card of ${whose}, signed ${moment(card.signed_at)}.`),
      newer
        ? h(
            "p",
            { class: "problem" },
            h("b", null, newer.numbers ? "! Signed anew since" : "! Taken back since"),
            `, ${moment(newer.at)}${newer.reason ? `: ${newer.reason}` : ""}. This is not the card that holds now.`,
          )
        : null,
      h(
        "p",
        { class: fits ? "fits" : "problem", role: "status" },
        h("b", null, fits ? "✓ The digest fits" : "! The digest does not fit"),
        fits
          ? ": nothing was lost or changed on the way. Who signed it, it does not prove."
          : ": something was lost or changed on the way. Do not use it; read the QR again, or have the order read aloud.",
      ),
      dayClass === null
        ? h("p", null, "This device does not hold that class: whether its numbers are entered can't be checked here.")
        : strange.length === 0
          ? h("p", null, h("b", null, "✓ Every number is in the list"), ` of ${dayClass.title} on this device.`)
          : h("p", { class: "problem" }, h("b", null, `! Not in the list on this device: ${listed(strange)}.`)),
      digits(card.order, dayClass?.places ?? null),
      h("div", { class: "apart" }, apart(card)),
      digest(card),
    ];
  }

  #pasted() {
    return h(
      "form",
      {
        onsubmit: (/** @type {Event} */ event) => {
          event.preventDefault();
          if (this.#typed.trim() !== "") openCard(cardIn(this.#typed) ?? this.#typed.trim());
        },
      },
      h("label", { for: "link" }, "Link of a signed card"),
      h("input", {
        id: "link",
        ".value": this.#typed,
        autocomplete: "off",
        oninput: (/** @type {Event} */ event) => {
          this.#typed = /** @type {HTMLInputElement} */ (event.target).value;
        },
      }),
      h("button", null, "Read it"),
    );
  }
}
