// @ts-check
/**
 * The exchange with the server: send what waits, fetch what is new, again and again for as long as the page lives.
 *
 * Theory of operation. An exchange runs in one tab at a time: make sure that the server takes this browser for the
 * seat the notes belong to, push the outbox until it is empty, pull from the cursor until nothing is left; fetch the day
 * where the server has a newer one, and all of a class where notes passed by before became readable. Whatever
 * goes wrong, the next try is only a matter of time: one second, then longer, half a minute at most, and at once when
 * the page is looked at again, the network says it is back, the server calls "pull", or the person asks. Whether the
 * browser thinks it is online is never asked. The server's call comes over a stream that is open only while the page
 * is seen.
 *
 * Refuses to send under a seat that is not the notes' own: where this browser was joined anew, it stops and says so.
 *
 * @typedef {import("../engine/shapes.js").Note} Note
 * @typedef {import("./outbox.js").SentNote} SentNote
 * @typedef {import("./outbox.js").RefusedNote} RefusedNote
 * @typedef {import("./outbox.js").Waiting} Waiting
 * @typedef {import("./server.js").Day} Day
 * @typedef {import("./server.js").Receipt} Receipt
 * @typedef {{ code: string, sentence: string }} Trouble
 * @typedef {{ isTalking: boolean, ok_at: number | null, trouble: Trouble | null }} Status
 * @typedef {{
 *   unsaved: () => SentNote[],
 *   named: (receipts: Receipt[], refused: RefusedNote[]) => void,
 *   arrived: (notes: SentNote[]) => void,
 *   dayCame: (day: Day) => void,
 *   handsChanged: () => void,
 *   statusChanged: (status: Status) => void,
 * }} Listener
 */

import * as outbox from "./outbox.js";
import * as seats from "./seats.js";
import * as server from "./server.js";
import { inTurn } from "./tabs.js";

const MOST_AT_ONCE = 200;
const BACK_OFF_MS = [1000, 2000, 4000, 8000, 15_000, 30_000];
const AFTER_ALL_IS_WELL_MS = 60_000;
const DAY_IS_OLD_MS = 5 * 60_000;

export class Sync {
  #owner;
  #listener;
  /** @type {Status} */
  #status = { isTalking: false, ok_at: null, trouble: null };
  #isConfirmed = false;
  #dayAt = 0;
  #failures = 0;
  #isAgain = false;
  #isStopped = false;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #timer;
  /** @type {EventSource | null} */
  #stream = null;
  /** @type {Set<string>} notes the server could not read, set back so that they hold nothing up */
  #setBack = new Set();
  #cursor = 0;
  /** Which day the page shows. @type {string | undefined} */
  #revision;

  /** @param {import("./seats.js").Held} held @param {Listener} listener */
  constructor(held, listener) {
    this.#owner = held.owner;
    this.#revision = held.day?.revision;
    this.#listener = listener;
  }

