// @ts-check
/**
 * A class file read and checked, `nearside-class/1`: what cannot be relied on is refused with its place, in one line.
 *
 * Which fields there are and what they hold is data (`files/class-file.json`); what one says against another stands
 * here. A number that was noted and never entered is no fault: nothing a judge wrote is lost.
 *
 * @typedef {import("../engine/shapes.js").Note} Note
 * @typedef {import("../engine/shapes.js").Entry} Entry
 * @typedef {import("../engine/shapes.js").Standard} Standard
 * @typedef {import("../engine/shapes.js").ShowClass} ShowClass
 * @typedef {{ class: ShowClass, standard: Standard, entries: Entry[], card: string, notes: Note[] }} Source a class with
 *   its notes, from a file or from this phone
 */

import { KINDS } from "../engine/merging.js";
import { isFaultOnly, isJudged } from "../engine/standard.js";
import { canonical } from "../lib/canonical.js";
import { needsReason } from "./ruling.js";

export const FORMAT = "nearside-class/1";
/** @type {Record<string, any>} */
let shapes = {};
/** What a standard may leave unsaid: a trait of ordinary weight, and what its degrees count. */
const USUAL = { weight: 2, degrees: [1, 2, 4] };

/**
 * @param {string} text
 * @param {readonly Standard[]} shipped the standards that come with Nearside, which a file names by key
 * @param {Record<string, any>} data of `files/class-file.json`
 * @returns {Source}
 * @throws {Error} with one line that says where and what
 */
export function readClassFile(text, shipped, data) {
  shapes = data;
  let file;
  try {
    file = JSON.parse(text);
  } catch {
    throw new Error("This is no class file, or it is damaged: it is not JSON. Take the file anew.");
  }
  if (file?.format !== FORMAT) throw new Error(`This is no class file: its format is not ${FORMAT}.`);
  check(shapes.file, file, "");
  const named = file.class.standard;
  const isWhole = typeof named === "object";
  if (isWhole) check(shapes.standard, named, "class.standard");
  const standard = isWhole ? filledIn(named) : shipped.find(({ key }) => key === named);
  if (standard === undefined) return refuse("class.standard", `${short(named)} is no standard that comes with Nearside`);
  const traits = standard.criteria.flatMap((criterion) => criterion.traits);
  once(standard.criteria, "key", "class.standard.criteria");
  once(traits, "key", "class.standard.criteria");
  if (!standard.degrees.every((each, place, all) => place === 0 || each > Number(all[place - 1]))) refuse("class.standard.degrees", "must each be larger than the one before");
  const half = traits.find(({ good, more }) => !good !== !more);
  if (half !== undefined) refuse("class.standard.criteria", `has a good end without more for ${short(half.key)}, or the other way round`);
  once(file.entries, "number", "entries");
  /** @type {Map<string, Note>} */
  const notes = new Map();
  for (const [place, note] of file.notes.entries()) {
    const at = `notes[${place}]`;
    const kind = String(note?.kind);
    if (!Object.hasOwn(KINDS, kind)) refuse(`${at}.kind`, "is no kind of note");
    check({ ...shapes.every, ...shapes[kind] }, note, at);
    const problem = atOdds(note) ?? problemOf(note, standard, file.class.sexes);
    if (problem !== null) refuse(at, problem);
    const known = notes.get(note.id);
    if (known !== undefined && canonical(known) !== canonical(note)) refuse(`${at}.id`, "is the id of another note too");
    notes.set(note.id, note);
  }
  return { class: file.class, standard, entries: file.entries, card: file.card, notes: [...notes.values()] };
}

/**
 * Why a class of this standard and these sexes does not take the note, or null.
 * @param {Note} note
 * @param {Standard} standard
 * @param {readonly string[]} sexes
 */
