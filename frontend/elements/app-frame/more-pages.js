// @ts-check
/**
 * The pages that come in a script of their own, `more.js`: fetched once, and again after a failure, at longer and longer
 * intervals, until it is there. Every page opened meanwhile says so.
 */

import { changed } from "../../lib/part.js";
import { h } from "../../lib/view.js";

const TRY_AGAIN_MS = [1000, 2000, 4000, 8000, 15_000];

let isOnItsWay = false;
let failures = 0;
/** @type {ReturnType<typeof setTimeout> | undefined} */
let timer;

/** Fetch them, unless they are here or on their way. */
export async function fetchMore() {
  if (isOnItsWay) return;
  isOnItsWay = true;
  clearTimeout(timer);
  try {
    // A browser may hold on to a failure of an address: the next try asks at another.
    const again = failures === 0 ? "" : `?${failures}`;
    await import(`../../more.js${again}`);
    failures = 0;
  } catch {
    isOnItsWay = false;
    timer = setTimeout(fetchMore, TRY_AGAIN_MS[Math.min(failures, TRY_AGAIN_MS.length - 1)]);
    failures += 1;
  }
  changed();
}

/** What stands in the place of a page that is not here yet. */
export function notHereYet() {
  if (failures === 0) {
    void fetchMore();
    return h("p", { class: "opening" }, "Opening the page");
  }
  return h(
    "main",
    { class: "opening" },
    h("p", { role: "alert" }, "This page could not be fetched from the show office. It is tried again by itself; what is noted is safe here."),
    h("button", { class: "main", onclick: fetchMore }, "Try now"),
  );
}
