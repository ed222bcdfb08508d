// @ts-check
/**
 * All that is said of one horse's lameness, and the ruling. The gate says first whose word it writes down, then what was
 * seen; the judge reads what was called, and rules with two taps.
 *
 * Usage: `<call-page></call-page>`; a page. Sources and outcomes are toggle buttons (ARIA pressed), one of them at most.
 */

import { Part, show } from "../../lib/part.js";
import { capital, clock } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";
import { answer } from "../../state/answer.js";
import { askAgain, asksRuling, callOf, callsWritten, inThePlaceOf, openCalls, seeCalls, seenSaid, sourceOf, sources, STEWARD, whoSays, writeCall } from "../../state/calls.js";
import { MOST_TEXT } from "../../state/card.js";
import { FIRST_GRADES, GRADES, OBSERVATION } from "../../state/grades.js";
import { goBack } from "../../state/place.js";
import { openNow, takes } from "../../state/ring.js";
import { needsReason, OUTCOMES, reasonCalled, rule } from "../../state/ruling.js";
import { session } from "../../state/session.js";
import { shutSaid } from "../../state/shut.js";
import { saidBy, writtenBy } from "../../state/telling.js";
import { undoButton } from "../thumb-bar/undo-button.js";

/** @typedef {import("../../state/card.js").Card} Card */
/** @typedef {import("../../state/calls.js").Source} Source */

/** @type {["gait" | "limb" | "circumstance", string, string[]][]} */
const DETAILS = [
  ["gait", "Gait", ["walk", "trot", "standing"]],
  ["limb", "Limb, as it looked", ["left fore", "right fore", "left hind", "right hind", "not sure which"]],
  ["circumstance", "Circumstance", ["straight line", "circle", "hard ground", "every stride"]],
];
/** @type {Readonly<Record<string, string>>} */
const RULES_SO = { placed: "Place it after all", last: "Place it last", excused: "Excuse it", disqualified: "Disqualify it" };

export class CallPage extends Part {
  #of = "";
  #source = "";
  #isWhole = false;
  #outcome = "";
  #reason = "";
  /** What is typed and not kept yet, by whose word it is. @type {Record<string, string>} */
  #words = {};

  draw() {
    const { card } = session;
    const horse = card === null ? null : openNow(card).horse;
    if (card === null || horse === null) return [h("class-bar", { ".about": "lameness" }), h("p", { class: "opening" }, "Opening the class")];
    const { number, identification } = horse;
    if (this.#of !== number) {
      this.#of = number;
      this.#forget();
    }
    const shut = shutSaid(card);
    return [
      h("class-bar", { ".about": `lameness of ${number}` }),
      h(
        "main",
        null,
        h("h2", { class: "horse" }, h("b", null, number), ` ${identification ?? ""}`),
        h("p", { class: "stop" }, h("b", null, "In distress? Stop the horse first,"), " halt the class and call the veterinarian. The notes can wait."),
        h("p", { class: "caution narrow" }, OBSERVATION),
        shut === null ? null : h("p", { class: "caution" }, shut),
        card.seat.card === null ? null : this.#called(card, number),
        takes(card, "ruling") ? this.#ruling(card, number) : null,
        takes(card, "lameness") ? this.#call(card, number) : null,
        this.#written(card, number),
      ),
      h("footer", null, h("p", { class: "caution" }, OBSERVATION), this.#moves(card, number)),
    ];
  }

  #forget() {
    this.#source = this.#outcome = this.#reason = "";
    this.#words = {};
    this.#isWhole = false;
  }

