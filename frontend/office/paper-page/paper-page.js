// @ts-check
/**
 * A judge's card on paper, entered by the office: the numbers in order, read back with what each horse is known by, and only
 * then taken as signed. Or the QR of a card that was signed on a phone with no network, by camera or as its link.
 *
 * Usage: `<paper-page></paper-page>`; a page, with its h1, which begins with the class in the address, or the one in the ring.
 */

import { counted, listed, moment, ordinal } from "../../lib/phrases.js";
import { QrCamera } from "../../lib/qr-camera.js";
import { h } from "../../lib/view.js";
import { cardIn, readLink } from "../../state/cardlink.js";
import { numbersIn } from "../../state/entering.js";
import { classWith, dayClasses, desk, judgesOf, nameOf } from "../desk.js";
import { field, form, select, text } from "../fields.js";
import { current, entered, horsesOf } from "../horses.js";
import { OfficePage } from "../office-page.js";
import { addressOf, at } from "../place.js";

/** @typedef {import("../desk.js").DeskClass} DeskClass */

export class PaperPage extends OfficePage {
  /** @type {string[]} */
  #order = [];
  #class = at().of;
  #judge = "";
  #isReadBack = false;
  #camera = new QrCamera(
    (read) => this.#take(read),
    () => {
      if (this.isConnected) this.repaint();
    },
  );

  disconnectedCallback() {
    super.disconnectedCallback();
    this.#camera.stop();
  }

  draw() {
    const classes = dayClasses();
    const dayClass = classWith(this.#class) ?? classes.find(({ stage }) => stage === "ring") ?? classes[0] ?? null;
    if (dayClass === null) return [h("h1", { tabindex: -1 }, "Paper card"), h("p", null, "No class yet.")];
    const judges = judgesOf(dayClass);
    const judge = judges.find(({ id }) => id === this.#judge) ?? judges[0] ?? null;
    const signed = judge === null ? null : (dayClass.signed[judge.id] ?? null);
    const own = judge === null || signed !== null ? null : entered(desk.notes.get(dayClass.id), judge.id);
    return [
      h("h1", { tabindex: -1 }, "Paper card"),
      h("p", { class: "help" }, "A card a judge wrote on paper. It is shown everywhere as from paper, entered by the office."),
      h(
        "div",
        { class: "beside" },
        select("Class", { onchange: (/** @type {Event} */ event) => this.#choose(valueOf(event), this.#judge) }, classes.map(({ id, title }) => [id, title]), dayClass.id),
        judge === null ? null : select("Card of", { onchange: (/** @type {Event} */ event) => this.#choose(dayClass.id, valueOf(event)) }, judges.map(({ id, name }) => [id, name]), judge.id),
      ),
      judge === null
        ? h("p", null, "This class has no judge yet. ", h("a", { href: addressOf("seats") }, "Add one under Seats"), ".")
        : [
            signed === null
              ? null
              : h(
                  "p",
                  { class: "caution" },
                  `This card is signed${signed.from_paper ? ", from paper, entered by the office" : ""}, ${moment(signed.at)}: ${listed(signed.numbers)}. What is entered now takes its place.`,
                ),
            own === null
              ? null
              : h(
                  "p",
                  { class: "caution" },
                  `The office entered this card from paper, ${moment(own.at)}: ${listed(own.numbers ?? [])}. It is out when every judge of the class has signed. What is entered now takes its place.`,
                ),
            this.#isReadBack ? this.#readBack(dayClass, judge) : this.#typing(dayClass),
          ],
    ];
  }

  /** @param {DeskClass} dayClass */
  #typing(dayClass) {
    const horses = horsesOf(dayClass, desk.notes.get(dayClass.id));
    const left = horses.filter(({ number, state }) => !this.#order.includes(number) && state !== "absent").map(({ number }) => number);
    return [
      h(
        "section",
        null,
        h("h2", null, "The order, best first"),
        this.#order.length === 0 ? null : this.#list(dayClass, true),
        form(
          { class: "line" },
          (said, of) => this.#add(said, of, horses),
          field(`${ordinal(this.#order.length + 1)}`, { name: "number", autocapitalize: "characters", "aria-describedby": "left" }),
          h("button", null, "Put it there"),
          this.heard("add"),
        ),
        h("p", { id: "left", class: "help" }, left.length === 0 ? "Every horse that is not absent is in the order." : `Not in the order yet: ${listed(left)}.`),
        this.#order.length === 0 ? null : h("button", { type: "button", class: "main", onclick: () => this.#turn(true) }, "Read it back"),
      ),
      h(
        "section",
        null,
        h("h2", null, "Or from a phone that has no network"),
        h("p", { class: "help" }, "The QR of its signed card, read here by the camera or pasted as its link."),
        this.#camera.draw("Read a card's QR"),
        form(
          { class: "line" },
          (said) => {
            const problem = this.#take(text(said, "link"));
            if (problem !== null) this.say("link", problem, true);
          },
          field("Link of a signed card", { name: "link" }),
          h("button", null, "Read it"),
          this.heard("link"),
        ),
      ),
    ];
  }

  /** @param {DeskClass} dayClass @param {boolean} isTyped */
  #list(dayClass, isTyped) {
    const horses = horsesOf(dayClass, desk.notes.get(dayClass.id));
    return h(
      "ol",
      { class: isTyped ? "order" : "order large" },
      ...this.#order.map((number, place) => {
        const horse = horses.find((each) => each.number === number);
        return h(
          "li",
          { key: number },
          h("span", null, ordinal(place + 1)),
          h("b", null, number),
          h(
            "span",
            { class: horse === undefined ? "problem" : null },
            horse === undefined ? "! not entered in this class" : (horse.entry.identification ?? "no marks known"),
            horse?.state === "absent" ? h("b", { class: "problem" }, " ! absent by the gate") : null,
          ),
          isTyped
            ? h(
                "span",
                { class: "moves" },
                h("button", { type: "button", class: "quiet", disabled: place === 0, "aria-label": `${number} one place up`, onclick: () => this.#move(place) }, "↑"),
                h("button", { type: "button", class: "quiet", "aria-label": `${number} out of the order`, onclick: () => this.#drop(number) }, "✗"),
              )
            : null,
        );
      }),
    );
  }

  /** @param {DeskClass} dayClass @param {import("../desk.js").DeskSeat} judge */
  #readBack(dayClass, judge) {
    const horses = horsesOf(dayClass, desk.notes.get(dayClass.id));
    const strange = this.#order.filter((number) => horses.every((each) => each.number !== number));
    const left = horses.filter(({ number, state }) => !this.#order.includes(number) && state !== "absent").map(({ number }) => number);
    return h(
      "section",
      { class: "back" },
      h("h2", { tabindex: -1 }, `Read back: ${dayClass.title}, card of ${judge.name}`),
      h("p", { class: "help" }, "Read it aloud against the sheet, number and marks, from the last to the first."),
      this.#list(dayClass, false),
      left.length === 0 ? null : h("p", null, `Left out by the card: ${listed(left)}.`),
      strange.length === 0 ? null : h("p", { class: "problem" }, `${listed(strange)} ${strange.length === 1 ? "is" : "are"} not entered in this class: go back and put it right.`),
      h(
        "div",
        { class: "choices" },
        h(
          "button",
          { type: "button", class: "main", disabled: strange.length > 0 || this.isBusy("sign"), onclick: () => void this.#sign(dayClass, judge.id) },
          `It is so: enter the card of ${judge.name}`,
        ),
        h("button", { type: "button", onclick: () => this.#turn(false) }, "Back to the order"),
      ),
      this.heard("sign"),
    );
  }

  /** @param {FormData} said @param {HTMLFormElement} of @param {readonly import("../horses.js").Horse[]} horses */
  #add(said, of, horses) {
    const numbers = numbersIn(text(said, "number"));
    const field = /** @type {HTMLInputElement} */ (of.elements.namedItem("number"));
    field.focus();
    const strange = numbers.filter((number) => horses.every((each) => each.number !== number));
    const twice = numbers.filter((number, place) => this.#order.includes(number) || numbers.indexOf(number) !== place);
    if (numbers.length === 0) return this.say("add", "Type the number.", true);
    if (strange.length > 0) return this.say("add", `${listed(strange)} ${strange.length === 1 ? "is" : "are"} not entered in this class.`, true);
    if (twice.length > 0) return this.say("add", `${listed(twice)} ${twice.length === 1 ? "is" : "are"} in the order already.`, true);
    this.#order.push(...numbers);
    field.value = "";
    this.say("add", "");
  }

  /** @param {number} place */
  #move(place) {
    const [moved] = this.#order.splice(place, 1);
    this.#order.splice(place - 1, 0, String(moved));
    this.repaint();
  }

  /** @param {string} number */
  #drop(number) {
    this.#order = this.#order.filter((each) => each !== number);
    this.repaint();
  }

  /** Another card: what was typed belongs to the one before. @param {string} ofClass @param {string} judge */
  #choose(ofClass, judge) {
    if (ofClass !== this.#class) this.#order = [];
    this.#class = ofClass;
    this.#judge = judge;
    this.#isReadBack = false;
    this.repaint();
  }

  /** @param {boolean} isReadBack */
  #turn(isReadBack) {
    this.#isReadBack = isReadBack;
    this.repaint();
    /** @type {HTMLElement | null} */ (this.querySelector(isReadBack ? ".back h2" : "h1"))?.focus();
  }

  /** A card from its link. @param {string} link @returns {string | null} why not */
  #take(link) {
    const read = readLink(cardIn(link) ?? link);
    if ("problem" in read) return read.problem;
    const { card, fits } = read;
    if (!fits) return "Something was lost or changed on the way: read the QR again, or have the order read aloud.";
    if (card.show !== desk.show?.id || classWith(card.class) === null) return `That is a card of “${card.title}”, which is no class of this show.`;
    this.#choose(card.class, card.card);
    this.#order = [...card.order];
    this.say("link", `Read: the card of ${nameOf(card.card)}, ${counted(card.order.length, "horse")}, signed ${moment(card.signed_at)}. Read it back.`);
    return null;
  }

  /** @param {DeskClass} dayClass @param {string} card */
  async #sign(dayClass, card) {
    const replaces = current(desk.notes.get(dayClass.id), ["sign", card], card);
    const isDone = await this.act("sign", () => desk.write(dayClass.id, [{ kind: "sign", card, numbers: this.#order, reason: null, replaces }]));
    if (!isDone) return;
    this.#order = [];
    this.#turn(false);
    this.say("add", `Entered: the card of ${nameOf(card)} for “${dayClass.title}”, from paper.`);
  }
}

/** @param {Event} event */
function valueOf(event) {
  return /** @type {HTMLSelectElement} */ (event.target).value;
}
