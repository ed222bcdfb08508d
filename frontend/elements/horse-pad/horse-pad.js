// @ts-check
/**
 * More about the open horse: a remark, the gate's word, a lameness call, a ruling, or what to do about a wrong number.
 *
 * Usage: `h("horse-pad", null)`, then `open()`. A modal dialog; its sections open one by one (HTML details).
 */

import { Part } from "../../lib/part.js";
import { capital } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";
import { MOST_TEXT } from "../../state/card.js";
import { openCompare } from "../../state/comparing.js";
import { CAUTION, GRADES } from "../../state/grades.js";
import { quickWords, setQuick, whyNotQuick } from "../../state/quick.js";
import { openNow, takes, write } from "../../state/ring.js";
import { needsReason, OUTCOMES } from "../../state/ruling.js";
import { session } from "../../state/session.js";
import { shutSaid } from "../../state/shut.js";
import { saidBy, writtenBy } from "../../state/telling.js";
import { lastSaid } from "../../state/voice.js";
import { presenceButtons } from "../gate-page/gate-row.js";

/** @typedef {import("../../state/card.js").Card} Card */
/** @typedef {import("../../state/card.js").Draft} Draft */

const TAGS = ["blemish", "possible unsoundness", "unsoundness"];

export class HorsePad extends Part {
  #isOpen = false;
  #text = "";
  #tag = "";
  #reason = "";
  #outcome = "";
  #isWrong = false;
  #changesQuick = false;
  #saidBefore = "";

  open() {
    this.#isOpen = true;
    this.#saidBefore = lastSaid().text;
    this.#isWrong = this.#changesQuick = false;
    this.#text = this.#tag = this.#reason = this.#outcome = "";
    this.repaint();
    this.querySelector("dialog")?.showModal();
  }

