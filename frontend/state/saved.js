// @ts-check
/**
 * The truth about saving, in words: what the phone and the server have said, and never a guess.
 *
 * @typedef {"writing" | "unsaved" | "here" | "waiting" | "refused" | "office" | "locked-out" | "nothing"} SavedState
 * @typedef {{ state: SavedState, short: string, long: string }} Saved
 */

import { ago, counted } from "../lib/phrases.js";
import { lateSaid, session } from "./session.js";

/** @type {Saved} */
const BEING_SAVED = { state: "writing", short: "Saving", long: "Being saved on this phone." };

/** @param {number} now_ms @returns {Saved} */
export function saved(now_ms) {
  const { writing, unsaved, unnamed } = session.notebook?.saving ?? { writing: 0, unsaved: 0, unnamed: 0 };
  // The count of the disk comes a moment late; what this page wrote and nobody named is known at once.
  const waiting = Math.max(session.counts.waiting, unnamed);
  const late = session.refused.filter((each) => each.late === true).length;
  const refused = session.counts.refused - late;
  const { trouble, ok_at } = session.status;
  if (unsaved > 0) {
    return {
      state: "unsaved",
      short: `${unsaved} not saved on this phone`,
      long:
        `${counted(unsaved, "note")} could not be saved on this phone: its storage is full or does not answer. ` +
        `Keep this page open: it tries again every few seconds${session.alone === null ? ", and sends them to the show office at once" : ""}.`,
    };
  }
  if (session.alone !== null) {
    const short = session.alone === "own" ? "Saved here" : "Practice";
    if (writing > 0) return BEING_SAVED;
    return { state: "here", short, long: "All is saved on this phone, and on this phone alone. Nothing is sent." };
  }
  if (refused > 0) {
    return {
      state: "refused",
      short: `${refused} refused`,
      long: `The show office did not take ${counted(refused, "note")}. The reasons are on this page; none is lost.`,
    };
  }
  if (late > 0) return { state: "refused", short: `${late} came too late`, long: lateSaid(late) };
  if (trouble !== null && ["not_joined", "revoked"].includes(trouble.code)) {
    return {
      state: "locked-out",
      short: `${waiting} waiting, join again`,
      long:
        "The show office does not know this phone any more. Everything noted is saved here and goes out when you join " +
        "again with the code of your seat.",
    };
  }
  if (writing > 0) return BEING_SAVED;
  if (waiting > 0) {
    return {
      state: "waiting",
      short: `Saved here, ${waiting} to send`,
      long:
        `All is saved on this phone; ${counted(waiting, "note")} still to reach the show office. ` +
        (trouble === null ? "Being sent." : `${trouble.sentence} It is tried again by itself; nothing blocks marking.`),
    };
  }
  if (ok_at === null) {
    return { state: "nothing", short: "Saved here", long: "The show office was not reached yet." };
  }
  return {
    state: "office",
    short: trouble === null ? "At the office" : "All sent",
    long: `All is at the show office. Last reached ${ago(ok_at, now_ms)}.`,
  };
}

/** Whether this phone is set for the day, in one line, and what is missing where it is not. */
export function readiness() {
  const day = session.day;
  if (day === null) return { isReady: false, line: "Not ready: the day's classes were not fetched yet.", why: null };
  const numbers = day.classes.reduce((sum, each) => sum + listedIn(each), 0);
  const holds = `${counted(day.classes.length, "class", "classes")}, ${counted(numbers, "number")}`;
  if (session.shell === "ready") {
    const line = session.alone === null ? `Ready for the day: ${holds}` : `On this phone, without any network: ${holds}`;
    return { isReady: true, line, why: null };
  }
  if (session.shell === "starting") return { isReady: false, line: `Getting ready: ${holds}`, why: null };
  const why =
    session.shell === "missing"
      ? "This address is not secure (https), so the browser cannot open the page without a network. " +
        "While the page stays open everything works and is saved on this phone; do not close or reload it out of reach."
      : "The page could not be fetched whole for use without a network. It is tried again by itself; stay within reach, " +
        "and do not close or reload it until it is ready.";
  return { isReady: false, line: `On this phone: ${holds}`, why };
}

/**
 * How many horses are listed in a class; the late ones too, once it is read from the phone, which this asks for.
 * @param {import("../offline/server.js").DayClass} dayClass
 */
export function listedIn(dayClass) {
  void session.notebook?.open(dayClass.id);
  return (session.notebook?.card(dayClass.id)?.horses ?? dayClass.entries).length;
}

/** What the browser promised about keeping what is saved here. */
export function persistence() {
  if (session.isPersistent === undefined) return "Asking the browser to keep what is saved.";
  if (session.isPersistent) return "The browser promised to keep what is saved here.";
  return (
    "The browser made no promise to keep what is saved here, and may clear it when the phone runs out of space. " +
    "Adding Nearside to the home screen usually gets the promise."
  );
}
