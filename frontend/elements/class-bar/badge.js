// @ts-check
/** The badge of a class: its short name on a pattern of its own, so that two open classes never look alike. */

import { h } from "../../lib/view.js";

/** @typedef {import("../../offline/server.js").DayClass} DayClass */

const PATTERNS = 6;
const SHORT = 4;

/** @param {DayClass} dayClass @param {readonly DayClass[]} classes of the day */
export function badge(dayClass, classes) {
  const position = classes.findIndex((each) => each.id === dayClass.id);
  const name = dayClass.id.length <= SHORT ? dayClass.id.toUpperCase() : String(position + 1);
  return h("span", { class: "badge", "data-pattern": position % PATTERNS }, h("b", null, name));
}
