// @ts-check
/** What the office changed in the show, as it matters to whoever has its page open. Pure. */

import { listed } from "../lib/phrases.js";

/** @typedef {import("../offline/server.js").Day} Day */
/** @typedef {import("../offline/server.js").DayClass} DayClass */

/**
 * @param {Day} before
 * @param {Day} now
 * @param {string | null} openId the class that is open
 * @returns {{ news: string, isGone: boolean }} words, empty where nothing matters; whether the open class is gone
 */
export function dayNews(before, now, openId) {
  const [was, is] = [before, now].map(({ classes }) => new Map(classes.map((each) => [each.id, each])));
  /** @type {string[]} */
  const news = [];
  const gone = titles(was, is);
  const added = titles(is, was);
  if (gone.length > 0) news.push(`No longer in the show by itself: ${listed(gone)}. What is noted there is kept.`);
  if (added.length > 0) news.push(`New in the show: ${listed(added)}.`);
  for (const [id, { title }] of is ?? []) {
    const old = was?.get(id);
    if (old !== undefined && old.title !== title) news.push(`“${old.title}” is now “${title}”.`);
  }
  const [old, open] = [was?.get(openId ?? ""), is?.get(openId ?? "")];
  if (old !== undefined && open !== undefined) news.push(...ofEntries(old, open));
  return { news: news.join(" "), isGone: old !== undefined && open === undefined };
}

/** @param {Map<string, DayClass> | undefined} these @param {Map<string, DayClass> | undefined} others */
function titles(these, others) {
  return [...(these ?? [])].flatMap(([id, { title }]) => (others?.has(id) ? [] : title));
}

/** @param {DayClass} before @param {DayClass} now */
function ofEntries(before, now) {
  const [was, is] = [before, now].map(({ entries }) => entries.map(({ number }) => number));
  const gone = (was ?? []).filter((number) => !is?.includes(number));
  const come = (is ?? []).filter((number) => !was?.includes(number));
  return [
    gone.length === 0 ? [] : `The office took ${listed(gone)} out of this class; what is noted of ${gone.length === 1 ? "it" : "them"} stays.`,
    come.length === 0 ? [] : `The office entered ${listed(come)} in this class.`,
  ].flat();
}
