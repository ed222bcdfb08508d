// @ts-check
/**
 * More about the open horse: a remark, the gate's word, what to do about a wrong number, and the way to calls and ruling.
 * A remark that is typed is never lost: Done keeps it; closed otherwise, it waits for the horse to be opened here again.
 *
 * Usage: `h("horse-pad", null)`, then `open()`. A modal dialog.
 */

import { Part } from "../../lib/part.js";
import { capital } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";
import { answer } from "../../state/answer.js";
import { MOST_TEXT } from "../../state/card.js";
import { openCompare } from "../../state/comparing.js";
import { CAUTION } from "../../state/grades.js";
import { go } from "../../state/place.js";
import { quickWords, setQuick, whyNotQuick } from "../../state/quick.js";
import { openNow, takes, write } from "../../state/ring.js";
import { session } from "../../state/session.js";
import { shutSaid } from "../../state/shut.js";
import { saidBy, writtenBy } from "../../state/telling.js";
import { lastSaid } from "../../state/voice.js";
import { presenceButtons } from "../gate-page/gate-row.js";

/** @typedef {import("../../state/card.js").Card} Card */

const TAGS = ["blemish", "possible unsoundness", "unsoundness"];
/** Remarks typed and not kept yet, by seat, class and horse. @type {Map<string, { text: string, tag: string }>} */
const drafts = new Map();

export class HorsePad extends Part {
  #isOpen = false;
  #draft = { text: "", tag: "" };
  #isWrong = false;
  #changesQuick = false;
  #saidBefore = "";

  open() {
    this.#isOpen = true;
    this.#saidBefore = lastSaid().text;
    this.#isWrong = this.#changesQuick = false;
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
                  this.#calls(card, horse.number),
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

  /** The way to all that is called and ruled of the horse. @param {Card} card @param {string} number */
  #calls(card, number) {
    if (!session.writes("lameness")) return null;
    const said = [...card.calls(number), card.ruling(number)].flatMap((note) => (note === null ? [] : saidBy(note)));
    return h(
      "button",
      {
        class: "to-calls",
        onclick: () => {
          this.#close();
          go({ page: "call", number });
        },
      },
      h("span", null, session.writes("ruling") ? "Lameness call, ruling" : "Lameness call", h("small", null, said.join("; ") || "none yet")),
      h("i", { "aria-hidden": "true" }, "›"),
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