export function problemOf({ kind, trait, view, degree }, standard, sexes) {
  if (view !== undefined && !standard.views.includes(view)) return `${short(view)} is no view of the standard`;
  if (kind !== "mark") return null;
  const found = standard.criteria.flatMap(({ traits }) => traits).find(({ key }) => key === trait);
  if (found === undefined || !isJudged(found, sexes)) return `${short(found?.title ?? trait)} is not judged in the class`;
  if (!found.views.includes(String(view))) return `${short(found.title)} is not judged in the view ${view}`;
  return (degree ?? 0) > 0 && isFaultOnly(found) ? `${short(found.title)} can only be a fault` : null;
}

/** What one field of a note says against another, or null. @param {Note} note */
function atOdds({ kind, card, observer, number, now, numbers, pair, winner, outcome, reason }) {
  if (numbers && new Set(numbers).size < numbers.length) return "names a horse twice";
  if (pair !== undefined && (pair[0] === pair[1] || (winner !== null && !pair.includes(String(winner))))) {
    return "needs two different numbers, and a winner of the two";
  }
  if (!reason && (needsReason(outcome) || (kind === "sign" && numbers === null))) {
    return "needs a reason";
  }
  if (kind === "lameness" && ((card ?? null) === null) === !observer) return "needs a card or else an observer";
  return kind === "entry" && (now === number || (!now && (reason ?? null) !== null)) ? "needs another number as now" : null;
}

/** @param {any} value @returns {Standard} */
function filledIn(value) {
  const criteria = value.criteria.map((/** @type {any} */ criterion) => ({
    ...criterion,
    traits: criterion.traits.map((/** @type {any} */ trait) => ({ ...trait, weight: trait.weight ?? USUAL.weight })),
  }));
  return { ...value, degrees: value.degrees ?? USUAL.degrees, criteria };
}

/** Whether a value has the shape that the data tells. @param {any} shape @param {any} value @param {string} at */
function check(shape, value, at) {
  if (typeof shape === "string") return check(shapes.named[shape], value, at);
  if (shape === null) return;
  if (Array.isArray(shape)) {
    const [each, least = 0, most = Infinity] = shape;
    if (!Array.isArray(value) || value.length < least || value.length > most) refuse(at, "must be a list, or has too few or too many");
    for (const [place, one] of value.entries()) check(each, one, `${at}[${place}]`);
  } else if (shape.one) {
    if (!shape.one.includes(value)) refuse(at, `must be one of ${shape.one.map(String).join(", ")}`);
  } else if (shape.to) {
    if (!Number.isInteger(value) || value < shape.from || value > shape.to) refuse(at, `must be a whole number from ${shape.from} to ${shape.to}`);
  } else if (shape.match) {
    if (typeof value !== "string" || !new RegExp(shape.match, "u").test(value)) refuse(at, shape.says);
  } else {
    if (value === null || typeof value !== "object" || Array.isArray(value)) refuse(at, "must be an object");
    const dot = at === "" ? "" : `${at}.`;
    const left = new Set(Object.keys(value));
    for (const [field, each] of Object.entries(shape)) {
      const name = field.replace(/\W/, "");
      left.delete(name);
      const isNull = (value[name] ?? null) === null && (field.endsWith("?") || (field.endsWith("!") && name in value));
      if (!isNull) check(each, value[name], dot + name);
    }
    for (const name of left) refuse(dot + name.slice(0, 40), "is not a field known here");
  }
}

/** @param {readonly any[]} list @param {string} field @param {string} at */
function once(list, field, at) {
  const values = list.map((each) => each[field]);
  const twice = values.find((value, place) => values.indexOf(value) !== place);
  if (twice !== undefined) refuse(at, `names ${short(twice)} twice`);
}

/** @param {string} at @param {string} problem @returns {never} */
function refuse(at, problem) {
  throw new Error(`This class file cannot be used: ${at} ${problem}.`);
}

/** @param {unknown} value */
function short(value) {
  return `“${String(value).slice(0, 40)}”`;
}
