// @ts-check
/**
 * The exhibitor's slip, as the judge looks it over and as the office prints it.
 *
 * @typedef {{ number: string, place: number, text: string[], division?: string | null, identification: string | null,
 *   horse?: string | null, exhibitor?: string | null }} Slip
 * @typedef {{ judge: string, name: string | null, agreed: boolean, slips: Slip[] }} SlipCard
 * @typedef {{ class: string, title: string, cards: SlipCard[] }} Slips
 */

import { ordinal } from "../lib/phrases.js";
import { h } from "../lib/view.js";

/** What a slip says and what it never says. */
export const WHAT_IT_SAYS =
  "A slip speaks of one horse alone: good marks, at most two faults, where those above had the better of it. No other number, remark, call or ruling stands on it.";

/** @param {Slip} slip @param {{ show: string, title: string, judge: string | null }} of */
export function slipDrawn({ number, place, text, division, identification, horse, exhibitor }, { show, title, judge }) {
  return h(
    "article",
    { key: number, class: "slip" },
    h("p", { class: "of" }, `${show}. ${title}${division ? `, ${division}` : ""}.`),
    h("h3", null, h("b", null, number), horse || identification ? ` ${[horse, identification].filter(Boolean).join(", ")}` : ""),
    exhibitor ? h("p", null, exhibitor) : null,
    h("p", { class: "place" }, `${ordinal(place)} place`),
    text.length === 0 ? h("p", null, "The judge noted nothing of this horse.") : h("ul", null, ...text.map((each) => h("li", { key: each }, each))),
    h("p", { class: "by" }, `${judge ? `${judge}. ` : ""}What was noted on the day, from the ground, in a few minutes.`),
  );
}
