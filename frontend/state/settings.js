// @ts-check
/**
 * How this phone is set for the light and the hand it is used in: kept on the phone, whichever seat it is joined as,
 * and shown by attributes of the page's root, so that styles alone do the rest.
 *
 * @typedef {{ theme: string, hand: string, vibrates: boolean }} Settings
 */

import { changed } from "../lib/part.js";
import { notKept } from "../lib/phrases.js";
import * as seats from "../offline/seats.js";
import { say } from "./voice.js";

/** What each may be, the usual one first. */
const MAY_BE = { theme: ["phone", "light", "dark"], hand: ["right", "left"], vibrates: [true, false] };

let now = read({});

/** How the phone is set. @returns {Settings} */
export function settings() {
  return now;
}

/** Take what was kept, and follow the phone's own theme and what another tab sets. */
export function followSettings() {
  const take = () => void seats.kept("settings").then((kept) => show(read(kept ?? {})), () => show(now));
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => show(now));
  document.addEventListener("visibilitychange", take);
  take();
}

/** @param {Partial<Settings>} change */
export function changeSettings(change) {
  show({ ...now, ...change });
  seats.keep("settings", now).catch(() => say(notKept("the setting"), true));
}

/** Anything unknown in what was kept is the usual. @param {any} kept @returns {Settings} */
function read(kept) {
  const known = Object.entries(MAY_BE).map(([name, all]) => [name, all.find((each) => each === kept[name]) ?? all[0]]);
  return Object.fromEntries(known);
}

/** @param {Settings} settings */
function show(settings) {
  now = settings;
  const isDark = now.theme === "phone" ? matchMedia("(prefers-color-scheme: dark)").matches : now.theme === "dark";
  const root = document.documentElement;
  root.dataset["theme"] = isDark ? "dark" : "light";
  root.dataset["hand"] = now.hand;
  const paper = getComputedStyle(root).getPropertyValue("--paper");
  document.querySelector("meta[name=theme-color]")?.setAttribute("content", paper);
  changed();
}
