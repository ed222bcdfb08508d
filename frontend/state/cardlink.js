// @ts-check
/**
 * A signed card as a link to this page, for one QR: short, whole, and checked by its digest, with no server asked.
 *
 * Everything after `#card=` keeps to signs that an address takes as they are and a QR code packs tightly: digits,
 * capitals, and `$ * + - . / :`. Fields stand between colons, numbers between full stops. In free text a small letter is
 * written as a capital, a capital after `$`, a space as `+`, any other byte of its UTF-8 as `*` and two hexadecimal
 * digits. The digest is the beginning of the SHA-256 of the card's canonical JSON: it shows that nothing was lost on the
 * way, not who signed.
 *
 * @typedef {{ format: string, show: string, class: string, title: string, card: string, order: string[],
 *   unplaced: { number: string, standing: string }[], signed_at: number }} SignedCard
 */

import { canonical } from "../lib/canonical.js";
import { sha256 } from "../lib/sha256.js";
import { compareText } from "../lib/text.js";
import { isNumber } from "./entering.js";

const FORMAT = "nearside-card/1";
const MARK = "#card=";
const MOST_TITLE = 32;
const DIGEST = 16;

/** @type {Readonly<Record<string, string>>} */
const STANDINGS = { A: "absent", D: "disqualified", E: "excused", L: "not_looked", N: "not_placed", O: "left_out" };

/** @param {Omit<SignedCard, "format">} card @returns {SignedCard} as it is signed: its title may be shortened */
export function signedCard(card) {
  const signs = [...card.title];
  const title = signs.length > MOST_TITLE ? `${signs.slice(0, MOST_TITLE - 1).join("")}…` : card.title;
  return { format: FORMAT, ...card, title, unplaced: card.unplaced.toSorted((a, b) => compareText(a.number, b.number)) };
}

/** @param {SignedCard} card */
export function digestOf(card) {
  return sha256(canonical(card)).slice(0, DIGEST).toUpperCase();
}

/** @param {SignedCard} card @param {string} origin of this page */
export function linkOf(card, origin) {
  const groups = Object.entries(STANDINGS).flatMap(([sign, standing]) => {
    const numbers = card.unplaced.filter((each) => each.standing === standing).map((each) => each.number);
    return numbers.length === 0 ? [] : sign + numbers.join(".");
  });
  const fields = [
    ...[card.show, card.class, card.title, card.card].map(written),
    card.order.join("."),
    groups.join("/"),
    card.signed_at.toString(36).toUpperCase(),
    digestOf(card),
  ];
  return `${origin}/${MARK}1:${fields.join(":")}`;
}

/** What stands after the mark in an address; null where there is none. @param {string} address */
export function cardIn(address) {
  const at = address.indexOf(MARK);
  return at === -1 ? null : address.slice(at + MARK.length);
}

/**
 * A card read from its link, or from what stands after the mark.
 * @param {string} link
 * @returns {{ card: SignedCard, fits: boolean } | { problem: string }}
 */
export function readLink(link) {
  const NONE = { problem: "This is no link of a signed card, or not the whole of it. Copy all of it, or read the QR again." };
  try {
    const [version, show = "", ofClass = "", title = "", card = "", order = "", groups = "", at = "", digest = "", ...more] =
      decodeURIComponent((cardIn(link) ?? link).trim()).split(":");
    if (version !== "1" || digest === "" || more.length > 0) return NONE;
    const unplaced = groups.split("/").flatMap((group) =>
      group === "" ? [] : group.slice(1).split(".").map((number) => ({ number, standing: STANDINGS[group.slice(0, 1)] ?? "" })),
    );
    const read = signedCard({
      show: readText(show),
      class: readText(ofClass),
      title: readText(title),
      card: readText(card),
      order: order.split("."),
      unplaced,
      signed_at: parseInt(at, 36),
    });
    const isSound = [...read.order, ...unplaced.map((each) => each.number)].every(isNumber);
    if (!isSound || !Number.isSafeInteger(read.signed_at)) return NONE;
    return { card: read, fits: digestOf(read) === digest };
  } catch {
    return NONE; // bytes that are no text
  }
}

/** @param {string} text */
function written(text) {
  const signs = Array.from(new TextEncoder().encode(text), (byte) => String.fromCharCode(byte));
  return signs
    .map((sign) => {
      if (/[a-z0-9-]/.test(sign)) return sign.toUpperCase();
      if (/[A-Z]/.test(sign)) return `$${sign}`;
      return sign === " " ? "+" : `*${sign.charCodeAt(0).toString(16).toUpperCase().padStart(2, "0")}`;
    })
    .join("");
}

/** @param {string} text */
function readText(text) {
  return decodeURIComponent(
    text.replace(/\*(..)|\$(.)|\+|[A-Z]/g, (all, byte, capital) => (byte ? `%${byte}` : (capital ?? (all === "+" ? " " : all.toLowerCase())))),
  );
}
