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
import { h } from "../../lib/view.js";
import { cardIn, readLink } from "../../state/cardlink.js";
import { cardInAddress, openCard } from "../../state/place.js";
import { session } from "../../state/session.js";
import { signaturesIn } from "../../state/shut.js";
import { pageHead } from "../app-frame/page-head.js";
import { apart, digest, digits } from "../card-page/handed.js";

/** @typedef {import("../../state/cardlink.js").SignedCard} SignedCard */
/** @typedef {{ detect: (from: HTMLVideoElement) => Promise<{ rawValue: string }[]> }} Detector */

const LOOKS_EVERY_MS = 200;

export class ReadPage extends Part {
  #typed = "";
  #trouble = "";
  #shown = "";
  /** @type {MediaStream | null} */
  #stream = null;

  draw() {
    const link = cardInAddress() ?? "";
    const read = link === "" ? null : readLink(link);
    return [
      pageHead("A signed card"),
      h(
        "main",
        null,
        read === null ? null : "problem" in read ? h("p", { class: "problem", role: "alert" }, read.problem) : this.#card(read.card, read.fits),
        this.#camera(),
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
    this.#shut();
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

  #camera() {
    const mayRead = "BarcodeDetector" in window && navigator.mediaDevices !== undefined;
    if (!mayRead) {
      return h("p", null, "This browser can't read a QR by itself. Point the phone's own camera app at it and open the link, or paste the link here.");
    }
    return [
      this.#stream === null
        ? h("button", { class: "main", onclick: () => void this.#look() }, "Read a card's QR")
        : [
            h("video", { ".srcObject": this.#stream, ".muted": true, playsinline: true, autoplay: true, "aria-label": "What the camera sees" }),
            h("button", { onclick: () => this.#shut() }, "Stop the camera"),
          ],
      h("p", { role: "status" }, this.#trouble),
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

  async #look() {
    try {
      this.#stream = await navigator.mediaDevices.getUserMedia({ video: { facingMode: "environment" } });
    } catch {
      this.#trouble = "The camera was not allowed, or there is none. Use the phone's own camera app, or paste the link.";
      this.repaint();
      return;
    }
    this.#trouble = "Hold the QR in the picture.";
    this.repaint();
    const maker = /** @type {{ BarcodeDetector: new (of: object) => Detector }} */ (/** @type {unknown} */ (window));
    const detector = new maker.BarcodeDetector({ formats: ["qr_code"] });
    const next = async () => {
      const video = this.querySelector("video");
      if (this.#stream === null || video === null) return;
      const codes = await detector.detect(video).catch(() => []);
      const card = codes.map(({ rawValue }) => cardIn(rawValue)).find((each) => each !== null);
      if (card) {
        this.#shut();
        openCard(card);
        return;
      }
      if (codes.length > 0) this.#trouble = "That QR holds no signed card.";
      this.repaint();
      setTimeout(() => void next(), LOOKS_EVERY_MS);
    };
    await next();
  }

  #shut() {
    for (const track of this.#stream?.getTracks() ?? []) track.stop();
    this.#stream = null;
    this.#trouble = "";
    if (this.isConnected) this.repaint();
  }
}
