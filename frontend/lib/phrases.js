// @ts-check
/** Small phrases: counts, ages, times of day, lists. Plain functions of what they are given. */

const SECOND_MS = 1000;
const MINUTE_MS = 60 * SECOND_MS;
const HOUR_MS = 60 * MINUTE_MS;
const DAY_MS = 24 * HOUR_MS;

/** @type {Readonly<Record<number, string>>} */
const DEGREES = { 1: "slight", 2: "clear", 3: "marked" };

/**
 * "1 horse", "6 horses".
 * @param {number} count
 * @param {string} one
 * @param {string} [many]
 */
export function counted(count, one, many = `${one}s`) {
  return `${count} ${count === 1 ? one : many}`;
}

/**
 * How long ago, as a person would say it; of a moment still to come, that the clock was put back since.
 * @param {number} then_ms
 * @param {number} now_ms
 */
export function ago(then_ms, now_ms) {
  const age_ms = now_ms - then_ms;
  if (age_ms < -MINUTE_MS) return "before this phone's clock was changed";
  if (age_ms < 45 * SECOND_MS) return "just now";
  if (age_ms < 90 * SECOND_MS) return "a minute ago";
  if (age_ms < 55 * MINUTE_MS) return `${Math.round(age_ms / MINUTE_MS)} minutes ago`;
  if (age_ms < 90 * MINUTE_MS) return "an hour ago";
  if (age_ms < 22 * HOUR_MS) return `${Math.round(age_ms / HOUR_MS)} hours ago`;
  const days = Math.max(1, Math.round(age_ms / DAY_MS));
  return days === 1 ? "a day ago" : `${days} days ago`;
}

/**
 * The time of day, with the day where it is not today.
 * @param {number} at_ms
 * @param {number} now_ms
 */
export function clock(at_ms, now_ms) {
  const at = new Date(at_ms);
  if (Number.isNaN(at.getTime())) return "at an unknown time";
  const time = at.toLocaleTimeString([], { hour: "2-digit", minute: "2-digit" });
  if (at.toDateString() === new Date(now_ms).toDateString()) return time;
  return `${at.toLocaleDateString([], { day: "numeric", month: "short" })}, ${time}`;
}

/** Day and time of day, whichever day it is. @param {number} at_ms */
export function moment(at_ms) {
  const at = new Date(at_ms);
  return Number.isNaN(at.getTime()) ? "at an unknown time" : at.toLocaleString([], { dateStyle: "medium", timeStyle: "short" });
}

/**
 * "12", "12 and 7", "12, 7 and 31".
 * @param {readonly string[]} phrases
 */
export function listed(phrases) {
  if (phrases.length < 2) return phrases.join("");
  return `${phrases.slice(0, -1).join(", ")} and ${phrases[phrases.length - 1]}`;
}

/** "1st", "2nd", "3rd", "11th". @param {number} place */
export function ordinal(place) {
  const teen = place % 100 >= 11 && place % 100 <= 13;
  const ending = teen ? "th" : ({ 1: "st", 2: "nd", 3: "rd" }[place % 10] ?? "th");
  return `${place}${ending}`;
}

/** The word for a degree, whichever end it is at. @param {number} degree */
export function degreeWord(degree) {
  return DEGREES[Math.abs(degree)] ?? "";
}

/** A sentence's first letter as a capital. @param {string} text */
export function capital(text) {
  return text.slice(0, 1).toUpperCase() + text.slice(1);
}

/** That something is not on the disk, and what may be the matter. @param {string} what */
export function notKept(what) {
  return `This phone could not keep ${what}. Is its storage full, or is this a private window?`;
}

/** Why the office refused a note, as it matters to the one who wrote it. @param {string} reason */
export function refusalTold(reason) {
  return reason.startsWith("id: ")
    ? "The office keeps these already, in another class or with another value"
    : capital(reason.replace(/^[\w.[\]]+: /, ""));
}

const SHORT = 4;

/** The short name of a class: its id, or where that is long, its place among the classes. @param {string} id @param {readonly { id: string }[]} classes */
export function shortNameAmong(id, classes) {
  return id.length <= SHORT ? id.toUpperCase() : String(classes.findIndex((each) => each.id === id) + 1);
}
