// @ts-check
/**
 * A signed card is shut: what is written on it is refused, in one place, until the signature is taken back.
 *
 * @typedef {import("./card.js").Card} Card
 * @typedef {import("./card.js").Draft} Draft
 * @typedef {import("../engine/shapes.js").Note} Note
 */

import { KINDS } from "../engine/merging.js";
import { clock } from "../lib/phrases.js";

/** That the card is shut, and the way to open it; null where it is not. @param {Card} card */
export function shutSaid({ signature, seat }) {
  if (signature === null) return null;
  const whose = seat.card === seat.id ? "To change it, take the signature back" : "Only the judge can take the signature back";
  return `Signed ${clock(signature.at, Date.now())}: this card is shut. ${whose}, with a reason, on the signed card.`;
}

/** Why a shut card does not take notes written elsewhere; null where none is news to it, or the signature is among them. @param {Card} card @param {readonly Note[]} notes */
export function refusalOf(card, notes) {
  const isNews = notes.some((note) => note.card === card.name && !card.notes.has(note.id));
  return isNews && notes.every(({ id }) => id !== card.signature?.id) ? shutSaid(card) : null;
}

/** Why a shut card does not take these; null where it does. What the gate says is of the class, and goes on. @param {Card} card @param {readonly Draft[]} drafts */
export function refusal(card, drafts) {
  const isOnCard = drafts.some(({ kind }) => (kind === "lameness" ? card.name !== "" : KINDS[kind]?.ofCard && kind !== "sign"));
  return isOnCard ? shutSaid(card) : null;
}
