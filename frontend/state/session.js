// @ts-check
/**
 * Which seat is open in this browser, and everything that hangs on it: the notebook, the exchange with the server, what
 * the phone promised about keeping. One for the page; elements read it, and call what changes it. A seat that is alone
 * has no exchange.
 *
 * @typedef {import("../offline/seats.js").Held} Held
 * @typedef {import("../offline/seats.js").Alone} Alone
 * @typedef {import("../offline/server.js").Day} Day
 * @typedef {import("../offline/outbox.js").Counts} Counts
 * @typedef {import("../offline/outbox.js").RefusedNote} RefusedNote
 * @typedef {import("../offline/shell.js").Shell} Shell
 * @typedef {import("../offline/sync.js").Status} Status
 * @typedef {{ isBusy: boolean, trouble: string | null }} Joining
 * @typedef {{ held: Held, waiting: number, opens: boolean }} OnPhone a seat held here; whether it opens without its code
 */

import { canonical } from "../lib/canonical.js";
import { changed } from "../lib/part.js";
import { counted, notKept } from "../lib/phrases.js";
import { basics } from "../offline/basics.js";
import * as outbox from "../offline/outbox.js";
import * as seats from "../offline/seats.js";
import * as server from "../offline/server.js";
import { askToPersist, holdShell } from "../offline/shell.js";
import { Sync } from "../offline/sync.js";
import * as tabs from "../offline/tabs.js";
import { dayNews } from "./day-news.js";
import { restoreLines } from "./line.js";
import { Notebook } from "./notebook.js";
import { codeInAddress, followAddress, forgetCode, go, place, restore, START } from "./place.js";
import { say } from "./voice.js";

/** What each role writes on this page; the server has the last word. @type {Readonly<Record<string, string[]>>} */
const WRITES = {
  judge: ["mark", "looked", "remark", "over", "ruling", "order", "sign", "lameness", "presence", "entry"],
  scribe: ["mark", "looked", "remark", "over", "ruling", "order", "lameness", "presence", "entry"],
  trainee: ["mark", "looked", "remark", "over", "order", "sign", "lameness"],
  steward: ["lameness", "presence", "entry"],
  office: ["lameness", "presence", "entry"],
  announcer: [],
};

const NOT_KEPT = notKept("what it was given");

/** Why something could not be done, in a line. @param {unknown} error */
function troubleSaid(error) {
  return error instanceof server.SaidNo || error instanceof server.NoAnswer ? error.message : NOT_KEPT;
}

/** Say why something was not done; where the page has no place for it. @param {unknown} error */
export function notDone(error) {
  say(troubleSaid(error), true);
}

/** What became of notes that reached the office after their card was signed. @param {number} count */
export function lateSaid(count) {
  const [they, were] = count === 1 ? ["it changes", "was"] : ["they change", "were"];
  return `${counted(count, "note")} reached the office after the card was signed: ${they} nothing, and ${were} put aside, there and here.`;
}

class Session {
  /** @type {"starting" | "nobody" | "joined"} */
  phase = "starting";
  /** @type {Held | null} */
  held = null;
  /** @type {Notebook | null} */
  notebook = null;
  /** @type {Joining} */
  joining = { isBusy: false, trouble: null };
  /** A code from a link, opened while this browser is joined as somebody. @type {string | null} */
  codeOffered = null;
  /** @type {Counts} */
  counts = { waiting: 0, refused: 0 };
  /** @type {RefusedNote[]} */
  refused = [];
  /** @type {Status} */
  status = { isTalking: false, ok_at: null, trouble: null };
  /** @type {Shell} */
  shell = "starting";
  /** @type {boolean | null | undefined} undefined while it is not known */
  isPersistent = undefined;
  newerWaits = false;
  /** All the seats this browser holds. @type {OnPhone[]} */
  onPhone = [];
  /** @type {Sync | null} */
  #sync = null;

  /** The day, once joined. @returns {Day | null} */
  get day() {
    return this.held?.day ?? null;
  }

  /** The card of the open class, or null until it is read from the disk. */
  get card() {
    return this.notebook?.card(place().class ?? "") ?? null;
  }

  /** What kind of show of one's own is open, null at a show with an office. */
  get alone() {
    return this.held?.alone ?? null;
  }

  /** The other seats with notes still to send. */
  get others() {
    return this.onPhone.filter(({ held, waiting }) => waiting > 0 && held.owner !== this.held?.owner);
  }

  /** Whether the seat writes notes of this kind. @param {string} kind */
  writes(kind) {
    return (WRITES[this.held?.seat.role ?? ""] ?? []).includes(kind);
  }

