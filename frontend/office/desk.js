// @ts-check
/**
 * What the table holds: the show as the office's endpoint tells it, and the notes the seat may read, both in memory alone.
 *
 * Theory of operation. The server is right and this page shows it: everything is asked anew when the server calls "pull",
 * when the page is looked at again, every minute, and after a command, whose answer is the whole new state. An answer
 * asked for before a command went out is older than the command's and is put aside. What can't be reached is tried again,
 * one second later, then longer, a quarter of a minute at most; what is shown meanwhile says from when it is.
 *
 * A page of another role than the office has no state of the office: it listens (`onPull`) and asks for its own.
 *
 * @typedef {import("../engine/shapes.js").Note} Note
 * @typedef {{ id: string, title: string }} Titled
 * @typedef {{ number: string, identification: string | null, horse: string | null, exhibitor: string | null, division: string | null,
 *   gone: { why: string, to?: string, at: number } | null, reads_as: string | null }} DeskEntry
 * @typedef {{ number: string, reason: string, at: number, by: string }} Strike
 * @typedef {{ id: string, title: string, standard: string, sexes: string[], ages: string[], places: number,
 *   lameness: { from_grade: number, outcome: string }, judges: string[] | null, method: string, call_judges: string[],
 *   study_office: boolean, study_judges: string[], slips: string[], stage: string | null, announced_at: number | null, changed_since_announced: boolean,
 *   divisions: Titled[], folded: { into: string, how: string } | null, strikes: Strike[], fixed: boolean,
 *   signed: Record<string, { at: number, numbers: string[], from_paper: boolean }>, cards: { signed: number, of: number },
 *   released: boolean, entries: DeskEntry[] }} DeskClass
 * @typedef {{ id: string, role: string, name: string, card: string | null, shadows: string | null, code: string, link: string }} DeskSeat
 * @typedef {{ id: string, seat: string, joined_at: number, seen_at: number | null, waiting: number | null, revoked: boolean }} DeskDevice
 * @typedef {{ class: string, number: string }} Horse
 * @typedef {{ id: string, title: string, classes: string[], feeds: string[], judge: string,
 *   named: { champion: Horse | null, reserve: Horse | null, reason: string | null, warned: string[], at: number, by: string }[] }} Championship
 * @typedef {{ show: Titled, standards: { key: string, title: string }[], seats: DeskSeat[], devices: DeskDevice[],
 *   classes: DeskClass[], championships: Championship[] }} Show
 * @typedef {{ id: string, role: string, name: string }} Me
 * @typedef {"starting" | "nobody" | "open"} Phase
 */

import { newId } from "../lib/ids.js";
import { changed } from "../lib/part.js";
import { refusalTold } from "../lib/phrases.js";
import * as server from "../offline/server.js";
import { followAddress, forgetCode } from "./place.js";

const BACK_OFF_MS = [1000, 2000, 4000, 8000, 15_000];
const AFTER_ALL_IS_WELL_MS = 60_000;
const LOOK = "Look whether it was done before you try again.";

class Desk {
  /** @type {Phase} */
  phase = "starting";
  /** @type {Titled | null} */
  show = null;
  /** @type {Me | null} who sits here */
  me = null;
  /** @type {Show | null} of the office alone */
  state = null;
  /** @type {Map<string, (Note & { class: string })[]>} what was noted in each class, as far as this seat reads it */
  notes = new Map();
  /** @type {string | null} why it can't be asked just now */
  trouble = null;
  /** @type {number | null} when all was last told by the server */
  asked_at = null;
  /** @type {string | null} why nobody sits here any more */
  turned_away = null;

  #cursor = 0;
  #commands = 0;
  #failures = 0;
  #isAsking = false;
  #isAgain = false;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #timer;
  /** @type {EventSource | null} */
  #stream = null;
  /** @type {Set<() => Promise<void>>} */
  #listeners = new Set();

