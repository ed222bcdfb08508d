// @ts-check
/**
 * Where a class is on its day, and the step that follows. What the office sets is at the gate, in the ring, announced; from
 * its cards it is seen that a class is signed, and whether one is being corrected, for the announcer as for the office.
 *
 * @typedef {{ label: string, to: string | null, done: string }} Step
 * @typedef {{ said: string, sign: string, next: Step | null, back: Step | null }} Stage
 */

import { standingOf } from "../announce/announcing.js";
import { judgesOf } from "./desk.js";

/** @type {Readonly<Record<"none" | "gate" | "ring" | "withdrawn" | "signed" | "announced" | "changed", Stage>>} */
export const STAGES = {
  none: { said: "To come", sign: "○", next: { label: "Call to the gate", to: "gate", done: "Called to the gate." }, back: null },
  gate: {
    said: "At the gate",
    sign: "◔",
    next: { label: "Into the ring", to: "ring", done: "In the ring." },
    back: { label: "Not called after all", to: null, done: "Not at the gate any more." },
  },
  ring: { said: "In the ring", sign: "◑", next: null, back: { label: "Back to the gate", to: "gate", done: "At the gate again." } },
  withdrawn: { said: "Being corrected", sign: "■", next: null, back: null },
  signed: { said: "Signed", sign: "◕", next: { label: "Mark as announced", to: "announced", done: "Marked as announced." }, back: null },
  changed: {
    said: "Changed since it was announced",
    sign: "!",
    next: { label: "Mark the correction as announced", to: "announced", done: "The correction is marked as announced." },
    back: { label: "Not announced after all", to: "ring", done: "Not announced any more." },
  },
  announced: { said: "Announced", sign: "●", next: null, back: { label: "Not announced after all", to: "ring", done: "Not announced any more." } },
};

/** @param {import("./desk.js").DeskClass} dayClass @returns {keyof typeof STAGES} */
export function stageOf(dayClass) {
  const { stage, released, signed, changed_since_announced } = dayClass;
  const awaited = judgesOf(dayClass).flatMap(({ id }) => (id in signed ? [] : id));
  const standing = standingOf(released ? { awaited, stage, changed_since_announced } : null, stage);
  if (standing === "ready") return "signed";
  if (standing !== "waits") return standing;
  return stage === "gate" || stage === "ring" ? stage : "none";
}
