// @ts-check
/** The badge of a class: its short name on a pattern of its own, so that two open classes never look alike. */

import { h } from "../../lib/view.js";
import { shortName } from "../../state/telling.js";

/** @typedef {import("../../offline/server.js").DayClass} DayClass */

const PATTERNS = 6;

/** @param {DayClass} dayClass @param {readonly DayClass[]} classes of the day */
export function badge(dayClass, classes) {
  const position = classes.findIndex((each) => each.id === dayClass.id);
  return h("span", { class: "badge", "data-pattern": position % PATTERNS }, h("b", null, shortName(dayClass)));
}
