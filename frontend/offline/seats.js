// @ts-check
/**
 * What this browser holds besides notes: the seats it was joined as, their day, where one was on the page, how the
 * line of a class stands. Everything is kept per seat of a show, so that joining with another code never mixes two
 * cards. A seat may also be alone: its show was made on this phone, no server knows it, and nothing of it is sent.
 *
 * @typedef {import("./server.js").Day} Day
 * @typedef {import("./server.js").Show} Show
 * @typedef {import("./server.js").Seat} Seat
 * @typedef {"own" | "practice"} Alone
 * @typedef {{ owner: string, show: Show, seat: Seat, day: Day | null, day_at: number | null, cursor: number,
 *   alone?: Alone }} Held
 * @typedef {{ opened: string[], settled: string[], arranged: string[], count: number | null }} Line of one class, numbers in order
 */

import { answered, transact } from "./db.js";

/** The name a seat of a show goes by in this browser. @param {Show} show @param {Seat} seat */
export function ownerOf(show, seat) {
  return JSON.stringify([show.id, seat.id]);
}

/** The seat that is open in this browser now. @returns {Promise<Held | null>} */
export function current() {
  return transact(["keep", "seats"], "readonly", async (transaction) => {
    const owner = await answered(transaction.objectStore("keep").get("owner"));
    return owner === undefined ? null : ((await answered(transaction.objectStore("seats").get(owner))) ?? null);
  });
}

/**
 * From now on this browser is joined as this seat; what was kept for the seat before stays.
 * @param {Day} day
 * @param {string} [from] only while this seat is open: a person may just have turned to another
 */
export function holdSeat(day, from) {
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
    const keep = transaction.objectStore("keep");
    if (from === undefined || (await answered(keep.get("owner"))) === from) keep.put(owner, "owner");
    keep.delete("joining");
    return held;
  });
}

/**
 * Hold a seat whose show was made on this phone, and open it; of each kind there is one, however often it was tapped.
 * @param {Day} day
 * @param {Alone} alone
 * @param {string} [instead] the seat given up for it, which is alone too, with all its notes
 */
export function holdAlone(day, alone, instead) {
  /** @type {import("./db.js").Store[]} */
  const given = instead === undefined ? [] : ["notes", "places"];
  return transact(["keep", "seats", ...given], "readwrite", async (transaction) => {
    const seats = transaction.objectStore("seats");
    if (instead !== undefined) await giveUp(transaction, instead);
    const kept = (await answered(seats.getAll())).find((/** @type {Held} */ each) => each.alone === alone);
    if (kept !== undefined) return turnTo(transaction, kept.owner);
    const owner = ownerOf(day.show, day.seat);
    /** @type {Held} */
    const held = { owner, show: day.show, seat: day.seat, day, day_at: Date.now(), cursor: 0, alone };
    seats.put(held);
    await turnTo(transaction, owner);
  });
}

/** Open a seat that is held already. @param {string} owner */
export function openHeld(owner) {
  return transact(["keep", "seats"], "readwrite", (transaction) => turnTo(transaction, owner));
}

/** @param {IDBTransaction} transaction @param {string} owner */
async function turnTo(transaction, owner) {
  const keep = transaction.objectStore("keep");
  const before = await answered(keep.get("owner"));
  const held = before === undefined ? undefined : await answered(transaction.objectStore("seats").get(before));
  // The server still takes this browser for the seat it was joined as: only that one opens again without its code.
  if (held !== undefined && held.alone === undefined) keep.put(before, "joined");
  keep.put(owner, "owner");
}

/** @param {IDBTransaction} transaction @param {string} owner */
async function giveUp(transaction, owner) {
  const seats = transaction.objectStore("seats");
  const held = await answered(seats.get(owner));
  if (held?.alone === undefined) throw new Error("a show's notes are never given up");
  seats.delete(owner);
  transaction.objectStore("notes").delete(IDBKeyRange.bound([owner], [owner, []]));
  transaction.objectStore("places").delete(owner);
  transaction.objectStore("places").delete(allLines(owner));
  transaction.objectStore("keep").delete(`undo ${owner}`);
  transaction.objectStore("keep").delete(IDBKeyRange.bound(`signed ${owner}`, `signed ${owner}\uffff`));
}

/**
 * Change the day of a seat that is alone.
 * @param {string} owner
 * @param {(day: Day) => Day} change
 * @returns {Promise<Held>} as it is kept now
 */
export function changeDay(owner, change) {
  return transact(["seats"], "readwrite", async (transaction) => {
    const seats = transaction.objectStore("seats");
    const before = await answered(seats.get(owner));
    const held = { ...before, day: change(before.day) };
    seats.put(held);
    return held;
  });
}

/** Every seat this browser holds. @returns {Promise<Held[]>} */
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

/**
 * How the horses of each class stand in line for this seat.
 * @param {string} owner
 * @returns {Promise<Map<string, Line>>} by class
 */
export function keptLines(owner) {
  return transact(["places"], "readonly", async (transaction) => {
    const [places, all] = [transaction.objectStore("places"), allLines(owner)];
    const [names, lines] = await Promise.all([answered(places.getAllKeys(all)), answered(places.getAll(all))]);
    // Lines kept by an older page stand as they stood there.
    const whole = lines.map((line) => ({ settled: line.opened, ...line }));
    return new Map(names.map((name, at) => [String(name).slice(nameOfLine(owner, "").length), whole[at]]));
  });
}

/** @param {string} owner @param {string} classId @param {Line} line */
export function keepLine(owner, classId, line) {
  return transact(["places"], "readwrite", (transaction) => {
    transaction.objectStore("places").put(line, nameOfLine(owner, classId));
  });
}

/** @param {string} owner */
function allLines(owner) {
  return IDBKeyRange.bound(nameOfLine(owner, ""), nameOfLine(owner, "\uffff"));
}

/** @param {string} owner @param {string} classId */
function nameOfLine(owner, classId) {
  return `line ${owner} ${classId}`;
}
