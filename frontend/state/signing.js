// @ts-check
/**
 * Signing the card: what is checked before, the signature, and taking it back. Open points warn; only an order that is
 * none or names a horse wrongly stops.
 *
 * @typedef {import("./card.js").Card} Card
 * @typedef {import("../engine/placing.js").Placing} Placing
 * @typedef {{ said: string, label: string | null, act: () => void, isOpen: boolean, stops: boolean }} Point
 */

import { counted, listed } from "../lib/phrases.js";
import { signedCard } from "./cardlink.js";
import { ownOrder } from "./order.js";
import { go } from "./place.js";
import { openStop, write } from "./ring.js";
import { session } from "./session.js";
import { say } from "./voice.js";

/** Whether this seat signs this card. @param {Card} card */
export function signs(card) {
  return session.writes("sign") && card.seat.card === card.seat.id;
}

/** What a signature rests on, point by point, with the way to each that is open. @param {Card} card @param {Placing} placing @returns {Point[]} */
export function points(card, placing) {
  const order = ownOrder(card)?.numbers ?? [];
  const isIn = new Set(order);
  const entered = new Set(card.horses.filter((horse) => horse.entered).map((horse) => horse.number));
  const standing = new Map(placing.unplaced.map((each) => [each.number, each.standing ?? ""]));
  const unread = order.filter((number) => /^T\d+$/.test(number));
  const absent = order.filter((number) => card.isAbsent(number));
  const apart = order.filter((number) => !["", "absent", "not_looked"].includes(standing.get(number) ?? ""));
  const left = placing.placing.filter((number) => !isIn.has(number));
  const unseen = card.horses.map((horse) => horse.number).filter((number) => standing.get(number) === "not_looked");
  const asked = placing.asks.map((each) => each.number);
  const { ok_at, trouble } = session.status;
  const arrange = () => go({ page: "order" });
  const see = () => go({ page: "placing" });
  /** @param {readonly string[]} numbers */
  const look = (numbers) => () => openStop(card, { number: String(numbers[0]), view: String(card.standard.views[0]) });
  /** @param {boolean} isOpen @param {string} open @param {string} done @param {string | null} label @param {() => void} act @param {boolean} [stops] */
  const point = (isOpen, open, done, label, act, stops = false) => ({
    said: isOpen ? open : done,
    label: isOpen ? label : null,
    act,
    isOpen,
    stops: isOpen && stops,
  });
  /** @param {readonly string[]} numbers */
  const are = (numbers) => `${listed(numbers)} ${numbers.length === 1 ? "is" : "are"}`;
  const strange = order.filter((number) => !entered.has(number));
  const twice = order.filter((number, place) => order.indexOf(number) !== place);
  return [
    order.length === 0
      ? point(true, "You have set no order of your own yet.", "", "Arrange", arrange, true)
      : point(
          strange.length + twice.length > 0,
          `${are([...strange, ...twice])} ${strange.length > 0 ? "not entered in this class" : "in your order twice"}.`,
          "Every number is entered, and stands once.",
          "Arrange",
          arrange,
          true,
        ),
    point(absent.length > 0, `${are(absent)} absent by the gate, and in your order.`, "Nobody placed is absent.", "Arrange", arrange),
    heads(card, standing, isIn, arrange),
    point(apart.length > 0, `${are(apart)} excused, disqualified or not placed by rule, and in your order.`, "", "Arrange", arrange),
    point(left.length > 0, `${are(left)} placed by your notes, and left out.`, "", "Arrange", arrange),
    point(unread.length > 0, `${are(unread)} no number yet: read it and put it right.`, "", "Ring", look(unread)),
    point(unseen.length > 0, `${listed(unseen)} never looked at.`, "Every horse was looked at.", "Look", look(unseen)),
    point(asked.length > 0, `The steward asks you to look at ${listed(asked)} again.`, "", "Look", look(asked)),
    point(card.disputes.length > 0, `${counted(card.disputes.length, "dispute")} open.`, "No dispute is open.", "Settle", see),
    point(placing.circles.length > 0, "Your calls go round in a circle.", "", "Settle", see),
    point(placing.against.length > 0, `${counted(placing.against.length, "pair")} against your notes.`, "", "See", see),
    point(
      trouble !== null,
      `Office not reached${ok_at === null ? "" : " now"}: notes of other devices may be missing.`,
      "",
      "Why",
      () => go({ page: "saving" }),
    ),
  ].flatMap((each) => (each === null || each.said === "" ? [] : each));
}

/**
 * Whether the card speaks of as many horses as the gate counts present, where it counts.
 * @param {Card} card
 * @param {ReadonlyMap<string, string>} standing
 * @param {ReadonlySet<string>} isIn
 * @param {() => void} act
 * @returns {Point | null}
 */
function heads(card, standing, isIn, act) {
  const numbers = card.horses.map((horse) => horse.number);
  const atGate = numbers.filter((number) => card.presence(number)?.state === "present");
  if (atGate.length === 0) return null;
  const onCard = numbers.filter((number) => isIn.has(number) || !["absent", "not_looked"].includes(standing.get(number) ?? ""));
  const missing = atGate.filter((number) => !onCard.includes(number));
  const extra = onCard.filter((number) => !atGate.includes(number));
  const isOpen = missing.length + extra.length > 0;
  const said = [
    `Head count: ${atGate.length} at the gate, ${onCard.length} on your card.`,
    missing.length === 0 ? "" : `Not on your card: ${listed(missing)}.`,
    extra.length === 0 ? "" : `Not noted present: ${listed(extra)}.`,
  ].filter((each) => each);
  return { said: said.join(" "), label: isOpen ? "Arrange" : null, act, isOpen, stops: false };
}

/** Sign the order as it stands. @param {Card} card */
export function sign(card) {
  const numbers = ownOrder(card)?.numbers ?? [];
  write(card, [{ kind: "sign", numbers, reason: null }], "signed");
  say("Signed. The card is shut.", true);
}

/** @param {Card} card @param {string} reason */
export function takeSignatureBack(card, reason) {
  write(card, [{ kind: "sign", numbers: null, reason }], "signature taken back");
  say("Signature taken back. The card is open.", true);
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
  const unplaced = card.horses
    .filter((horse) => !order.includes(horse.number))
    .map(({ number }) => ({ number, standing: placing.unplaced.find((each) => each.number === number)?.standing ?? "left_out" }));
  const show = session.held?.show.id ?? "";
  return signedCard({ show, class: card.class.id, title: card.class.title, card: card.name, order, unplaced, signed_at: signature.at });
}
