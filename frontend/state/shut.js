// @ts-check
/**
 * A signed card is shut: what is written on it is refused, in one place, until the signature is taken back.
 *
 * @typedef {import("./card.js").Card} Card
 * @typedef {import("./card.js").Draft} Draft
 * @typedef {import("../engine/shapes.js").Note} Note
 */

import { clock } from "../lib/phrases.js";
import { isOfCard } from "./card.js";

/** That the card is shut, where the way to the signed card stands beside it; null where it is open. @param {Card} card */
export function shutAt({ signature }) {
  return signature === null ? null : `Signed ${clock(signature.at, Date.now())}: this card is shut.`;
}

/** That the card is shut, and the way to open it; null where it is open. @param {Card} card */
export function shutSaid(card) {
  const { signature, seat } = card;
  if (signature === null) return null;
  const whose = seat.card === seat.id ? "To change it, take the signature back" : "Only the judge can take the signature back";
  return `${shutAt(card)} ${whose}, with a reason, on the signed card.`;
}

/** The signatures and their taking back that nothing replaced, of every card this seat may read. @param {Card} card */
export function signaturesIn({ notes }) {
  const signs = [...notes.values()].filter(({ kind }) => kind === "sign");
  return signs.filter(({ id }) => !signs.some(({ replaces }) => replaces.includes(id)));
}

/** Whether a signature of the class stands, as far as this seat may read. @param {Card | null | undefined} card */
export function isSigned(card) {
  return card != null && signaturesIn(card).some(({ numbers }) => numbers);
}

/** That a horse noted as absent is placed on a signed card; empty where it is not. @param {Card} card @param {string} number */
export function placedSaid(card, number) {
  const isPlaced = signaturesIn(card).some(({ numbers }) => numbers?.some((each) => card.horse(each)?.number === number));
  return isPlaced ? `. ${number} is placed on a signed card, and that stays as it was signed` : "";
}

/** Why a shut card does not take notes written elsewhere; null where none is news to it, or the signature is among them. @param {Card} card @param {readonly Note[]} notes */
export function refusalOf(card, notes) {
  const isNews = notes.some((note) => note.card === card.name && !card.notes.has(note.id));
  return isNews && notes.every(({ id }) => id !== card.signature?.id) ? shutSaid(card) : null;
}

/** Why a shut card does not take these; null where it does. What the gate says is of the class, and goes on. @param {Card} card @param {readonly Draft[]} drafts */
export function refusal(card, drafts) {
  return drafts.some(({ kind }) => kind !== "sign" && isOfCard(kind, card.seat)) ? shutSaid(card) : null;
}
