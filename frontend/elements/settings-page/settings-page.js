// @ts-check
/**
 * The light and the hand this phone is used in, and what it does by itself while one marks.
 *
 * Usage: `<settings-page></settings-page>`; a page, with its h1. Each choice is a group of toggle buttons (ARIA pressed).
 */

import { Part } from "../../lib/part.js";
import { h } from "../../lib/view.js";
import { changeSettings, settings } from "../../state/settings.js";
import { pageHead } from "../app-frame/page-head.js";

/** @typedef {import("../../state/settings.js").Settings} Settings */

export class SettingsPage extends Part {
  draw() {
    const { theme, hand, vibrates } = settings();
    return [
      pageHead("Settings"),
      h(
        "main",
        null,
        choice("Light and dark", [
          ["As the phone is set", theme === "phone", { theme: "phone" }],
          ["Light, for the sun", theme === "light", { theme: "light" }],
          ["Dark, for the barn", theme === "dark", { theme: "dark" }],
        ]),
        choice("The hand that holds the phone", [
          ["Left hand", hand === "left", { hand: "left" }],
          ["Right hand", hand === "right", { hand: "right" }],
        ]),
        h("p", null, "The large buttons lie under that thumb."),
        "vibrate" in navigator &&
          choice("A buzz when a tap counts", [
            ["On", vibrates, { vibrates: true }],
            ["Off", !vibrates, { vibrates: false }],
          ]),
        h("h2", null, "Screen and text"),
        h(
          "p",
          null,
          "wakeLock" in navigator
            ? "In a class the screen stays on until nobody touches it for a minute."
            : "This browser cannot keep the screen on: set a longer time in the phone's own settings.",
        ),
        h("p", null, "The text is as large as the phone's or browser's own text size says, up to twice the usual."),
      ),
    ];
  }
}

/** @param {string} title @param {[string, boolean, Partial<Settings>][]} options */
function choice(title, options) {
  return [
    h("h2", null, title),
    h(
      "div",
      { class: "choices", role: "group", "aria-label": title },
      ...options.map(([words, isChosen, change]) =>
        h("button", { "aria-pressed": String(isChosen), onclick: () => changeSettings(change) }, words),
      ),
    ),
  ];
}