  async start() {
    followAddress();
    document.addEventListener("visibilitychange", () => this.#look());
    addEventListener("online", () => void this.refresh());
    await this.#whoAmI();
  }

  /** Sit down here with a seat's code. @param {string} code @returns {Promise<string | null>} why not */
  async join(code) {
    return this.#enter("/api/join", { code });
  }

  /** Open a new show, and sit down as its office. @param {string} code @param {string} title @returns {Promise<string | null>} why not */
  async openShow(code, title) {
    return this.#enter("/api/shows", { code, title });
  }

  /** @returns {Promise<string | null>} why not */
  async leave() {
    try {
      await server.ask("/api/leave", "left", {});
    } catch (error) {
      return reasonOf(error);
    }
    this.#nobody();
    return null;
  }

  /**
   * A command of the office; its answer is the whole new state.
   * @param {string} path behind `/api/office/`
   * @param {object} body
   * @returns {Promise<string | null>} why it was not done
   */
  async command(path, body) {
    try {
      this.#took(/** @type {Show} */ (await server.ask(`/api/office/${path}`, "classes", body)));
      return null;
    } catch (error) {
      void this.refresh();
      return error instanceof server.SaidNo ? error.message : `${reasonOf(error)} ${LOOK}`;
    }
  }

  /** Take a device's access away. @param {string} id @returns {Promise<string | null>} why not */
  async turnAway(id) {
    try {
      await server.ask(`/api/devices/${encodeURIComponent(id)}/revoke`, "revoked", {});
      await this.refresh();
      return null;
    } catch (error) {
      return reasonOf(error);
    }
  }

  /**
   * Write notes of one class as this seat, each with the ids of those it replaces.
   * @param {string} ofClass
   * @param {readonly ({ kind: string, replaces: string[] } & Record<string, unknown>)[]} drafts
   * @returns {Promise<string | null>} why they were not taken
   */
  async write(ofClass, drafts) {
    const common = { class: ofClass, by: this.me?.id, at: Date.now() };
    const notes = drafts.map((draft) => /** @type {any} */ ({ ...common, id: newId(), ...draft }));
    try {
      const receipts = await server.push(notes);
      await this.refresh();
      for (const { id } of notes) {
        const receipt = receipts.find((each) => each.id === id);
        if (receipt === undefined) return `The server did not say that it keeps this. ${LOOK}`;
        // One that came too late is kept aside, with the reason.
        if (receipt.reason) return refusalTold(receipt.reason);
        if (receipt.status !== "kept" && receipt.status !== "known") return `The server did not keep it. ${LOOK}`;
      }
      return null;
    } catch (error) {
      void this.refresh();
      return error instanceof server.SaidNo ? refusalTold(error.message) : `${reasonOf(error)} ${LOOK}`;
    }
  }

  /** Ask for something else when the show changed. @param {() => Promise<void>} listener @returns {() => void} to stop it */
  onPull(listener) {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  }

  /** Ask for all there is, now. @returns {Promise<void>} */
  async refresh() {
    if (this.phase !== "open") return;
    if (this.#isAsking) {
      this.#isAgain = true;
      return;
    }
    this.#isAsking = true;
    clearTimeout(this.#timer);
    try {
      do {
        this.#isAgain = false;
        await this.#ask();
      } while (this.#isAgain);
      this.#failures = 0;
      this.trouble = null;
      this.asked_at = Date.now();
      this.#listen();
      this.#timer = setTimeout(() => void this.refresh(), AFTER_ALL_IS_WELL_MS);
    } catch (error) {
      if (error instanceof server.SaidNo && error.status === 401) this.#nobody(error.message);
      else this.#failed(error);
    } finally {
      this.#isAsking = false;
      changed();
    }
  }

  async #ask() {
    if (this.me?.role === "office") {
      const before = this.#commands;
      const state = /** @type {Show} */ (await server.ask("/api/office", "classes"));
      if (before === this.#commands) this.#took(state);
      for (let more = true; more; ) {
        const page = await server.pull(this.#cursor);
        for (const note of page.notes) this.#arrived(note);
        this.#cursor = page.cursor;
        more = page.more;
      }
    }
    await Promise.all([...this.#listeners].map((listener) => listener()));
  }

  /** @param {Note & { class: string }} note */
  #arrived(note) {
    const known = this.notes.get(note.class) ?? [];
    if (!known.some(({ id }) => id === note.id)) this.notes.set(note.class, [...known, note]);
  }

  /** @param {Show} state */
  #took(state) {
    this.#commands += 1;
    this.state = state;
    this.show = state.show;
    changed();
  }

  /** @param {string} path @param {object} body @returns {Promise<string | null>} */
  async #enter(path, body) {
    try {
      const { show, seat } = /** @type {{ show: Titled, seat: Me }} */ (await server.ask(path, "seat", body));
      forgetCode();
      this.#sat(show, seat);
      return null;
    } catch (error) {
      return reasonOf(error);
    }
  }

  async #whoAmI() {
    try {
      const { show, seat } = await server.day();
      this.trouble = null;
      this.#sat(show, seat);
    } catch (error) {
      if (error instanceof server.SaidNo) this.#nobody();
      else this.#failed(error);
    }
  }

  /** @param {Titled} show @param {Me} seat */
  #sat(show, seat) {
    this.#forget();
    this.show = show;
    this.me = seat;
    this.phase = "open";
    changed();
    this.#look();
  }

  /** @param {string | null} [why] */
  #nobody(why = null) {
    this.#forget();
    this.turned_away = why;
    this.phase = "nobody";
    changed();
  }

