// @ts-check
/**
 * Signing the card: what is checked before, the signature, and taking it back. Open points warn; only an order that is
 * none or names a horse wrongly stops.
 *
 * What a card says when it is signed stays: the notes known then are remembered, and later ones stand apart.
 *
 * @typedef {import("../engine/placing.js").Placing} Placing
 * @typedef {import("../engine/shapes.js").Note} Note
 * @typedef {import("./cardlink.js").SignedCard} SignedCard
 * @typedef {{ signed: SignedCard, then: Card, placing: Placing, since: string[] }} Handed card and placing as they were when
 *   it was signed, and what was noted since
 * @typedef {typeof CHECKS[number]} Check
 * @typedef {{ check: Check | null, said: string, label: string, act: () => void, stops: boolean }} Point
 */

import { place as placed } from "../engine/placing.js";
import { changed } from "../lib/part.js";
import { counted, listed } from "../lib/phrases.js";
import { keep, kept } from "../offline/seats.js";
import { asksRuling, openCalls, seenSaid, whoSays } from "./calls.js";
import { Card } from "./card.js";
import { signedCard } from "./cardlink.js";
import { isUnread } from "./entering.js";
import { headCount } from "./line.js";
import { leftOut, ownOrder, standingOf } from "./order.js";
import { go } from "./place.js";
import { openStop, write } from "./ring.js";
import { session } from "./session.js";
import { told } from "./telling.js";
import { say } from "./voice.js";

/** What is checked before signing, in the order it is told. */
const CHECKS = /** @type {const} */ ([
  "each number entered",
  "each number once",
  "present by the gate",
  "head count",
  "looks",
  "lameness calls",
  "disputes",
  "calls that run in a circle",
]);

/** @type {Map<string, readonly string[] | null>} by signature, the notes of the gate and the office known then; null where another device signed */
const known = new Map();
/** @type {WeakMap<Card, Handed>} */
const handed = new WeakMap();

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
  const { views } = card.standard;
  /** @param {string} number */
  const seen = (number) => views.filter((view) => card.isSeen(number, view)).length;
  /** @param {Check | null} check @param {string} said @param {string} label @param {() => void} act @param {boolean} [stops] */
  const add = (check, said, label, act, stops = false) => found.push({ check, said, label, act, stops });
  /** @param {Check | null} check @param {readonly string[]} numbers @param {string} said @param {boolean} [stops] */
  const amiss = (check, numbers, said, stops) => numbers.length > 0 && add(check, `${listed(numbers)}: ${said}.`, "Arrange", () => go({ page: "order" }), stops);
  /** @param {Check | null} check @param {readonly string[]} numbers @param {string} said */
  const look = (check, [...numbers], said) =>
    numbers.length > 0 && add(check, `${listed(numbers)}: ${said}.`, "Look", () => openStop(card, { number: String(numbers[0]), view: String(views[0]) }));
  const see = () => go({ page: "placing" });

  if (order.length === 0) add("each number once", "You have set no order of your own yet.", "Arrange", () => go({ page: "order" }), true);
  amiss("each number entered", order.filter((number) => !entered.includes(number)), "not entered in this class", true);
  amiss("each number once", order.filter((number, place) => order.indexOf(number) !== place), "in your order twice", true);
  amiss("present by the gate", order.filter((number) => card.isAbsent(number)), "absent by the gate, and in your order");
  amiss(null, order.filter((number) => !["", "absent", "not_looked"].includes(standing(number))), "not placed by rule or ruling, and in your order");
  amiss(null, placing.placing.filter((number) => !order.includes(number)), "placed by your notes, and left out");
  if (gate.length > 0) {
    amiss("present by the gate", gate.filter((number) => !spoken.includes(number)), "present by the gate, and not on your card");
    amiss("present by the gate", spoken.filter((number) => !gate.includes(number) && !card.isAbsent(number)), "on your card, and not noted present by the gate");
  }
  const atGate = own !== null && gate.length > 0 && gate.length !== own ? `, the gate has ${gate.length} in the ring` : "";
  if (own !== null && (own !== spoken.length || atGate !== "")) {
    add("head count", `Head count: you counted ${own}, your card speaks of ${spoken.length}${atGate}.`, "Count", () => go({ page: "line" }));
  }
  look(null, order.filter((number) => isUnread(card, number)), "its number is not read yet");
  look("looks", all.filter((number) => standing(number) === "not_looked"), "never looked at");
  look("looks", order.filter((number) => seen(number) > 0 && seen(number) * 2 < views.length), `seen in fewer than half of the ${views.length} views`);
  const open = openCalls(card);
  const asking = placing.asks.map(({ number }) => number).filter((number) => open.every((call) => call.number !== number));
  for (const call of open) {
    const number = String(call.number);
    const what = `${whoSays(card, call)}: ${seenSaid(call)}.${asksRuling(call) ? " Your ruling is asked for." : ""}`;
    add("lameness calls", `${number}: ${what}`, "Open", () => go({ page: "call", number }));
  }
  look("lameness calls", asking, "the steward asks you to look again");
  if (card.disputes.length > 0) add("disputes", `${counted(card.disputes.length, "dispute")} open.`, "Settle", see);
  if (placing.circles.length > 0) add("calls that run in a circle", "Your calls run in a circle.", "Settle", see);
  if (placing.against.length > 0) add(null, `${counted(placing.against.length, "pair")} against your notes.`, "See", see);
  if (session.status.trouble !== null) add(null, "Notes of other devices may be missing: the office is not reached.", "Why", () => go({ page: "saving" }));
  return found;
}

