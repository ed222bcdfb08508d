// @ts-check
/**
 * Signing the card: what is checked before, the signature, and taking it back. Open points warn; only an order that is
 * none or names a horse wrongly stops.
 *
 * @typedef {import("./card.js").Card} Card
 * @typedef {import("../engine/placing.js").Placing} Placing
 * @typedef {{ said: string, label: string, act: () => void, stops: boolean }} Point
 */

import { counted, listed } from "../lib/phrases.js";
import { signedCard } from "./cardlink.js";
import { isUnread } from "./entering.js";
import { headCount } from "./line.js";
import { leftOut, ownOrder, standingOf } from "./order.js";
import { go } from "./place.js";
import { openStop, write } from "./ring.js";
import { session } from "./session.js";
import { say } from "./voice.js";

/** Whether this seat signs this card. @param {Card} card */
export function signs(card) {
  return session.writes("sign") && card.seat.card === card.seat.id;
}

/** What is open before signing, with the way to each. @param {Card} card @param {Placing} placing @returns {Point[]} */
export function points(card, placing) {
  const order = ownOrder(card)?.numbers ?? [];
  const all = card.horses.map((horse) => horse.number);
  const entered = card.horses.filter((horse) => horse.entered).map((horse) => horse.number);
  /** @param {string} number */
  const standing = (number) => standingOf(placing, number);
  const gate = all.filter((number) => card.presence(number)?.state === "present");
  const spoken = all.filter((number) => order.includes(number) || !["absent", "not_looked"].includes(standing(number)));
  const own = headCount(card);
  /** @type {Point[]} */
  const found = [];
  /** @param {string} said @param {string} label @param {() => void} act @param {boolean} [stops] */
  const add = (said, label, act, stops = false) => found.push({ said, label, act, stops });
  /** @param {readonly string[]} numbers @param {string} said @param {boolean} [stops] */
  const amiss = (numbers, said, stops) => numbers.length > 0 && add(`${listed(numbers)}: ${said}.`, "Arrange", () => go({ page: "order" }), stops);
  /** @param {readonly string[]} numbers @param {string} said */
  const look = ([...numbers], said) =>
    numbers.length > 0 &&
    add(`${listed(numbers)}: ${said}.`, "Look", () => openStop(card, { number: String(numbers[0]), view: String(card.standard.views[0]) }));
  const see = () => go({ page: "placing" });

  if (order.length === 0) add("You have set no order of your own yet.", "Arrange", () => go({ page: "order" }), true);
  amiss(order.filter((number) => !entered.includes(number)), "not entered in this class", true);
  amiss(order.filter((number, place) => order.indexOf(number) !== place), "in your order twice", true);
  amiss(order.filter((number) => card.isAbsent(number)), "absent by the gate, and in your order");
  amiss(order.filter((number) => !["", "absent", "not_looked"].includes(standing(number))), "not placed by rule or ruling, and in your order");
  amiss(placing.placing.filter((number) => !order.includes(number)), "placed by your notes, and left out");
  if (gate.length > 0) {
    amiss(gate.filter((number) => !spoken.includes(number)), "present by the gate, and not on your card");
    amiss(spoken.filter((number) => !gate.includes(number) && !card.isAbsent(number)), "on your card, and not noted present by the gate");
  }
  if (own !== null && own !== spoken.length) add(`Head count: you counted ${own}, your card speaks of ${spoken.length}.`, "Count", () => go({ page: "line" }));
  look(order.filter((number) => isUnread(card, number)), "its number is not read yet");
  look(all.filter((number) => standing(number) === "not_looked"), "never looked at");
  look(placing.asks.map((each) => each.number), "the steward asks you to look again");
  if (card.disputes.length > 0) add(`${counted(card.disputes.length, "dispute")} open.`, "Settle", see);
  if (placing.circles.length > 0) add("Your calls go round in a circle.", "Settle", see);
  if (placing.against.length > 0) add(`${counted(placing.against.length, "pair")} against your notes.`, "See", see);
  if (session.status.trouble !== null) add("Notes of other devices may be missing: the office is not reached.", "Why", () => go({ page: "saving" }));
  return found;
}

/** Whether this seat may sign the order as it stands. @param {Card} card @param {Placing} placing */
export function maySign(card, placing) {
  return signs(card) && card.signature === null && points(card, placing).every(({ stops }) => !stops);
}

/** Sign the order as it stands. @param {Card} card @param {Placing} placing */
export function sign(card, placing) {
  if (!maySign(card, placing)) return;
  const numbers = ownOrder(card)?.numbers ?? [];
  if (write(card, [{ kind: "sign", numbers, reason: null }], "signed", "")) say("Signed. The card is shut.");
}

/** @param {Card} card @param {string} reason */
export function takeSignatureBack(card, reason) {
  write(card, [{ kind: "sign", numbers: null, reason }], "signature taken back", "Signature taken back. The card is open.");
}

/** When and why a signature was last taken back. @param {Card} card */
export function takenBack(card) {
  const note = card.used(["sign", card.name]);
  return note !== null && note.numbers === null ? { at: note.at, reason: note.reason ?? "" } : null;
}

/** The signed card as it leaves this phone; null while it is open. @param {Card} card @param {Placing} placing */
export function handedOver(card, placing) {
  const { signature } = card;
  if (signature === null) return null;
  const order = signature.numbers ?? [];
  const unplaced = leftOut(card, order).map((number) => ({ number, standing: standingOf(placing, number) || "left_out" }));
  const show = session.held?.show.id ?? "";
  return signedCard({ show, class: card.class.id, title: card.class.title, card: card.name, order, unplaced, signed_at: signature.at });
}