  start() {
    document.addEventListener("visibilitychange", this.#seen);
    addEventListener("pageshow", this.#seen);
    addEventListener("pagehide", this.#hushed);
    addEventListener("online", this.#seen);
    this.#seen();
    void seats.kept(`ok ${this.#owner}`).then((at) => {
      if (this.#status.ok_at === null && typeof at === "number") this.#say({ ok_at: at });
    }, () => undefined);
  }

  stop() {
    this.#isStopped = true;
    clearTimeout(this.#timer);
    this.#hushed();
    document.removeEventListener("visibilitychange", this.#seen);
    removeEventListener("pageshow", this.#seen);
    removeEventListener("pagehide", this.#hushed);
    removeEventListener("online", this.#seen);
  }

  /** A note was written: send it, unless the server was just found away; then its turn comes with the next try. */
  noteWritten() {
    if (this.#failures === 0) void this.now();
  }

  /** Talk to the server now; resolves when that went well or failed. */
  async now() {
    if (this.#isStopped) return;
    this.#isAgain = true;
    if (this.#status.isTalking) return;
    clearTimeout(this.#timer);
    this.#say({ isTalking: true });
    try {
      while (this.#isAgain && !this.#isStopped) {
        this.#isAgain = false;
        await inTurn(() => this.#talk());
      }
      if (this.#isStopped) return;
      this.#failures = 0;
      const now = Date.now();
      this.#say({ isTalking: false, ok_at: now, trouble: null });
      this.#listen();
      void seats.keep(`ok ${this.#owner}`, now).catch(() => undefined);
      this.#later(AFTER_ALL_IS_WELL_MS);
    } catch (error) {
      if (this.#isStopped) return;
      const wait_ms = BACK_OFF_MS[Math.min(this.#failures, BACK_OFF_MS.length - 1)] ?? 0;
      this.#failures += 1;
      this.#isConfirmed = this.#isConfirmed && !(error instanceof server.SaidNo);
      this.#say({ isTalking: false, trouble: troubleOf(error) });
      this.#later(wait_ms * (0.9 + 0.2 * Math.random()));
    }
  }

  async #talk() {
    const held = await seats.current().catch(() => undefined);
    if (held !== undefined && held?.owner !== this.#owner) return this.#handOver();
    // A join whose answer was lost may have given the cookie to another seat.
    if (await seats.kept("joining").catch(() => false)) this.#isConfirmed = false;
    const isOld = Math.abs(Date.now() - this.#dayAt) > DAY_IS_OLD_MS;
    if ((!this.#isConfirmed || isOld) && !(await this.#fetchDay(held?.day))) return;
    await this.#push();
    const revision = await this.#pull();
    if (revision !== undefined && revision !== this.#revision) await this.#fetchDay(held?.day);
  }

  /** @param {Day | null | undefined} before as it is kept @returns {Promise<boolean>} whether this seat is still at work */
  async #fetchDay(before) {
    const day = await server.day();
    if (this.#isStopped) return false;
    const isOurs = seats.ownerOf(day.show, day.seat) === this.#owner;
    // First the notes: a day is only kept with what it opened.
    if (isOurs && before) await this.#fetchOpened(before, day);
    await seats.holdSeat(day, this.#owner).catch(() => undefined);
    if (!isOurs) {
      this.#handOver();
      return false;
    }
    this.#isConfirmed = true;
    this.#dayAt = Date.now();
    this.#revision = day.revision;
    this.#listener.dayCame(day);
    return true;
  }

  /** What the cursor passed by while this seat might not read it. @param {Day} before @param {Day} day */
  async #fetchOpened(before, day) {
    for (const [classId, { opened }] of Object.entries(day.about_classes ?? {})) {
      if (opened === before.about_classes?.[classId]?.opened) continue;
      const notes = await server.notesOf(classId);
      await outbox.keepPulled(this.#owner, notes, null).catch(() => undefined);
      if (notes.length > 0) this.#listener.arrived(notes);
    }
  }

  #handOver() {
    if (this.#isStopped) return; // who stopped it turned to another seat
    this.stop();
    this.#listener.handsChanged();
  }

  async #push() {
    let atMost = MOST_AT_ONCE;
    for (;;) {
      const sent = await this.#next(atMost);
      if (sent.length === 0) return;
      let receipts;
      try {
        receipts = await server.push(sent.map((each) => each.note));
      } catch (error) {
        if (!(error instanceof server.SaidNo) || ![400, 413, 422].includes(error.status)) throw error;
        // The list as a whole was refused, so some note in it cannot be read: find it by halves, set it back.
        if (sent.length === 1) this.#setBack.add(String(sent[0]?.id));
        atMost = Math.max(1, Math.floor(sent.length / 2));
        continue;
      }
      atMost = MOST_AT_ONCE;
      const ids = new Set(sent.map((each) => each.id));
      const final = receipts.filter((each) => each.id !== null && ids.has(each.id) && outbox.isFinal(each));
      if (final.length === 0) throw new server.NoAnswer("The show office did not say what became of the notes.");
      const refused = await this.#settle(sent, final);
      this.#listener.named(final, refused);
    }
  }

  /** @param {number} atMost @returns {Promise<Waiting[]>} */
  async #next(atMost) {
    // Notes this phone could not save go first: the server is the only safe place for them.
    const unsaved = this.#listener.unsaved().filter((note) => !this.#setBack.has(note.id));
    const waiting = unsaved.map((note) => ({ seq: -1, owner: this.#owner, id: note.id, note })).slice(0, atMost);
    const ids = new Set(unsaved.map((note) => note.id));
    const kept = await outbox.nextToSend(this.#owner, atMost, this.#setBack).catch(() => []);
    return [...waiting, ...kept.filter((each) => !ids.has(each.id))].slice(0, atMost);
  }

  /** @param {Waiting[]} sent @param {Receipt[]} receipts @returns {Promise<RefusedNote[]>} */
  async #settle(sent, receipts) {
    const saved = sent.filter((each) => each.seq !== -1);
    const refused = saved.length > 0 ? await outbox.settleReceipts(saved, receipts) : [];
    for (const { owner, id, note } of sent.filter((each) => each.seq === -1)) {
      const receipt = receipts.find((each) => each.id === id);
      if (receipt !== undefined && outbox.isOut(receipt)) refused.push(outbox.refusedNote(owner, note, receipt));
    }
    return refused;
  }

  /** @returns {Promise<string | undefined>} the newest revision of the day */
  async #pull() {
    const { waiting } = await outbox.counts(this.#owner).catch(() => ({ waiting: 0 }));
    let cursor = await outbox.cursorOf(this.#owner).catch(() => this.#cursor);
    for (;;) {
      const page = await server.pull(cursor, waiting);
      const isFurther = page.cursor !== cursor; // it says nothing but where to go on
      if (page.notes.length > 0 || isFurther) {
        await outbox.keepPulled(this.#owner, page.notes, page.cursor).catch(() => undefined);
        if (page.notes.length > 0) this.#listener.arrived(page.notes);
      }
      this.#cursor = cursor = page.cursor;
      if (!page.more || !isFurther) return page.day;
    }
  }

  /** @param {number} wait_ms */
  #later(wait_ms) {
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => void this.now(), wait_ms);
  }

  /** @param {Partial<Status>} said */
  #say(said) {
    this.#status = { ...this.#status, ...said };
    this.#listener.statusChanged(this.#status);
  }

  #seen = () => {
    if (document.visibilityState === "hidden") {
      this.#hushed();
      // One last try while the page may still run.
      if (this.#failures === 0) void this.now();
      return;
    }
    this.#setBack.clear();
    this.#listen();
    void this.now();
  };

  #hushed = () => {
    this.#stream?.close();
    this.#stream = null;
  };

  #listen() {
    if (this.#stream !== null || this.#isStopped || document.visibilityState === "hidden") return;
    const stream = new EventSource("/api/stream");
    this.#stream = stream;
    let isFirst = true;
    stream.addEventListener("pull", () => void this.now());
    stream.onopen = () => {
      // Open again after a break: the server is back, and what it called meanwhile was not heard.
      if (!isFirst || this.#failures > 0) void this.now();
      isFirst = false;
    };
    stream.onerror = () => {
      isFirst = false;
      // Closed for good: it is opened again after the next exchange that goes well.
      if (stream.readyState === EventSource.CLOSED && this.#stream === stream) this.#stream = null;
    };
  }
}

/** @param {unknown} error @returns {Trouble} */
function troubleOf(error) {
  if (error instanceof server.SaidNo) return { code: error.code, sentence: error.message };
  if (error instanceof server.NoAnswer) return { code: "no_answer", sentence: error.message };
  return { code: "storage", sentence: "This phone's storage did not answer; it is tried again." };
}