  /** What others say, for the judge. @param {Card} card @param {string} number */
  #called(card, number) {
    const calls = card.calls(number).filter((call) => sourceOf(call) !== card.name || call.by !== card.seat.id);
    if (calls.length === 0) return null;
    return h(
      "ul",
      { class: "called", "aria-label": "Called by others" },
      ...calls.map((call) =>
        h(
          "li",
          { key: call.id, class: asksRuling(call) ? "grave" : null },
          h("b", null, `${whoSays(card, call)}: `),
          capital(seenSaid(call)),
          h("small", null, clock(call.at, Date.now()), asksRuling(call) ? ". Your ruling is asked for." : ""),
        ),
      ),
    );
  }

  /** @param {Card} card @param {string} number */
  #ruling(card, number) {
    const ruling = card.ruling(number);
    const isGrave = card.calls(number).some(asksRuling);
    // To send a horse out is offered first where one is plainly lame; else it is the last step.
    const called = reasonCalled(card, number);
    const outcomes = isGrave ? ["excused", "disqualified", "last", "placed"] : ["placed", "last", "excused", "disqualified"];
    return h(
      "section",
      { "aria-labelledby": "ruling" },
      h("h2", { id: "ruling" }, `Your ruling: ${ruling === null ? "none" : saidBy(ruling)}`),
      h(
        "div",
        { class: "pick", role: "group", "aria-label": "Ruling" },
        ...outcomes.map((outcome) =>
          h(
            "button",
            {
              "aria-pressed": String(this.#outcome === outcome),
              onclick: (/** @type {Event} */ event) => {
                this.#outcome = this.#outcome === outcome ? "" : outcome;
                // What was typed stays, whatever is ruled.
                if (["", called].includes(this.#reason.trim())) this.#reason = needsReason(this.#outcome) ? called : "";
                this.repaint();
                if (this.#outcome !== "") show(event);
              },
            },
            OUTCOMES[outcome] ?? outcome,
          ),
        ),
      ),
      this.#outcome === ""
        ? null
        : h(
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
      ruling === null ? null : h("button", { onclick: () => rule(card, number, null, "") }, "Take the ruling back"),
      h("p", { class: "rules" }, "The show's rule book governs who is placed last, excused or disqualified."),
    );
  }

  /** @param {Card} card @param {string} number */
  #call(card, number) {
    const all = sources(card);
    const source = all.length === 1 ? all[0] : all.find(({ key }) => key === this.#source);
    return h(
      "section",
      { "aria-labelledby": "call" },
      h("h2", { id: "call" }, all.length === 1 ? "Your own call" : "Who says it?"),
      all.length === 1
        ? null
        : h(
            "div",
            { class: "sources", role: "group", "aria-label": "Who says it" },
            ...all.map(({ key, says }) =>
              h(
                "button",
                {
                  "aria-pressed": String(source?.key === key),
                  "data-source": key === STEWARD || key === "veterinarian" ? key : "judge",
                  onclick: () => {
                    this.#source = key;
                    this.#isWhole = false;
                    this.repaint();
                  },
                },
                says,
              ),
            ),
          ),
      source === undefined ? null : this.#seen(card, number, source),
    );
  }

  /** What was seen, as one source says it. @param {Card} card @param {string} number @param {Source} source */
  #seen(card, number, source) {
    const own = callOf(card, number, source.key);
    const grade = own?.grade ?? null;
    const other = inThePlaceOf(card, number, source.key);
    if (other !== null && source.key === STEWARD) {
      return h("p", { class: "caution" }, "You wrote down the veterinarian's word on this horse, and it goes before your own. To ask by yourself, take that back first.");
    }
    const isWhole = this.#isWhole || (grade !== null && !FIRST_GRADES.includes(grade) && !(source.key === STEWARD && grade === 1));
    const grades = isWhole ? GRADES.map((_, each) => each) : FIRST_GRADES;
    return h(
      "div",
      { class: "seen", role: "group", "aria-label": source.says },
      other === null ? null : h("p", { class: "caution" }, "This takes the place of what you asked yourself; both stay on record."),
      source.key !== STEWARD || isWhole
        ? null
        : this.#gradeButton(grade === 1, "Look again", "without a word on how lame", () => (grade === 1 ? writeCall(card, number, source.key, { grade: null }) : askAgain(card, number))),
      ...grades.map((each) =>
        this.#gradeButton(grade === each, capital(GRADES[each] ?? ""), `grade ${each}`, () => writeCall(card, number, source.key, { grade: grade === each ? null : each })),
      ),
      isWhole
        ? null
        : h(
            "button",
            {
              class: "whole",
              "aria-expanded": "false",
              onclick: () => {
                this.#isWhole = true;
                this.repaint();
              },
            },
            "The whole scale, 0 to 5",
          ),
      grade !== null && grade >= 4 && card.seat.card === null ? h("p", { class: "asked" }, h("b", null, "The judge is asked for a ruling.")) : null,
      grade === null ? null : this.#details(card, number, source),
    );
  }

  /** @param {boolean} isPressed @param {string} words @param {string} small @param {() => void} act */
  #gradeButton(isPressed, words, small, act) {
    return h("button", { key: words, class: "grade", "aria-pressed": String(isPressed), onclick: act }, h("span", null, words), h("small", null, small));
  }

  /** @param {Card} card @param {string} number @param {Source} source */
  #details(card, number, { key }) {
    const own = callOf(card, number, key);
    const words = this.#words[key] ?? "";
    return h(
      "details",
      { key: "details" },
      h("summary", null, "Add how it was seen"),
      ...DETAILS.map(([field, title, choices]) =>
        h(
          "div",
          { key: field, class: "tags", role: "group", "aria-label": title },
          h("span", null, title),
          ...choices.map((each) =>
            h("button", { "aria-pressed": String(own?.[field] === each), onclick: () => writeCall(card, number, key, { [field]: own?.[field] === each ? null : each }) }, capital(each)),
          ),
        ),
      ),
      h(
        "form",
        {
          onsubmit: (/** @type {Event} */ event) => {
            event.preventDefault();
            if (words.trim() !== "" && writeCall(card, number, key, { text: words.trim() })) delete this.#words[key];
            this.repaint();
          },
        },
        h("label", { for: "seen-words" }, "In words: what was seen, no cause"),
        h("input", {
          id: "seen-words",
          ".value": words,
          maxlength: MOST_TEXT,
          autocomplete: "off",
          placeholder: own?.text ?? "",
          oninput: (/** @type {Event} */ event) => {
            this.#words[key] = /** @type {HTMLInputElement} */ (event.target).value;
            this.repaint();
          },
        }),
        h("button", { disabled: words.trim() === "" }, "Keep the words"),
      ),
    );
  }

  /** Every call as it was written. @param {Card} card @param {string} number */
  #written(card, number) {
    const all = callsWritten(card, number);
    if (all.length === 0) return null;
    return h("section", null, h("h2", null, "As it was written down"), callList(card, all, false));
  }

  /** @param {Card} card @param {string} number */
  #moves(card, number) {
    const waits = openCalls(card).filter((call) => call.number === number);
    const lacksReason = needsReason(this.#outcome) && this.#reason.trim() === "";
    const rules = () => {
      const said = `${number}: ${this.#outcome}`;
      if (!rule(card, number, this.#outcome, this.#reason)) return;
      seeCalls(card, number);
      this.#forget();
      // Said where one comes back to.
      addEventListener("popstate", () => answer(said), { once: true });
      goBack();
    };
    return h(
      "div",
      { class: "moves" },
      h("button", { onclick: () => goBack() }, card.seat.card === null ? "‹ Gate" : "‹ Back"),
      undoButton(),
      this.#outcome !== "" && takes(card, "ruling")
        ? h("button", { key: "rule", class: "main all", disabled: lacksReason, onclick: rules }, lacksReason ? "A reason is needed" : `${RULES_SO[this.#outcome]}: ${number}`)
        : waits.length > 0 && !waits.some(asksRuling)
          ? h(
              "button",
              {
                key: "seen",
                class: "main all",
                onclick: () => {
                  seeCalls(card, number);
                  goBack();
                },
              },
              "Seen, no ruling now",
            )
          : null,
    );
  }
}

/** @param {Card} card @param {ReturnType<typeof callsWritten>} all @param {boolean} isNamed with the horse's number */
export function callList(card, all, isNamed) {
  return h(
    "ol",
    { class: "call-list" },
    ...all.map(({ note, number, isChanged }) =>
      h(
        "li",
        { key: note.id },
        isNamed ? h("b", null, number) : null,
        h("span", null, h("b", null, `${whoSays(card, note)}: `), seenSaid(note), isChanged ? h("i", null, " (changed since)") : null, h("small", null, capital(writtenBy(note)))),
      ),
    ),
  );
}
