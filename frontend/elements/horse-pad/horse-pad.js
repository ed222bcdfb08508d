// @ts-check
/**
 * More about the open horse: a remark, the gate's word, a lameness call, a ruling, or what to do about a wrong number.
 * A remark that is typed is never lost: Done keeps it; closed otherwise, it waits for the horse to be opened here again.
 *
 * Usage: `h("horse-pad", null)`, then `open()`. A modal dialog; its sections open one by one (HTML details).
 */

import { Part } from "../../lib/part.js";
import { capital } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";
import { answer } from "../../state/answer.js";
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
/** Remarks typed and not kept yet, by seat, class and horse. @type {Map<string, { text: string, tag: string }>} */
const drafts = new Map();

export class HorsePad extends Part {
  #isOpen = false;
  #draft = { text: "", tag: "" };
  #reason = "";
  #outcome = "";
  #isWrong = false;
  #changesQuick = false;
  #saidBefore = "";

  open() {
    this.#isOpen = true;
    this.#saidBefore = lastSaid().text;
    this.#isWrong = this.#changesQuick = false;
    this.#reason = this.#outcome = "";
    this.repaint();
    this.querySelector("dialog")?.showModal();
  }

  draw() {
    const { card } = session;
    const { horse } = card === null ? { horse: null } : openNow(card);
    const shut = card === null ? null : shutSaid(card);
    const whose = `${session.notebook?.owner} ${card?.class.id} ${horse?.number}`;
    drafts.set(whose, (this.#draft = drafts.get(whose) ?? { text: "", tag: "" }));
    return h(
      "dialog",
      {
        "aria-label": `More about ${horse?.number ?? ""}`,
        onclose: () => {
          this.#isOpen = false;
          if (this.#draft.text.trim()) answer(`Not kept yet, it waits under Note: ${this.#draft.text}`);
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
              h("button", { onclick: () => (this.#isWrong || !takes(card, "remark") || this.#keep(card, horse.number)) && this.#close() }, "Done"),
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
              ...(session.writes("presence") ? presenceButtons(card, horse.number) : []),
            ),
            this.#isWrong
              ? h("wrong-number", { role: "group", "aria-label": "Wrong number" })
              : [
                  shut === null ? null : h("p", { class: "caution" }, shut),
                  takes(card, "remark") && this.#remark(card, horse.number),
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
            this.#keep(card, number);
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
          ".value": this.#draft.text,
          oninput: (/** @type {Event} */ event) => {
            this.#draft.text = /** @type {HTMLTextAreaElement} */ (event.target).value;
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
                "aria-pressed": String(this.#draft.tag === tag),
                onclick: () => {
                  this.#draft.tag = this.#draft.tag === tag ? "" : tag;
                  this.repaint();
                },
              },
              capital(tag),
            ),
          ),
        ),
        this.#draft.tag.includes("unsoundness") ? h("p", { class: "caution" }, CAUTION) : null,
        h(
          "button",
          { class: "main", type: "submit", disabled: this.#draft.text.trim() === "" && this.#draft.tag === "" },
          "Keep the remark",
        ),
      ),
    );
  }

  /** One's own quick words: a tap adds them to the remark, or takes them off the list while that is changed. */
  #quick() {
    const words = quickWords();
    const text = this.#draft.text.trim();
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
                    this.#draft.text = (text === "" ? each : `${text}, ${each}`).slice(0, MOST_TEXT);
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

  /** Keep what is typed of a horse, if anything is. @param {Card} card @param {string} number @returns {boolean} whether nothing is left to keep */
  #keep(card, number) {
    const text = this.#draft.text.trim() || null;
    const tag = this.#draft.tag || null;
    if ((text ?? tag) === null) return true;
    const isTaken = write(card, [{ kind: "remark", number, text, tag }], `${number}: remark, ${text ?? tag}`);
    if (isTaken) Object.assign(this.#draft, { text: "", tag: "" });
    return isTaken;
  }

  #close() {
    this.querySelector("dialog")?.close();
  }
}

/** @param {Card} card @param {string} number @param {number | null} grade @returns {Draft} */
function call(card, number, grade) {
  return { kind: "lameness", number, grade, ...(card.seat.card === null ? { observer: "steward" } : {}) };
}
