// @ts-check
/**
 * What the phone's battery is spent on and how much is left: the screen is kept on from each touch in a class for a
 * minute, and a low battery is told where the browser knows of it. Where it knows neither, nothing fails.
 */

import { changed } from "../lib/part.js";
import { place } from "./place.js";

const RESTS_AFTER_MS = 60_000;
const LOW = 0.2;

/** The screen's lock, or the browser's answer to come. @type {Promise<WakeLockSentinel> | null} */
let lock = null;
/** @type {ReturnType<typeof setTimeout> | undefined} */
let timer;
/** @type {number | null} */
let low = null;

/** Per cent left in a battery that is low and not charged, or null. */
export function lowBattery() {
  return low;
}

export function followPower() {
  for (const type of ["pointerdown", "click", "keydown"]) addEventListener(type, touched);
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && touched());
  /** @type {any} */ (navigator).getBattery?.().then(followBattery, () => undefined);
}

function touched() {
  clearTimeout(timer);
  timer = setTimeout(letGo, RESTS_AFTER_MS);
  if (lock !== null || place().class === null || navigator.wakeLock === undefined) return;
  const asked = (lock = navigator.wakeLock.request("screen"));
  // The browser lets go by itself when the page is hidden, and says no where the phone saves power.
  const gone = () => {
    if (lock === asked) lock = null;
  };
  asked.then((held) => held.addEventListener("release", gone), gone);
}

function letGo() {
  lock?.then((held) => held.release(), () => undefined);
}

/** @param {EventTarget & { level: number, charging: boolean }} battery */
function followBattery(battery) {
  const look = () => {
    low = !battery.charging && battery.level <= LOW ? Math.round(battery.level * 100) : null;
    changed();
  };
  battery.addEventListener("levelchange", look);
  battery.addEventListener("chargingchange", look);
  look();
}
