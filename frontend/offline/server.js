// @ts-check
/**
 * What the page asks of the server, and what can come back: an answer, a refusal with its sentence, or nothing usable.
 *
 * Nothing usable is a `NoAnswer`: no network, no answer in time, a server in trouble, a sign-in page of the hotel's
 * network in the place of ours. Then nothing is known about what the server did, and one asks again.
 *
 * @typedef {import("../engine/shapes.js").Note} Note
 * @typedef {import("../engine/shapes.js").Entry} Entry
 * @typedef {import("../engine/shapes.js").Standard} Standard
 * @typedef {import("../engine/shapes.js").ShowClass} ShowClass
 * @typedef {{ id: string, title: string }} Show
 * @typedef {{ id: string, role: string, name: string, card: string | null }} Seat
 * @typedef {ShowClass & { standard: string, entries: Entry[] }} DayClass
 * @typedef {{ format: string, show: Show, seat: Seat, seats?: (Omit<Seat, "card"> & { classes?: string[] })[], classes: DayClass[],
 *   standards: Standard[], words: Words, seen?: Record<string, Record<string, string>>,
 *   championships?: Show[], hints?: Hint[], revision?: string, about_classes?: Record<string, AboutClass> }} Day `seats`, those of the same
 *   card, for a steward and the office the judges; a day fetched by an older page has none. `seen`, what there is to see
 *   of a practice horse, view by view
 * @typedef {{ stage?: string | null, opened?: string, is_yours?: false }} AboutClass where it is in the day; a text that changes when notes
 *   of it became readable that came earlier; that another judge judges it
 * @typedef {{ name: string, spot: "traits" | "thumb" | "pair", control: string, text: string }} Hint of the practice class
 * @typedef {{ views: Record<string, { title: string, from: string }>, standings: Record<string, string>,
 *   slots: Record<string, string> }} Words
 * @typedef {{ id: string | null, status: string, reason: string | null }} Receipt
 */

const ANSWERS_WITHIN_MS = 10_000;

/** Nobody answered, or nobody of ours. */
export class NoAnswer extends Error {}

/** The server understood and said no; its sentence says why and what to do. */
export class SaidNo extends Error {
  /** @param {string} code @param {string} sentence @param {number} status */
  constructor(code, sentence, status) {
    super(sentence);
    this.code = code;
    this.status = status;
  }
}

/** @param {string} code @returns {Promise<{ show: Show, seat: Seat }>} */
export async function join(code) {
  return /** @type {any} */ (await ask("/api/join", "seat", { code }));
}

/** @returns {Promise<Day>} */
export async function day() {
  return /** @type {any} */ (await ask("/api/day", "classes"));
}

/** @param {readonly Note[]} notes @returns {Promise<Receipt[]>} */
export async function push(notes) {
  const answer = /** @type {any} */ (await ask("/api/notes", "receipts", { notes }));
  return answer.receipts;
}

/**
 * @param {number} after
 * @param {number} [waiting] how many notes wait here, for the office to know
 * @returns {Promise<{ notes: (Note & { class: string })[], cursor: number, more: boolean, day?: string }>} `day`, which
 *   revision of the day is the newest
 */
export async function pull(after, waiting = 0) {
  return /** @type {any} */ (await ask(`/api/notes?after=${after}&limit=500&waiting=${waiting}`, "notes"));
}

/** All of a class that this seat may read now. @param {string} classId @returns {Promise<(Note & { class: string })[]>} */
export async function notesOf(classId) {
  const answer = /** @type {any} */ (await ask(`/api/classes/${encodeURIComponent(classId)}/notes`, "notes"));
  return answer.notes;
}

/**
 * @param {string} path
 * @param {string} holds a field the answer must have, so that nobody else's answer is taken for the server's
 * @param {object} [body] sent as JSON; without one it is a question only
 * @returns {Promise<unknown>}
 */
export async function ask(path, holds, body) {
  const post = { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(body) };
  let response;
  let answer;
  try {
    response = await fetch(path, { cache: "no-store", signal: AbortSignal.timeout(ANSWERS_WITHIN_MS), ...(body && post) });
    answer = await response.json();
  } catch (error) {
    const isLate = /** @type {any} */ (error).name === "TimeoutError";
    throw new NoAnswer(isLate ? "No answer within 10 seconds." : "The show office cannot be reached from here.");
  }
  if (response.ok && answer !== null && typeof answer === "object" && holds in answer) {
    return answer;
  }
  const said = answer?.error;
  if (response.status >= 400 && response.status < 500 && typeof said?.sentence === "string") {
    throw new SaidNo(String(said.code), said.sentence, response.status);
  }
  throw new NoAnswer(
    response.ok ? "Somebody else answered in the place of the show office." : "The show office is in trouble just now.",
  );
}
