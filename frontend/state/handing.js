// @ts-check
/**
 * A card handed on as a class file, made on this phone, so that it needs no signal: `nearside place` and every import
 * read it.
 *
 * @typedef {import("./card.js").Card} Card
 */

import { canonical } from "../lib/canonical.js";
import { session } from "./session.js";

const FORMAT = "nearside-class/1";

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

/** Give the class file to the phone as a download. @param {Card} card */
export function download(card) {
  const parts = [session.held?.show.title ?? "show", card.class.id, card.file.card];
  const name = parts.map((part) => part.replace(/[^A-Za-z0-9]+/g, "-").toLowerCase() || "class").join("-");
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([classFileOf(card)], { type: "application/json" }));
  link.download = `${name}.json`;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
}