  /** Read what this browser holds, and begin. */
  async start() {
    tabs.listen((message) => this.#heard(message));
    followAddress(() => this.#joinLinkOpened());
    void holdShell(
      (shell) => this.#set({ shell }),
      () => this.#set({ newerWaits: true }),
    );
    await this.#begin();
  }

  /** Join with a code. @param {string} code */
  async join(code) {
    if (this.joining.isBusy) return;
    this.#set({ joining: { isBusy: true, trouble: null } });
    try {
      await tabs.inTurn(() => this.#joinInTurn(code));
      this.codeOffered = null;
      forgetCode();
      await this.#begin();
      go(START);
      tabs.tell({ kind: "hands" });
    } catch (error) {
      this.#set({ joining: { isBusy: false, trouble: troubleSaid(error) } });
    }
  }

  /** Stay who one is, and forget the code of the link. */
  declineCode() {
    forgetCode();
    this.#set({ codeOffered: null, joining: { isBusy: false, trouble: null } });
  }

  /** Show the page for joining, to take another seat. */
  offerAnotherSeat() {
    this.#set({ codeOffered: "" });
  }

  /** Open another seat this browser holds. @param {string} owner */
  openHeld(owner) {
    return this.#turn(() => seats.openHeld(owner));
  }

  /**
   * Open a show of one's own, made where there is none yet.
   * @param {Alone} alone
   * @param {() => Promise<Day>} made
   * @param {string} [instead] made anew in any case; this seat of one's own is given up for it, with all its notes
   */
  openAlone(alone, made, instead) {
    const kept = this.onPhone.find(({ held }) => held.alone === alone);
    if (kept !== undefined && instead === undefined) return this.openHeld(kept.held.owner);
    return this.#turn(async () => seats.holdAlone(await made(), alone, instead));
  }

  /** Change the day of the open seat, which is alone. @param {(day: Day) => Day} change */
  async changeDay(change) {
    const { held } = this;
    if (held === null || held.alone === undefined || held.day === null) return;
    this.#takeDay(await seats.changeDay(held.owner, change));
    tabs.tell({ kind: "hands" });
  }

  /** Talk to the server now. */
  async tryNow() {
    await this.#sync?.now();
  }

  /** @param {readonly RefusedNote[]} refused */
  async sendAgain(refused) {
    await outbox.sendAgain(refused);
    this.notebook?.takeFromHere(refused.map(({ note }) => note));
    await this.#count();
    this.#sync?.noteWritten();
  }

  /** @param {readonly RefusedNote[]} refused */
  async putAside(refused) {
    await outbox.putAside(refused);
    await this.#count();
  }

  /** @param {string} code */
  async #joinInTurn(code) {
    // Should the answer get lost, the cookie may be another seat's: until that is cleared up nothing is sent.
    await seats.keep("joining", true);
    try {
      await server.join(code);
    } catch (error) {
      if (error instanceof server.SaidNo) await seats.keep("joining", false);
      throw error;
    }
    await seats.holdSeat(await server.day());
  }

  async #begin() {
    this.#sync?.stop();
    this.#sync = null;
    this.notebook = null;
    const held = await this.#heldNow();
    if (held === null) {
      this.#set({ phase: "nobody", held: null, codeOffered: codeInAddress() });
      await this.#countAll();
      if (this.codeOffered !== null) void this.join(this.codeOffered);
      return;
    }
    const notebook = new Notebook(held);
    const sync = held.alone === undefined ? this.#exchange(held, notebook) : null;
    notebook.onKept = () => {
      void this.#count();
      sync?.noteWritten();
    };
    await Promise.all([restore(held.owner), restoreLines(held.owner)]);
    this.notebook = notebook;
    this.#sync = sync;
    this.#set({
      phase: "joined",
      held,
      joining: { isBusy: false, trouble: null },
      status: { isTalking: false, ok_at: null, trouble: null },
      codeOffered: codeInAddress(),
    });
    await this.#count();
    void this.#countAll();
    if (sync === null) this.#takeWords(held).catch(() => undefined);
    sync?.start();
    void askToPersist().then((isPersistent) => this.#set({ isPersistent }));
  }

