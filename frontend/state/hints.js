// @ts-check
/**
 * The hints of the practice class, at most five: each stands beside what it speaks of until that was used once. Which
 * were used is kept on the phone.
 */

import { changed } from "../lib/part.js";
import { keep, kept } from "../offline/seats.js";
import { session } from "./session.js";

/** @typedef {import("../offline/server.js").Hint["spot"]} Spot where it stands; in the ring and on the placing one at a time */

/** @type {Set<string> | null} null until it is read */
let used = null;
let isRead = false;

/** The hint to stand at a spot now. @param {Spot} spot */
export function hintAt(spot) {
  if (!isRead) void read();
  const next = hints().find((hint) => used?.has(hint.name) === false && (hint.spot === "pair") === (spot === "pair"));
  return next?.spot === spot ? next.text : null;
}

/** Show all of them again. */
export function forgetHints() {
  used = new Set();
  keepUsed();
}

function hints() {
  return session.day?.hints ?? [];
}

async function read() {
  isRead = true;
  used = new Set(await kept("hints").catch(() => null));
  document.addEventListener("click", (event) => {
    const found = hints().find(({ name, control }) => used?.has(name) === false && /** @type {Element} */ (event.target).closest(control) !== null);
    if (found === undefined) return;
    used?.add(found.name);
    keepUsed();
    changed();
  });
  changed();
}

function keepUsed() {
  void keep("hints", [...(used ?? [])]).catch(() => undefined);
}
