// @ts-check
/**
 * A judge's card on paper, entered by the office: the numbers in order, read back with what each horse is known by, and only
 * then taken as signed. Or the QR of a card that was signed on a phone with no network, by camera or as its link.
 *
 * A signature that stands is taken back first: the office's own here, the judge's by the judge. Usage:
 * `<paper-page></paper-page>`; a page, with its h1, which begins with the class in the address, or the one in the ring.
 */

import { capital, counted, listed, moment, ordinal } from "../../lib/phrases.js";
import { QrCamera } from "../../lib/qr-camera.js";
import { h } from "../../lib/view.js";
import { cardIn, readLink } from "../../state/cardlink.js";
import { numbersIn } from "../../state/entering.js";
import { initialed, initials } from "../../state/versions.js";
import { classWith, dayClasses, desk, judgesOf, nameOf } from "../desk.js";
import { field, form, select, text } from "../fields.js";
import { current, horsesOf, standing } from "../horses.js";
import { OfficePage } from "../office-page.js";
import { addressOf, at } from "../place.js";

/** @typedef {import("../desk.js").DeskClass} DeskClass */
/** @typedef {import("../desk.js").DeskSeat} DeskSeat */
/** @typedef {import("../horses.js").Note} Note */

export class PaperPage extends OfficePage {
  /** @type {string[]} */
  #order = [];
  /** @type {string | null} */
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
    if (classes.length === 0) return [h("h1", { tabindex: -1 }, "Paper card"), h("p", null, "No class yet.")];
    // What the page was opened for stays, whatever the ring does meanwhile.
    this.#class ??= (classes.find(({ stage }) => stage === "ring") ?? classes[0])?.id ?? null;
    const dayClass = classes.find(({ id }) => id === this.#class) ?? null;
    const judges = dayClass === null ? [] : judgesOf(dayClass);
    this.#judge ||= judges[0]?.id ?? "";
    const judge = judges.find(({ id }) => id === this.#judge) ?? null;
    return [
      h("h1", { tabindex: -1 }, "Paper card"),
      h("p", { class: "help" }, "A card a judge wrote on paper. It is shown everywhere as from paper, entered by the office."),
      h(
        "div",
        { class: "beside" },
        select("Class", { onchange: (/** @type {Event} */ event) => this.#choose(valueOf(event), "") }, choices(classes.map(({ id, title }) => [id, title]), dayClass), dayClass?.id),
        dayClass === null || judges.length === 0
          ? null
          : select("Card of", { onchange: (/** @type {Event} */ event) => this.#choose(dayClass.id, valueOf(event)) }, choices(judges.map(({ id, name }) => [id, name]), judge), judge?.id),
      ),
      this.heard("card"),
      dayClass === null
        ? h("p", { class: "caution" }, "No such class: it was taken away, or is judged as part of another. Choose the class.")
        : judges.length === 0
          ? h("p", null, "This class has no judge yet. ", h("a", { href: addressOf("seats") }, "Add one under Seats"), ".")
          : judge === null
            ? h("p", { class: "caution" }, `${capital(nameOf(this.#judge))} does not judge this class any more. Choose whose card it is.`)
            : this.#card(dayClass, judge),
    ];
  }

  /** @param {DeskClass} dayClass @param {DeskSeat} judge */
  #card(dayClass, judge) {
    const signed = dayClass.signed[judge.id] ?? null;
    const notes = standing(desk.notes.get(dayClass.id), judge.id);
    const paper = notes.filter(({ by }) => by !== judge.id);
    if (paper.length > 0) return [this.#entered(dayClass, judge, paper, signed), this.#phone()];
    if (signed !== null) {
      return [
        h(
          "p",
          { class: "caution" },
          `This card is signed${signed.from_paper ? ", from paper, entered by the office" : ""}, ${moment(signed.at)}: ${listed(signed.numbers)}. `,
          `To correct it, ${judge.name} takes the signature back on the signed card, with a reason, and signs anew; or the office enters it here from paper after that.`,
        ),
        this.#phone(),
      ];
    }
    return this.#isReadBack ? this.#readBack(dayClass, judge) : [this.#typing(dayClass), this.#phone()];
  }

  /** A paper card that stands is taken back before another is entered. @param {DeskClass} dayClass @param {DeskSeat} judge @param {Note[]} paper @param {DeskClass["signed"][string] | null} signed */
  #entered(dayClass, judge, paper, signed) {
    const [newest] = paper.toSorted((a, b) => b.at - a.at);
    return form(
      { class: "way stacked standing" },
      (said) => void this.#takeBack(dayClass, judge, paper, said),
      signed === null
        ? h("p", { class: "caution" }, `The office entered this card from paper, ${moment(newest?.at ?? 0)}: ${listed(newest?.numbers ?? [])}. It is out when every judge of the class has signed.`)
        : h("p", { class: "caution" }, `This card is signed, from paper, entered by the office, ${moment(signed.at)}: ${listed(signed.numbers)}.`),
      h("p", null, "Entered wrongly? Take it back, and enter it anew. What was entered before stays on record, with the reason."),
      field("Reason", { name: "reason", maxlength: 280, placeholder: "as mistyped" }),
      field("Your initials", { name: "initials", autocapitalize: "characters", maxlength: 12 }),
      h("button", { disabled: this.isBusy("back") }, "Take the paper card back"),
      this.heard("back"),
    );
  }

  /** @param {DeskClass} dayClass */
  #typing(dayClass) {
    const horses = horsesOf(dayClass, desk.notes.get(dayClass.id));
    const left = horses.filter(({ number, state }) => !this.#order.includes(number) && state !== "absent").map(({ number }) => number);
    return h(
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
    );
  }

  /** A card signed on a phone. */
  #phone() {
    return h(
      "section",
      { key: "phone" },
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
    );
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

  /** @param {DeskClass} dayClass @param {DeskSeat} judge */
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

  /** Another card: what was put in order belongs to the one before. @param {string} ofClass @param {string} judge empty: the first one */
  #choose(ofClass, judge) {
    const cleared = this.#order.length === 0 ? "" : `The order put in so far is cleared: it was for the card of ${nameOf(this.#judge)}, “${classWith(this.#class)?.title ?? "a class that is gone"}”.`;
    this.#order = [];
    this.#class = ofClass;
    this.#judge = judge;
    this.#isReadBack = false;
    this.say("card", cleared);
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
    const dayClass = card.show === desk.show?.id ? dayClasses().find(({ id }) => id === card.class) : undefined;
    if (dayClass === undefined) return `That is a card of “${card.title}”, which is no class of this show.`;
    if (judgesOf(dayClass).every(({ id }) => id !== card.card)) return `That is the card of ${nameOf(card.card)}, who does not judge “${dayClass.title}”. Only the card of a judge of the class is entered.`;
    this.#choose(card.class, card.card);
    this.#order = [...card.order];
    this.say("link", "");
    const next = standing(desk.notes.get(card.class), card.card).length > 0 || dayClass.signed[card.card] !== undefined ? "A card stands already, as below; it is taken back first." : "Read it back.";
    this.say("card", `Read: the card of ${nameOf(card.card)}, ${counted(card.order.length, "horse")}, signed ${moment(card.signed_at)}. ${next}`);
    return null;
  }

  /** @param {DeskClass} dayClass @param {string} card */
  async #sign(dayClass, card) {
    const replaces = current(desk.notes.get(dayClass.id), ["sign", card], card);
    const isDone = await this.act("sign", () => desk.write(dayClass.id, [{ kind: "sign", card, numbers: this.#order, reason: null, replaces }]));
    if (!isDone) return;
    this.#order = [];
    this.#turn(false);
    this.say("card", `Entered: the card of ${nameOf(card)} for “${dayClass.title}”, from paper.`);
  }

  /** @param {DeskClass} dayClass @param {DeskSeat} judge @param {Note[]} paper @param {FormData} said */
  async #takeBack(dayClass, { id, name }, paper, said) {
    const [reason, by] = [text(said, "reason"), initials(text(said, "initials"))];
    if (reason === "" || by === "") return this.say("back", `Type ${reason === "" ? "the reason it is taken back" : "your initials"}.`, true);
    const draft = { kind: "sign", card: id, numbers: null, reason: initialed(reason, by), replaces: paper.map((each) => each.id) };
    if (await this.act("back", () => desk.write(dayClass.id, [draft]))) this.say("card", `Taken back: the paper card of ${name}. It can be entered anew.`);
  }
}

/** What can be chosen; where what was chosen is gone, nothing is chosen. @param {[string, string][]} pairs @param {unknown} chosen @returns {[string, string][]} */
function choices(pairs, chosen) {
  return chosen === null ? [["", "Choose"], ...pairs] : pairs;
}

/** @param {Event} event */
function valueOf(event) {
  return /** @type {HTMLSelectElement} */ (event.target).value;
}
