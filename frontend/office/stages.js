// @ts-check
/**
 * Where a class is on its day, and the step that follows. What the office sets is at the gate, in the ring, announced; that
 * a class is signed is seen from its cards.
 *
 * @typedef {{ label: string, to: string | null, done: string }} Step
 * @typedef {{ said: string, sign: string, next: Step | null, back: Step | null }} Stage
 */

/** @type {Readonly<Record<"none" | "gate" | "ring" | "signed" | "announced" | "changed", Stage>>} */
export const STAGES = {
  none: { said: "To come", sign: "○", next: { label: "Call to the gate", to: "gate", done: "Called to the gate." }, back: null },
  gate: {
    said: "At the gate",
    sign: "◔",
    next: { label: "Into the ring", to: "ring", done: "In the ring." },
    back: { label: "Not yet", to: null, done: "Not at the gate any more." },
  },
  ring: { said: "In the ring", sign: "◑", next: null, back: { label: "Back to the gate", to: "gate", done: "At the gate again." } },
  signed: { said: "Signed", sign: "◕", next: { label: "Announced", to: "announced", done: "Announced." }, back: null },
  changed: {
    said: "Changed since it was announced",
    sign: "!",
    next: { label: "Announced anew", to: "announced", done: "Announced anew." },
    back: { label: "Not announced", to: "ring", done: "Not announced any more." },
  },
  announced: { said: "Announced", sign: "●", next: null, back: { label: "Not announced", to: "ring", done: "Not announced any more." } },
};

/** @param {import("./desk.js").DeskClass} dayClass @returns {keyof typeof STAGES} */
export function stageOf({ stage, released, changed_since_announced }) {
  if (stage === "announced") return changed_since_announced ? "changed" : "announced";
  if (released) return "signed";
  return stage === "gate" || stage === "ring" ? stage : "none";
}
