// @ts-check
/**
 * What this browser holds besides notes: the seats it was joined as, their day, and where one was on the page.
 * Everything is kept per seat of a show, so that joining with another code never mixes two cards.
 *
 * @typedef {import("./server.js").Day} Day
 * @typedef {import("./server.js").Show} Show
 * @typedef {import("./server.js").Seat} Seat
 * @typedef {{ owner: string, show: Show, seat: Seat, day: Day | null, day_at: number | null, cursor: number }} Held
 */

import { answered, transact } from "./db.js";

/** The name a seat of a show goes by in this browser. @param {Show} show @param {Seat} seat */
export function ownerOf(show, seat) {
  return JSON.stringify([show.id, seat.id]);
}

/** The seat this browser is joined as now. @returns {Promise<Held | null>} */
export function current() {
  return transact(["keep", "seats"], "readonly", async (transaction) => {
    const owner = await answered(transaction.objectStore("keep").get("owner"));
    return owner === undefined ? null : ((await answered(transaction.objectStore("seats").get(owner))) ?? null);
  });
}

/** From now on this browser is joined as this seat; what was kept for the seat before stays. @param {Day} day */
export function holdSeat(day) {
  return transact(["keep", "seats"], "readwrite", async (transaction) => {
    const seats = transaction.objectStore("seats");
    const owner = ownerOf(day.show, day.seat);
    /** @type {Held | undefined} */
    const before = await answered(seats.get(owner));
    /** @type {Held} */
    const held = {
      owner,
      show: day.show,
      seat: day.seat,
      day,
      day_at: Date.now(),
      cursor: before?.cursor ?? 0,
    };
    seats.put(held);
    transaction.objectStore("keep").put(owner, "owner");
    transaction.objectStore("keep").delete("joining");
    return held;
  });
}

/** Every seat this browser was ever joined as. @returns {Promise<Held[]>} */
export function every() {
  return transact(["seats"], "readonly", (transaction) => answered(transaction.objectStore("seats").getAll()));
}

/** @param {string} name @returns {Promise<any>} */
export function kept(name) {
  return transact(["keep"], "readonly", (transaction) => answered(transaction.objectStore("keep").get(name)));
}

/** @param {string} name @param {unknown} value */
export function keep(name, value) {
  return transact(["keep"], "readwrite", (transaction) => {
    transaction.objectStore("keep").put(value, name);
  });
}

/** Where this seat was on the page. @param {string} owner @returns {Promise<any>} */
export function keptPlace(owner) {
  return transact(["places"], "readonly", (transaction) => answered(transaction.objectStore("places").get(owner)));
}

/**
 * A store of its own, so that it never waits behind the notes' slower, safer writes.
 * @param {string} owner
 * @param {unknown} place
 */
export function keepPlace(owner, place) {
  return transact(["places"], "readwrite", (transaction) => {
    transaction.objectStore("places").put(place, owner);
  });
}
