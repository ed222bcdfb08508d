// @ts-check
/**
 * The practice class: six invented horses told in words. It is held like a class of one's own, under a name that says
 * practice, and goes nowhere. What is seen of each horse in each view stands in its day, and so do the hints.
 *
 * @typedef {import("../offline/server.js").Day} Day
 */

import { newId } from "../lib/ids.js";
import { asset } from "../offline/basics.js";
import { forgetHints } from "./hints.js";
import { ownDay, withClass } from "./own.js";
import { go, START } from "./place.js";
import { session } from "./session.js";

/** @returns {Promise<Day>} */
async function practiceDay() {
  const { file, seen, hints } = await asset("/practice/class.json");
  const day = await ownDay();
  const { standard, ...fields } = file.class;
  const made = { ...fields, id: newId(), entries: file.entries };
  return { ...withClass(day, made, standard), show: { ...day.show, title: "Practice" }, seen, hints };
}

/** Open the practice class, as it was left. @param {string} [instead] anew, hints and all, in place of this seat */
export async function openPractice(instead) {
  if (!(await session.openAlone("practice", practiceDay, instead))) return;
  if (instead !== undefined) forgetHints();
  const [practice] = session.day?.classes ?? [];
  if (practice !== undefined) go({ ...START, page: "ring", class: practice.id });
}