  #forget() {
    clearTimeout(this.#timer);
    this.#stream?.close();
    this.#stream = null;
    this.#cursor = 0;
    this.#failures = 0;
    this.notes = new Map();
    this.state = this.show = this.me = this.trouble = this.asked_at = null;
  }

  /** @param {unknown} error */
  #failed(error) {
    this.trouble = reasonOf(error);
    const wait = BACK_OFF_MS[Math.min(this.#failures, BACK_OFF_MS.length - 1)];
    this.#failures += 1;
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => void this.#again(), wait);
    changed();
  }

  #again() {
    return this.phase === "starting" ? this.#whoAmI() : this.refresh();
  }

  /** Whoever looks again sees what is now. */
  #look() {
    this.#listen();
    if (!document.hidden) void this.refresh();
  }

  /** The stream is open only while somebody looks; one that the browser gave up is opened anew. */
  #listen() {
    const isWanted = !document.hidden && this.phase === "open";
    if (isWanted && this.#stream !== null && this.#stream.readyState !== EventSource.CLOSED) return;
    this.#stream?.close();
    this.#stream = null;
    if (!isWanted) return;
    this.#stream = new EventSource("/api/stream");
    this.#stream.addEventListener("pull", () => void this.refresh());
    // It broke off: whether the server is away, or this seat was taken, asking tells.
    this.#stream.addEventListener("error", () => {
      if (this.trouble === null) void this.refresh();
    });
  }
}

export const desk = new Desk();

/** A class of the show, or null. @param {string | null} id */
export function classWith(id) {
  return desk.state?.classes.find((each) => each.id === id) ?? null;
}

/** The classes judged by themselves, in the day's order. */
export function dayClasses() {
  return (desk.state?.classes ?? []).filter(({ folded }) => folded === null);
}

/** The seats of a role. @param {string} role */
export function seatsOf(role) {
  return (desk.state?.seats ?? []).filter((seat) => seat.role === role);
}

/** Who judges a class: those named for it, or all judges of the show. @param {DeskClass} dayClass */
export function judgesOf({ judges }) {
  return seatsOf("judge").filter(({ id }) => judges === null || judges.includes(id));
}

/** What a seat is called. @param {string | null | undefined} id */
export function nameOf(id) {
  return desk.state?.seats.find((seat) => seat.id === id)?.name ?? "a seat that is gone";
}

/** @param {unknown} error */
function reasonOf(error) {
  if (error instanceof server.SaidNo || error instanceof server.NoAnswer) return error.message;
  throw error;
}