/** What was checked and found in order; what nobody gave a word for could not be. @param {Card} card @param {readonly Point[]} open */
export function inOrder(card, open) {
  const { horses } = card;
  return CHECKS.filter((check) => {
    if (check === "head count" && headCount(card) === null) return false;
    if (check === "lameness calls" && card.calls().length === 0) return false;
    if (check === "present by the gate" && horses.every(({ number }) => card.presence(number) === null)) return false;
    return open.every((point) => point.check !== check);
  });
}

/** Whether this seat may sign the order as it stands. @param {Card} card @param {Placing} placing */
export function maySign(card, placing) {
  return signs(card) && card.signature === null && points(card, placing).every(({ stops }) => !stops);
}

/** Sign the order as it stands. @param {Card} card @param {Placing} placing */
export function sign(card, placing) {
  if (!maySign(card, placing)) return;
  const numbers = ownOrder(card)?.numbers ?? [];
  if (!write(card, [{ kind: "sign", numbers, reason: null }], "signed", "")) return;
  const id = session.notebook?.card(card.class.id)?.signature?.id ?? "";
  const ids = [...card.notes.values()].flatMap((note) => (note.card === card.name ? [] : note.id));
  known.set(id, ids);
  void keep(nameOf(id), ids).catch(() => undefined);
  say("Signed. The card is shut.");
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

/** Who is not in an order, and why. @param {Card} card @param {Placing} placing @param {readonly string[]} order */
export function unplacedBeside(card, placing, order) {
  return leftOut(card, order).map((number) => ({ number, standing: standingOf(placing, number) || "left_out" }));
}

/**
 * The signed card as it leaves this phone, the same whatever the gate says later, and what it said since; null while it
 * is open, or until the disk told what was known when it was signed.
 * @param {Card} card
 * @returns {Handed | null}
 */
export function handedOver(card) {
  const { signature } = card;
  const before = handed.get(card);
  if (signature === null || before !== undefined) return before ?? null;
  const then = asSigned(card, signature);
  if (then === null) return null;
  const order = then.signature?.numbers ?? [];
  const placing = placed(then.file, then.standard, session.day?.words);
  const unplaced = unplacedBeside(then, placing, order);
  const { id, title } = card.class;
  const now = {
    signed: signedCard({ show: session.held?.show.id ?? "", class: id, title, card: card.name, order, unplaced, signed_at: signature.at }),
    then,
    placing,
    since: [...card.slots.values()].flatMap(({ used }) => (then.notes.has(used.id) ? [] : told(used))),
  };
  handed.set(card, now);
  return now;
}

/** The card as it was when it was signed. @param {Card} card @param {Note} signature */
function asSigned(card, { id, at }) {
  const ids = known.get(id);
  if (ids === undefined) {
    void kept(nameOf(id)).catch(() => null).then((found) => {
      known.set(id, found ?? null);
      changed();
    });
    return null;
  }
  // Where another device signed, the clocks have to tell.
  const notes = [...card.notes].filter(([each, note]) => note.card === card.name || (ids?.includes(each) ?? note.at <= at));
  return new Card(card.class, card.standard, new Map(notes), card.seat);
}

/** Where this phone keeps which notes were known when it signed. @param {string} id of the signature */
function nameOf(id) {
  return `signed ${session.held?.owner} ${id}`;
}
