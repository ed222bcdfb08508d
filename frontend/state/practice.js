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

/** Begin the practice class anew, hints and all. */
export async function practiceAnew() {
  await forgetHints();
  await session.letGo();
  await openPractice();
}

/** Open the practice class, as it was left. */
export async function openPractice() {
  await session.openAlone("practice", practiceDay);
  const [practice] = session.day?.classes ?? [];
  if (session.alone === "practice" && practice !== undefined) go({ ...START, page: "ring", class: practice.id });
}
