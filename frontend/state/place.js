// @ts-check
/**
 * Where one is on the page: kept in the address, so that the phone's own "back" works, and on the phone, so that a
 * cold start opens the class, horse and view one was in.
 *
 * @typedef {typeof PAGES[number]} PageName
 * @typedef {[string, string]} Two numbers
 * @typedef {{ page: PageName, class: string | null, number: string | null, view: string | null,
 *   pair: Two | null }} Place where one is in the line, and which two horses a page is about, if it is about two
 */

import { changed } from "../lib/part.js";
import * as seats from "../offline/seats.js";
import { cardIn } from "./cardlink.js";

const PAGES = /** @type {const} */ ([
  "classes",
  "ring",
  "placing",
  "compare",
  "pair",
  "reasons",
  "how",
  "gate",
  "call",
  "saving",
  "settings",
  "line",
  "make",
  "bring",
  "print",
  "order",
  "sign",
  "slips",
  "champions",
  "calls",
]);

/** @type {Place} */
export const START = { page: "classes", class: null, number: null, view: null, pair: null };

/** @type {Place} */
let here = START;
/** @type {string | null} */
let owner = null;

/** Where one is. @returns {Place} */
export function place() {
  return here;
}

/**
 * Go to another place. Another page or class is a step the phone's "back" can undo; another horse or view is not.
 * @param {Partial<Place>} to
 */
export function go(to) {
  const before = here;
  here = { ...here, ...to };
  const isStep = here.page !== before.page || here.class !== before.class;
  // The state of a step says that a page of ours lies before it.
  history[isStep ? "pushState" : "replaceState"](isStep || history.state, "", addressOf(here));
  remember();
  changed();
}

/** Go back to the page before; where none of ours is, to the ring or the classes. */
export function goBack() {
  if (history.state === true) history.back();
  else go({ page: here.class === null ? "classes" : "ring" });
}

/** The code of a join link in the address, or null. */
export function codeInAddress() {
  return new URLSearchParams(location.hash.slice(1)).get("join");
}

/** The signed card in the address, empty where one is to be read; null where the address is about something else. */
export function cardInAddress() {
  return cardIn(location.hash);
}

/** Open a signed card, or with nothing the page that reads one. @param {string} card what stands in its link */
export function openCard(card) {
  history.pushState(true, "", `/#card=${card}`);
  changed();
}

/** Take a join link out of the address. */
export function forgetCode() {
  history.replaceState(history.state, "", addressOf(here));
}

/**
 * Begin at the place in the address, or else where this seat last was.
 * @param {string} seatOwner
 */
export async function restore(seatOwner) {
  owner = seatOwner;
  const kept = await seats.keptPlace(seatOwner).catch(() => undefined);
  const asked = placeAt(location.hash);
  here = asked ?? { ...START, ...kept };
  if (asked !== null) remember();
  if (codeInAddress() === null && cardInAddress() === null) history.replaceState(history.state, "", addressOf(here));
}

/** Follow the address when the phone's "back" changes it. @param {() => void} joinLinkOpened */
export function followAddress(joinLinkOpened) {
  addEventListener("popstate", () => {
    if (codeInAddress() !== null) return joinLinkOpened();
    if (cardInAddress() !== null) return changed();
    here = placeAt(location.hash) ?? START;
    remember();
    changed();
  });
}

function remember() {
  if (owner !== null) void seats.keepPlace(owner, here).catch(() => undefined);
}

/** @param {Place} at */
function addressOf(at) {
  const steps = [at.page, at.class, at.number, at.view, at.pair?.join("-") ?? null];
  while (steps.length > 0 && steps[steps.length - 1] === null) steps.pop();
  return `/#/${steps.map((step) => encodeURIComponent(step ?? "")).join("/")}`;
}

/** @param {string} hash @returns {Place | null} */
function placeAt(hash) {
  if (!hash.startsWith("#/")) return null;
  let steps;
  try {
    steps = hash.slice(2).split("/").map(decodeURIComponent);
  } catch {
    return null; // no address of ours
  }
  const [name, ...rest] = steps;
  const page = PAGES.find((each) => each === name);
  if (page === undefined) return null;
  const [ofClass, number, view, pair] = rest.map((step) => step || null);
  return {
    page,
    class: ofClass ?? null,
    number: number ?? null,
    view: view ?? null,
    pair: twoOf(pair ?? ""),
  };
}

/** @param {string} joined @returns {Two | null} */
function twoOf(joined) {
  const [first, second, ...more] = joined.split("-");
  return first && second && more.length === 0 ? [first, second] : null;
}