  draw() {
    const { card } = session;
    const { horse } = card === null ? { horse: null } : openNow(card);
    const shut = card === null ? null : shutSaid(card);
    return h(
      "dialog",
      {
        "aria-label": `More about ${horse?.number ?? ""}`,
        onclose: () => {
          this.#isOpen = false;
          this.repaint();
        },
      },
      this.#isOpen && card !== null && horse !== null
        ? h(
            "div",
            { class: "sheet" },
            h(
              "header",
              null,
              h("h2", null, h("b", null, horse.number), ` ${horse.identification ?? ""}`),
              h("button", { onclick: () => this.#close() }, "Done"),
              // Over the page's own voice lies this sheet.
              h("p", { role: "status", class: "said" }, lastSaid().text === this.#saidBefore ? "" : lastSaid().text),
            ),
            h(
              "div",
              { class: "choices" },
              h("button", { onclick: () => openCompare(card, horse.number) }, "Compare"),
              h(
                "button",
                {
                  "aria-pressed": String(this.#isWrong),
                  onclick: () => {
                    this.#isWrong = !this.#isWrong;
                    this.repaint();
                    this.querySelector("input")?.focus();
                  },
                },
                "Wrong number",
              ),
            ),
            this.#isWrong
              ? h("wrong-number", { role: "group", "aria-label": "Wrong number" })
              : [
                  shut === null ? null : h("p", { class: "caution" }, shut),
                  takes(card, "remark") && this.#remark(card, horse.number),
                  session.writes("presence") && this.#gate(card, horse.number),
                  takes(card, "lameness") && this.#lameness(card, horse.number),
                  takes(card, "ruling") && this.#ruling(card, horse.number),
                ],
          )
        : null,
    );
  }

  /** @param {Card} card @param {string} number */
  #remark(card, number) {
    return h(
      "section",
      { "aria-label": "Remarks" },
      h(
        "ul",
        null,
        ...card.remarks(number).map((note) =>
          h(
            "li",
            { key: note.id },
            h("span", null, saidBy(note), h("small", null, writtenBy(note))),
            h(
              "button",
              {
                "aria-label": `Take back: ${saidBy(note)}`,
                onclick: () =>
                  write(
                    card,
                    [{ kind: "remark", number, text: null, tag: null, about: note.about ?? note.id }],
                    `${number}: remark taken back`,
                  ),
              },
              "Take back",
            ),
          ),
        ),
      ),
      h(
        "form",
        {
          onsubmit: (/** @type {Event} */ event) => {
            event.preventDefault();
            const text = this.#text.trim() || null;
            const tag = this.#tag || null;
            if (text === null && tag === null) return;
            const isTaken = write(card, [{ kind: "remark", number, text, tag }], `${number}: remark, ${text ?? tag}`);
            if (isTaken) this.#text = this.#tag = "";
          },
        },
        h("label", { for: "remark" }, "Remark"),
        h("textarea", {
          id: "remark",
          rows: 2,
          maxlength: MOST_TEXT,
          autocapitalize: "sentences",
          lang: navigator.language,
          "aria-describedby": "remark-how",
          ".value": this.#text,
          oninput: (/** @type {Event} */ event) => {
            this.#text = /** @type {HTMLTextAreaElement} */ (event.target).value;
            this.repaint();
          },
        }),
        h("small", { id: "remark-how" }, "Type it, or tap the microphone of the phone's keyboard and say it."),
        this.#quick(),
        h(
          "div",
          { class: "tags", role: "group", "aria-label": "Kind of remark" },
          ...TAGS.map((tag) =>
            h(
              "button",
              {
                type: "button",
                "aria-pressed": String(this.#tag === tag),
                onclick: () => {
                  this.#tag = this.#tag === tag ? "" : tag;
                  this.repaint();
                },
              },
              capital(tag),
            ),
          ),
        ),
        this.#tag.includes("unsoundness") ? h("p", { class: "caution" }, CAUTION) : null,
        h(
          "button",
          { class: "main", type: "submit", disabled: this.#text.trim() === "" && this.#tag === "" },
          "Keep the remark",
        ),
      ),
    );
  }

  /** One's own quick words: a tap adds them to the remark, or takes them off the list while that is changed. */
  #quick() {
    const words = quickWords();
    const text = this.#text.trim();
    const why = whyNotQuick(text);
    return [
      words.length === 0
        ? null
        : h(
            "div",
            { key: "quick words", class: "tags", role: "group", "aria-label": "Quick words" },
            ...words.map((each) =>
              h(
                "button",
                {
                  key: each,
                  type: "button",
                  "aria-label": this.#changesQuick ? `Remove the quick words ${each}` : null,
                  onclick: () => {
                    if (this.#changesQuick) return void setQuick(each, false);
                    this.#text = (text === "" ? each : `${text}, ${each}`).slice(0, MOST_TEXT);
                    this.repaint();
                  },
                },
                this.#changesQuick ? `✕ ${each}` : each,
              ),
            ),
            h(
              "button",
              {
                key: "",
                type: "button",
                class: "change",
                "aria-pressed": String(this.#changesQuick),
                onclick: () => {
                  this.#changesQuick = !this.#changesQuick;
                  this.repaint();
                },
              },
              "Change list",
            ),
          ),
      text === "" || words.includes(text)
        ? null
        : why === null
          ? h("button", { key: "add", type: "button", onclick: () => void setQuick(text, true) }, "Add to my quick words")
          : h("small", { key: "why" }, why),
    ];
  }

  /** @param {Card} card @param {string} number */
  #gate(card, number) {
    return h(
      "details",
      null,
      h("summary", null, `Gate: ${card.presence(number)?.state ?? "nothing said"}`),
      h("div", { class: "choices" }, ...presenceButtons(card, number)),
    );
  }

  /** @param {Card} card @param {string} number */
  #lameness(card, number) {
    const own = card.used(["lameness", card.seat.card ?? card.seat.id, number]);
    const grade = own?.grade ?? null;
    return h(
      "details",
      null,
      h("summary", null, `Lameness call: ${grade === null ? "none" : `grade ${grade}`}`),
      h("p", { class: "caution" }, CAUTION),
      h(
        "div",
        { class: "grades" },
        ...GRADES.map((words, each) =>
          h(
            "button",
            {
              "aria-pressed": String(grade === each),
              onclick: () =>
                write(
                  card,
                  [call(card, number, grade === each ? null : each)],
                  `${number}: ${grade === each ? "lameness call taken back" : `lameness grade ${each}`}`,
                ),
            },
            h("b", null, String(each)),
            h("span", null, words),
          ),
        ),
      ),
    );
  }

  /** @param {Card} card @param {string} number */
  #ruling(card, number) {
    const ruling = card.ruling(number);
    const lacksReason = needsReason(this.#outcome) && this.#reason.trim() === "";
    return h(
      "details",
      null,
      h("summary", null, `Ruling: ${ruling === null ? "none" : saidBy(ruling)}`),
      h("p", { class: "caution" }, "The show's rule book governs: it says when a horse is placed last, excused or disqualified."),
      h(
        "form",
        {
          onsubmit: (/** @type {Event} */ event) => {
            event.preventDefault();
            if (this.#outcome === "" || lacksReason) return;
            const draft = { kind: "ruling", number, outcome: this.#outcome, reason: this.#reason.trim() || null };
            if (write(card, [draft], `${number}: ${draft.outcome}`)) this.#outcome = this.#reason = "";
          },
        },
        h(
          "div",
          { class: "tags", role: "group", "aria-label": "Outcome" },
          ...Object.entries(OUTCOMES).map(([outcome, words]) =>
            h(
              "button",
              {
                type: "button",
                "aria-pressed": String(this.#outcome === outcome),
                onclick: () => {
                  this.#outcome = this.#outcome === outcome ? "" : outcome;
                  this.repaint();
                },
              },
              words,
            ),
          ),
        ),
        h(
          "label",
          null,
          needsReason(this.#outcome) ? "Reason (needed)" : "Reason",
          h("input", {
            ".value": this.#reason,
            maxlength: MOST_TEXT,
            autocomplete: "off",
            oninput: (/** @type {Event} */ event) => {
              this.#reason = /** @type {HTMLInputElement} */ (event.target).value;
              this.repaint();
            },
          }),
        ),
        h(
          "div",
          { class: "choices" },
          h("button", { class: "main", type: "submit", disabled: this.#outcome === "" || lacksReason }, "Rule so"),
          ruling === null
            ? null
            : h(
                "button",
                {
                  type: "button",
                  onclick: () =>
                    write(card, [{ kind: "ruling", number, outcome: null, reason: null }], `${number}: ruling taken back`),
                },
                "Take the ruling back",
              ),
        ),
      ),
    );
  }

  #close() {
    this.querySelector("dialog")?.close();
  }
}

/** @param {Card} card @param {string} number @param {number | null} grade @returns {Draft} */
function call(card, number, grade) {
  return { kind: "lameness", number, grade, ...(card.seat.card === null ? { observer: "steward" } : {}) };
}
