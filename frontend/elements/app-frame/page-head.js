// @ts-check
/** The head of a page that was opened from another: the way back, and the page's name. */

import { h } from "../../lib/view.js";
import { goBack } from "../../state/place.js";

/** @param {string} title @param {() => void} [back] */
export function pageHead(title, back = goBack) {
  return h(
    "header",
    null,
    h("button", { type: "button", class: "back", "aria-label": "Back", onclick: () => back() }, "‹"),
    h("h1", { tabindex: -1 }, title),
  );
}
