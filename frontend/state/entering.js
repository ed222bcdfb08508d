// @ts-check
/**
 * Horses entered in the ring, and numbers put right. Nothing noted is ever moved: the notes stay under the number they
 * were written with, and an entry note says which number that horse goes by now.
 *
 * @typedef {import("./card.js").Card} Card
 * @typedef {import("./card.js").Draft} Draft
 */

const NUMBER = /^[0-9A-Z]{1,6}$/;

/** What a number looks like when typed. @param {string} typed */
export function tidyNumber(typed) {
  return typed.toUpperCase().replace(/[^0-9A-Z]/g, "").slice(0, 6);
}

/** @param {string} number */
export function isNumber(number) {
  return NUMBER.test(number);
}

/** The numbers in what somebody typed, with anything between them. @param {string} typed @returns {string[]} */
export function numbersIn(typed) {
  return typed.toUpperCase().match(/[0-9A-Z]+/g) ?? [];
}

/** Enter a horse. @param {string} number @param {string} identification @returns {Draft} */
export function entered(number, identification) {
  return { kind: "entry", number, identification: identification.trim() || null, now: null };
}

/** A number for a horse whose own cannot be read yet: T1, T2 and on. @param {Card} card */
export function unreadNumber(card) {
  let count = 1;
  while (card.horse(`T${count}`) !== null || card.readsAs.has(`T${count}`)) count += 1;
  return `T${count}`;
}

/** Whether a horse goes by such a number until its own is read. @param {Card} card @param {string} number */
export function isUnread(card, number) {
  return /^T\d+$/.test(number) && card.class.entries.every((entry) => entry.number !== number);
}

/**
 * The horse known as `number` is really `now`.
 * @param {Card} card
 * @param {string} number
 * @param {string} now
 * @param {string} [reason] why it is corrected; a number that could not be read before needs none
 * @returns {Draft[]}
 */
export function putRight(card, number, now, reason = "") {
  const identification = card.horse(number)?.identification ?? null;
  /** @type {Draft[]} */
  const drafts = [{ kind: "entry", number, identification, now, ...(reason === "" ? {} : { reason }) }];
  // A number nobody entered would be a stranger in its own class.
  if (card.horse(now)?.entered !== true) drafts.push({ kind: "entry", number: now, identification, now: null });
  return drafts;
}
