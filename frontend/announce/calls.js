// @ts-check
/**
 * The record of lameness calls, to be read or printed for the show's veterinarian: by class and horse, each caller apart,
 * every version in its order. What one person saw at one moment; nothing is added to it.
 *
 * @typedef {{ role: string | null, name: string | null }} Writer
 * @typedef {{ at: number, written_by: Writer, number: string, again: "first" | "same" | "changed" | "taken_back", stands: boolean }} Version
 * @typedef {Version & { grade: number | null, gait: string | null, limb: string | null, circumstance: string | null, text: string | null }} SaidCall
 * @typedef {Version & { outcome: string | null, reason: string | null }} SaidRuling
 * @typedef {{ card: string | null, observer: string | null, name: string | null, disputed: boolean, said: SaidCall[] }} Caller
 * @typedef {{ card: string, name: string | null, disputed: boolean, said: SaidRuling[] }} Ruler
 * @typedef {{ card: string, name: string | null, state: "placed" | "left_out" | "open", place: number | null, at: number | null }} Signed
 * @typedef {{ number: string, identification: string | null, horse?: string | null, calls: Caller[], rulings: Ruler[], signed: Signed[] }} CalledHorse
 * @typedef {{ id: string, title: string, lameness: { from_grade: number, outcome: string } | null, horses: CalledHorse[] }} CalledClass
 * @typedef {{ show: { title: string }, caution: string, classes: CalledClass[] }} Calls
 */

import { capital, moment, ordinal } from "../lib/phrases.js";
import { h } from "../lib/view.js";
import { GRADES } from "../state/grades.js";

/** @type {Readonly<Record<string, string>>} */
const OUTCOMES = {
  last: "placed last",
  not_placed: "not placed",
  ignored: "no effect on the placing",
  placed: "placed as judged",
  excused: "excused",
  disqualified: "disqualified",
};
/** @type {Readonly<Record<Version["again"], string>>} */
const AGAIN = { first: "", same: "looked again, the same: ", changed: "looked again, changed: ", taken_back: "taken back" };

/** @param {Calls} record @param {number} now_ms */
export function callsDrawn({ show, caution, classes }, now_ms) {
  return [
    h("p", { class: "caution" }, caution),
    classes.length === 0 ? h("p", null, "No call that you may read was made.") : null,
    ...classes.map(({ id, title, lameness, horses }) =>
      h(
        "section",
        { key: id, class: "called" },
        h("h2", null, title),
        h("p", null, `${show.title}. ${ruleSaid(lameness)}`),
        ...horses.map(horseDrawn),
      ),
    ),
    h("p", { class: "printed" }, `As it stood ${moment(now_ms)}.`),
  ];
}

/** @param {CalledClass["lameness"]} rule */
function ruleSaid(rule) {
  const { from_grade, outcome } = rule ?? { from_grade: 3, outcome: "last" };
  return outcome === "ignored" ? "By the rule of this class a lameness has no effect on the placing." : `By the rule of this class from grade ${from_grade}: ${OUTCOMES[outcome] ?? outcome}.`;
}

/** @param {CalledHorse} horse */
function horseDrawn({ number, identification, horse, calls, rulings, signed }) {
  return h(
    "article",
    { key: number, class: "called-horse" },
    h("h3", null, h("b", null, number), ` ${[identification, horse].filter(Boolean).join(", ")}`),
    ...calls.map((caller, each) =>
      h(
        "div",
        { key: each },
        h("h4", null, `${capital(callerSaid(caller))}${caller.disputed ? " (two devices differ; the later word is used)" : ""}`),
        h("ol", null, ...caller.said.map((version, index) => h("li", { key: index }, said(version, number, callSaid(version))))),
      ),
    ),
    rulings.length === 0 && signed.length === 0
      ? null
      : h(
          "div",
          { key: "followed" },
          h("h4", null, "What followed"),
          h(
            "ol",
            null,
            ...rulings.flatMap((ruler) => ruler.said.map((each, index) => h("li", { key: `${ruler.card} ${index}` }, said(each, number, rulingSaid(each)), ` Decided by ${ruler.name ?? `judge ${ruler.card}`}.`))),
            ...signed.map((each) => h("li", { key: `signed ${each.card}` }, signedSaid(each))),
          ),
        ),
  );
}

/** @param {Caller} caller */
function callerSaid({ card, observer, name }) {
  if (card !== null) return `on the card of ${name ?? `judge ${card}`}`;
  return observer === "veterinarian" ? "the veterinarian" : "a steward, asking to look again";
}

/** One version, with its time and who wrote it. @param {Version} version @param {string} number of the horse today @param {string} what */
function said({ at, written_by, number: then, again, stands }, number, what) {
  const under = then === number ? "" : ` (noted as ${then})`;
  const by = written_by.name ?? written_by.role;
  return [h("time", null, moment(at)), `${under}: `, h("b", null, again === "taken_back" ? AGAIN.taken_back : `${AGAIN[again]}${what}`), by ? `. Written by ${by}.` : ".", stands ? h("span", { class: "stands" }, " This stands.") : null];
}

/** @param {SaidCall} call */
function callSaid({ grade, gait, limb, circumstance, text }) {
  const where = [gait, limb ? `seen as ${limb}` : null, circumstance].filter(Boolean).join(", ");
  return [`grade ${grade}, ${GRADES[grade ?? 0] ?? ""}`, where, text ? `“${text}”` : ""].filter((each) => each !== "").join("; ");
}

/** @param {SaidRuling} ruling */
function rulingSaid({ outcome, reason }) {
  return `${OUTCOMES[outcome ?? ""] ?? outcome}${reason ? `: ${reason}` : ""}`;
}

/** @param {Signed} signed */
function signedSaid({ card, name, state, place, at }) {
  const whose = name ?? `judge ${card}`;
  if (state === "open" || at === null) return `The card of ${whose} is not signed.`;
  return `On the card of ${whose}, signed ${moment(at)}: ${state === "placed" ? `${ordinal(place ?? 0)} place` : "not in the order"}.`;
}