  /** The words of this page's own version: no office sends a newer day. @param {Held} held */
  async #takeWords(held) {
    const { words } = await basics();
    if (this.held === held && canonical(words) !== canonical(held.day?.words)) await this.changeDay((day) => ({ ...day, words }));
  }

  /** @param {Held} held @param {Notebook} notebook */
  #exchange(held, notebook) {
    return new Sync(held, {
      unsaved: () => notebook.unsaved,
      named: (receipts, refused) => this.#named(notebook, receipts, refused),
      arrived: (notes) => {
        notebook.take(notes);
        tabs.tell({ kind: "notes", owner: held.owner, notes, here: false, named: [], gone: [] });
      },
      dayCame: (day) => this.#dayCame({ ...held, day, day_at: Date.now() }),
      handsChanged: () => void this.#handedOver(),
      statusChanged: (status) => this.#set({ status }),
    });
  }

  /** A day from the office, which may have changed the show meanwhile. @param {Held} held */
  #dayCame(held) {
    const { day: before } = this;
    this.#takeDay(held);
    if (before === null || held.day === null) return;
    const { news, isGone } = dayNews(before, held.day, place().class);
    if (isGone) go(START);
    if (news !== "") say(news, true);
  }

  /** @param {Held} held */
  #takeDay(held) {
    this.held = held;
    this.notebook?.takeDay(held);
    changed();
  }

  /** Turn to another seat. Until that is held, all goes on as it was. @param {() => Promise<unknown>} hold @returns {Promise<boolean>} whether it is */
  async #turn(hold) {
    try {
      await hold();
    } catch (error) {
      if (this.phase === "joined" && this.codeOffered === null) notDone(error);
      else this.#set({ joining: { isBusy: false, trouble: troubleSaid(error) } });
      return false;
    }
    forgetCode();
    await this.#begin();
    go(START);
    tabs.tell({ kind: "hands" });
    return true;
  }

  /** @returns {Promise<Held | null>} */
  async #heldNow() {
    const held = await seats.current().catch(() => null);
    const isOpen = await seats.kept("joining").catch(() => false);
    if (held !== null && (held.alone !== undefined || !isOpen)) return held;
    if (held === null && !isOpen) return null;
    // A join whose answer was lost: whose is the cookie?
    try {
      return await seats.holdSeat(await server.day());
    } catch (error) {
      if (error instanceof server.SaidNo) await seats.keep("joining", false).catch(() => undefined);
      return held;
    }
  }

  /** The cookie turned out to be another seat's, or another tab joined anew: nothing under the hand stays as it was. */
  async #handedOver() {
    const before = this.held?.owner;
    const now = await seats.current().catch(() => null);
    // Another tab made or changed a class of one's own: all else here stays.
    if (now !== null && now.alone !== undefined && now.owner === before) return this.#takeDay(now);
    await this.#begin();
    if (this.held === null || this.held.owner === before) return;
    go(START);
    say(this.alone === null ? `This phone is now joined as ${this.held.seat.name}.` : `Open now: ${this.held.show.title}.`, true);
  }

  #joinLinkOpened() {
    const code = codeInAddress();
    if (this.phase === "nobody" && code !== null) void this.join(code);
    this.#set({ codeOffered: code });
  }

  /** @param {import("../offline/tabs.js").Message} message */
  #heard(message) {
    if (message.kind === "hands") {
      void this.#handedOver();
      return;
    }
    if (this.notebook === null || message.owner !== this.notebook.owner) return;
    if (message.here) this.notebook.takeFromHere(message.notes);
    else this.notebook.take(message.notes);
    this.notebook.letGo(message.named);
    void this.#dropGone(message.gone);
    void this.#count();
  }

  /** @param {string[]} ids refused in another tab */
  async #dropGone(ids) {
    if (ids.length === 0 || this.notebook === null) return;
    const refused = await outbox.refusedNotes(this.notebook.owner).catch(() => []);
    this.notebook.drop(refused.filter((each) => ids.includes(each.id)).map((each) => each.note));
  }

  /**
   * @param {Notebook} notebook
   * @param {import("../offline/server.js").Receipt[]} receipts
   * @param {RefusedNote[]} refused
   */
  #named(notebook, receipts, refused) {
    const named = receipts.map((receipt) => String(receipt.id));
    const gone = refused.map((each) => each.id);
    notebook.letGo(named);
    notebook.drop(refused.map((each) => each.note));
    const late = refused.filter((each) => each.late === true).length;
    if (late > 0) say(lateSaid(late), true);
    tabs.tell({ kind: "notes", owner: notebook.owner, notes: [], here: false, named, gone });
    void this.#count();
  }

  async #count() {
    const owner = this.notebook?.owner;
    if (owner === undefined) return;
    try {
      const counts = await outbox.counts(owner);
      this.refused = (await outbox.refusedNotes(owner)).filter((each) => !each.aside);
      this.#set({ counts });
    } catch {
      // the storage does not answer; what could not be saved is told by the notebook
    }
  }

  async #countAll() {
    try {
      // The server takes this browser for the seat joined last; only that one opens again without its code.
      const joined = this.alone === null ? null : await seats.kept("joined");
      const onPhone = [];
      for (const held of await seats.every()) {
        const { waiting } = await outbox.counts(held.owner);
        onPhone.push({ held, waiting, opens: held.alone !== undefined || held.owner === joined });
      }
      this.#set({ onPhone });
    } catch {
      // the storage does not answer; what was known of the seats stands
    }
  }

  /** @param {Partial<Session>} news */
  #set(news) {
    Object.assign(this, news);
    changed();
  }
}

export const session = new Session();
