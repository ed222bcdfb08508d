// @ts-check
/**
 * The hints of the practice class, five in all: each stands beside what it speaks of until that was used once. Which
 * were used is kept on the phone.
 */

import { changed } from "../lib/part.js";
import { keep, kept } from "../offline/seats.js";

/** @typedef {"traits" | "thumb" | "pair"} Spot where it stands; in the ring and on the placing one at a time */

/** @type {{ name: string, spot: Spot, control: string, text: string }[]} */
const HINTS = [
  { name: "mark", spot: "traits", control: "trait-lines .good, trait-lines .faulty", text: "↓ Tap the end that you see: once for slight, twice for clear, three times for marked." },
  { name: "next", spot: "thumb", control: ".next, .next-view", text: "Seen enough? The large button ↓ goes on." },
  { name: "undo", spot: "thumb", control: ".undo", text: "Undo ↓ takes back the last thing, whatever it was." },
  { name: "placing", spot: "thumb", control: ".to-placing", text: "Placing ↓ shows the order your marks suggest." },
  { name: "why", spot: "pair", control: ".pair button", text: "↓ Between two horses stands what decides. Tap it to read why." },
];

/** @type {Set<string> | null} null until it is read */
let used = null;
let isRead = false;

/** The hint to stand at a spot now. @param {Spot} spot */
export function hintAt(spot) {
  if (!isRead) void read();
  const next = HINTS.find((hint) => used?.has(hint.name) === false && (hint.spot === "pair") === (spot === "pair"));
  return next?.spot === spot ? next.text : null;
}

/** Show all of them again. */
export function forgetHints() {
  used = new Set();
  return keep("hints", []);
}

async function read() {
  isRead = true;
  used = new Set(await kept("hints").catch(() => null));
  document.addEventListener("click", (event) => {
    const found = HINTS.find(({ name, control }) => used?.has(name) === false && /** @type {Element} */ (event.target).closest(control) !== null);
    if (found === undefined) return;
    used?.add(found.name);
    void keep("hints", [...(used ?? [])]).catch(() => undefined);
    changed();
  });
  changed();
}
