// @ts-check
/**
 * A note in words, and who wrote it when: for undo, for disputes, for what the server refused.
 *
 * @typedef {import("../engine/shapes.js").Note} Note
 * @typedef {import("../engine/shapes.js").Trait} Trait
 * @typedef {import("../offline/server.js").Day} Day
 * @typedef {import("../offline/server.js").DayClass} DayClass
 */

import { capital, clock, degreeWord, listed, shortNameAmong } from "../lib/phrases.js";
import { isOfCard } from "./card.js";
import { session } from "./session.js";

/** The short name of a class, as it stands on its badge. @param {Pick<DayClass, "id">} dayClass */
export function shortName({ id }) {
  return shortNameAmong(id, session.day?.classes ?? []);
}

/** A class by both its names. @param {DayClass} dayClass */
export function named(dayClass) {
  return `${shortName(dayClass)}, ${dayClass.title}`;
}

/** The name of a view. @param {string} view */
export function viewTitle(view) {
  return session.day?.words.views[view]?.title ?? view;
}

/** Where one stands to see it: "from the rear". @param {string} view */
export function viewFrom(view) {
  return session.day?.words.views[view]?.from ?? `in the view ${view}`;
}

/** @param {string} trait @param {string | undefined} classId @returns {Trait | null} */
export function traitOf(trait, classId) {
  const standard = standardOf(classId);
  for (const criterion of standard?.criteria ?? []) {
    for (const each of criterion.traits) if (each.key === trait) return each;
  }
  return null;
}

/** The title of a criterion in a class. @param {string} criterion @param {string} classId */
export function criterionTitle(criterion, classId) {
  return standardOf(classId)?.criteria.find((each) => each.key === criterion)?.title ?? criterion;
}

/** What a note says, with its horse. @param {Note} note @returns {string} */
export function told(note) {
  const said = saidBy(note);
  return note.number && note.kind !== "entry" ? `${note.number}: ${said}` : said;
}

/** What a note says, without its horse. @param {Note} note @returns {string} */
export function saidBy(note) {
  switch (note.kind) {
    case "mark":
      return markSaid(traitOf(String(note.trait), note.class) ?? unknown(String(note.trait)), note.degree ?? 0);
    case "looked":
      return note.done ? `looked at ${viewFrom(String(note.view))}` : `look ${viewFrom(String(note.view))} taken back`;
    case "remark":
      return remarkSaid(note);
    case "over":
      return note.winner
        ? `${note.winner} over ${note.pair?.find((each) => each !== note.winner) ?? ""}`
        : `no call between ${listed(note.pair ?? [])}`;
    case "ruling":
      return note.outcome ? withReason(note.outcome, note.reason) : "no ruling";
    case "order":
      return note.numbers ? `own order ${listed(note.numbers)}` : "no own order";
    case "sign":
      return note.numbers ? `signed ${listed(note.numbers)}` : withReason("signature taken back", note.reason);
    case "lameness":
      return callSaid(note);
    case "presence":
      return note.state ?? "neither present nor absent";
    case "entry":
      return entrySaid(note);
    default:
      return note.kind;
  }
}

/** How a horse stands that the order leaves out. */
export const LEFT_OUT = { standing: "left out of your order", reason: null };

/** Why a horse is not placed. @param {Pick<import("../engine/placing.js").Placing["unplaced"][0], "reason"> & { standing: string | null }} unplaced */
export function standingSaid({ standing, reason }) {
  return withReason(session.day?.words.standings[standing ?? ""] ?? standing ?? "", reason);
}

/** What a note is about, without its horse: "Topline in profile", "Ruling". @param {Note} note */
export function subjectOf(note) {
  const seen = note.view ? ` ${viewFrom(note.view)}` : "";
  if (note.kind === "mark") return `${traitOf(String(note.trait), note.class)?.title ?? note.trait}${seen}`;
  return `${capital(session.day?.words.slots[note.kind] ?? note.kind)}${seen}`;
}

/** Whether this seat may say which note of a dispute stands. @param {import("./card.js").Card} card @param {Note} note */
export function maySettle({ seat, signature }, note) {
  if (signature !== null && note.kind !== "sign" && isOfCard(note.kind, seat)) return false;
  return session.writes(note.kind) && (note.kind !== "lameness" || (note.card ?? note.by) === (seat.card ?? seat.id));
}

/** Who wrote a note, and when. @param {Note} note */
export function writtenBy(note) {
  const isOwnSeat = note.by === session.held?.seat.id;
  const isHere = session.notebook?.isFromHere(note.id) === true;
  const who = isHere ? "this phone" : isOwnSeat ? "your seat, another device" : seatName(note.by);
  return `${who}, ${clock(note.at, Date.now())}`;
}

/** The judge whose card it is. @param {string} card */
export function cardNamed(card) {
  return seatName(card);
}

/** The name of a seat of one's card; of another, what the notes call it. @param {string} id */
function seatName(id) {
  return session.day?.seats?.find((seat) => seat.id === id)?.name ?? id;
}

/** A degree on a trait, in the words of its end. @param {Pick<Trait, "title" | "faulty" | "good">} trait @param {number} degree 0 where there is none */
export function markSaid({ title, faulty, good }, degree) {
  if (degree === 0) return `no mark on ${title.toLowerCase()}`;
  return `${degree < 0 ? faulty : good}, ${degreeWord(degree)}`;
}

/** A trait the standard does not have any more. @param {string} key */
function unknown(key) {
  return { title: key, faulty: key, good: key };
}

/** @param {Note} note */
function remarkSaid(note) {
  const text = [note.tag, note.text].filter((each) => each).join(": ");
  return text || "remark taken back";
}

/** @param {Note} note */
function callSaid(note) {
  if ((note.grade ?? null) === null) return "no lameness call";
  const of = note.observer ? ` by the ${note.observer}` : "";
  const seen = [note.gait, note.limb, note.circumstance, note.text].filter((each) => each);
  return `lameness grade ${note.grade}${of}${seen.length > 0 ? ` (${seen.join(", ")})` : ""}`;
}

/** @param {Note} note */
function entrySaid(note) {
  if (note.now) return withReason(`${note.number} is now ${note.now}`, note.reason);
  return note.identification ? `${note.number} entered: ${note.identification}` : `${note.number} entered`;
}

/** @param {string} said @param {string | null | undefined} reason */
function withReason(said, reason) {
  return reason ? `${said}: ${reason}` : said;
}

/** The standard a class goes by. @param {string | undefined} classId */
export function standardOf(classId, day = session.day) {
  const key = day?.classes.find((each) => each.id === classId)?.standard;
  return day?.standards.find((each) => each.key === key) ?? null;
}
