// @ts-check
/**
 * The signed card: shut, read aloud in large digits, handed over by one QR without a network, taken back with a reason.
 *
 * Usage: `<card-page></card-page>`; a page. Digits and QR take turns on the screen. On paper it is one page: the order with
 * what each horse is known by, every version where it was corrected, the QR beside it.
 */

import { copyText } from "../../lib/clipboard.js";
import { Part } from "../../lib/part.js";
import { listed, moment } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";
import { MOST_TEXT } from "../../state/card.js";
import { linkOf } from "../../state/cardlink.js";
import { go } from "../../state/place.js";
import { session } from "../../state/session.js";
import { handedOver, signs, takeSignatureBack } from "../../state/signing.js";
import { initialed, initials, versions } from "../../state/versions.js";
import { say } from "../../state/voice.js";
import { apart, digest, digits, picture } from "./handed.js";
import { corrected, onPaper } from "./on-paper.js";

/** @typedef {import("../../state/card.js").Card} Card */

export class CardPage extends Part {
  #showsCode = false;
  #isTakingBack = false;
  #reason = "";
  #initials = "";

  draw() {
    const { card } = session;
    const handed = card === null ? null : handedOver(card);
    return [
      h("class-bar", { ".about": "signed card" }),
      card === null || handed === null ? h("main", null, h("p", null, "Reading the card.")) : this.kept([card, this.#showsCode, this.#isTakingBack, this.#reason, this.#initials], () => this.#card(card, handed)),
      h(
        "footer",
        null,
        h("button", { onclick: () => go({ page: "placing" }) }, "‹ Placing"),
        h(
          "button",
          {
            class: "main",
            onclick: () => {
              this.#showsCode = !this.#showsCode;
              this.repaint();
              this.querySelector("main")?.scrollTo(0, 0);
            },
          },
          this.#showsCode ? "Show digits" : "Show QR",
        ),
      ),
    ];
  }

  /** @param {Card} card @param {import("../../state/signing.js").Handed} handed */
  #card(card, { signed, then, since }) {
    const absent = signed.order.filter((number) => then.isAbsent(number));
    const link = linkOf(signed, location.origin);
    return h(
      "main",
      { "data-shows": this.#showsCode ? "code" : "digits" },
      h("p", null, h("b", null, `Signed ${moment(signed.signed_at)}`), `, ${session.held?.seat.name}, ${session.held?.show.title}. This card is shut.`),
      digits(signed.order, card.class.places),
      onPaper(card, signed),
      h(
        "div",
        { class: "apart" },
        apart(signed),
        absent.length === 0 ? null : h("p", null, h("b", null, listed(absent)), " placed, and absent by the gate"),
        since.length === 0 ? null : h("p", { class: "since" }, h("b", null, "Since it was signed: "), `${since.join("; ")}. What is signed stays.`),
      ),
      corrected(card, versions(card)),
      h(
        "div",
        { class: "code" },
        picture(link),
        digest(signed),
        h("p", null, "Any phone that has opened Nearside here reads it with its camera, without a network: order, who is not placed, and whether the digest fits."),
        h("button", { onclick: () => void this.#copy(link) }, "Copy the link"),
      ),
      h("button", { class: "print", onclick: () => print() }, "Print"),
      signs(card) && card.seat.role === "judge" && session.alone === null ? h("button", { class: "slips-of", onclick: () => go({ page: "slips" }) }, "Slips for exhibitors, and study") : null,
      signs(card) ? this.#back(card) : null,
    );
  }

  /** @param {Card} card */
  #back(card) {
    if (!this.#isTakingBack) return h("button", { class: "unsign", onclick: () => this.#ask(true) }, "Take the signature back");
    const reason = this.#reason.trim();
    const isWhole = reason !== "" && this.#initials !== "";
    return h(
      "form",
      {
        class: "unsign",
        onsubmit: (/** @type {Event} */ event) => {
          event.preventDefault();
          if (!isWhole) return;
          takeSignatureBack(card, initialed(reason, this.#initials));
          go({ page: "placing" });
        },
      },
      h("label", { for: "reason" }, "Why is it taken back?"),
      h("input", {
        id: "reason",
        ".value": this.#reason,
        maxlength: MOST_TEXT,
        autocomplete: "off",
        oninput: (/** @type {Event} */ event) => {
          this.#reason = /** @type {HTMLInputElement} */ (event.target).value;
          this.repaint();
        },
      }),
      h(
        "div",
        { class: "by" },
        h("label", { for: "initials" }, "Your initials"),
        h("input", {
          id: "initials",
          ".value": this.#initials,
          autocomplete: "off",
          autocapitalize: "characters",
          oninput: (/** @type {Event} */ event) => {
            this.#initials = initials(/** @type {HTMLInputElement} */ (event.target).value);
            this.repaint();
          },
        }),
        h("button", { type: "button", onclick: () => this.#ask(false) }, "Leave it signed"),
        h("button", { class: "main", disabled: !isWhole }, reason === "" ? "A reason is needed" : isWhole ? "Take it back" : "Initials are needed"),
      ),
    );
  }

  /** @param {boolean} isTakingBack */
  #ask(isTakingBack) {
    this.#isTakingBack = isTakingBack;
    this.#reason = this.#initials = "";
    this.repaint();
    /** @type {HTMLElement | null} */ (this.querySelector(isTakingBack ? "#reason" : ".unsign"))?.focus();
    this.querySelector(".unsign")?.scrollIntoView({ block: "end" });
  }

  /** @param {string} link */
  async #copy(link) {
    say((await copyText(link)) ? "Link copied." : "This browser does not copy by itself: show the QR.", true);
  }
}
