// @ts-check
/**
 * A card handed on as a class file, made on this phone, so that it needs no signal: `nearside place` and every import
 * read it. It goes through the phone's own share sheet where there is one, else it is a download.
 *
 * @typedef {import("./card.js").Card} Card
 */

import { canonical } from "../lib/canonical.js";
import { FORMAT } from "./classfile.js";
import { session } from "./session.js";

/** The class file of a card, its standard whole. @param {Card} card */
export function classFileOf(card) {
  const { entries, ...showClass } = card.class;
  const notes = card.file.notes.map(({ class: _, ...note }) => note);
  return canonical({
    format: FORMAT,
    class: { ...showClass, standard: card.standard },
    entries,
    card: card.file.card,
    notes,
  });
}

/** Hand the class file to the share sheet, or give it as a download. @param {Card} card */
export async function handOn(card) {
  // As plain text: share sheets take it everywhere, other kinds of files not.
  const files = [new File([classFileOf(card)], `${nameOf(card)}.txt`, { type: "text/plain" })];
  if (navigator.canShare?.({ files }) !== true) return download(card);
  try {
    await navigator.share({ files, title: card.class.title });
  } catch (error) {
    // Closed by the person: then nothing is wanted. Refused by the browser: then there is still the download.
    if (/** @type {Error} */ (error).name !== "AbortError") download(card);
  }
}

/** Give the class file to the phone as a download. @param {Card} card */
function download(card) {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([classFileOf(card)], { type: "application/json" }));
  link.download = `${nameOf(card)}.json`;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
}

/** @param {Card} card */
function nameOf(card) {
  // An id that was made here says nothing to a person.
  const parts = [session.held?.show.title ?? "show", session.alone === null ? card.class.id : card.class.title, card.file.card];
  return parts.map((part) => part.replace(/[^A-Za-z0-9]+/g, "-").slice(0, 40).toLowerCase() || "class").join("-");
}
