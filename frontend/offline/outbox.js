// @ts-check
/**
 * Notes on this phone and notes on their way. (Those of a seat that is alone go nowhere.)
 *
 * A note written here goes into `notes` and `outbox` in one transaction. It leaves the outbox only when the server
 * names its id: kept or known, then it is done; refused, then it moves to `refused` with the reason, where it stays
 * for the person to deal with, and leaves `notes`, for the server does not have it and the card must show what is so;
 * what the server keeps under the same id, in another class or with another value, stays. What the office put aside
 * because it came after the card was signed leaves `notes` the same way.
 * An answer that was lost or that does not name the id changes nothing: the note is sent again, and the server, for
 * which notes are a set, says `known`.
 *
 * @typedef {import("../engine/shapes.js").Note} Note
 * @typedef {Note & { class: string }} SentNote
 * @typedef {import("./server.js").Receipt} Receipt
 * @typedef {{ owner: string, id: string, class: string, note: SentNote, here: boolean }} KeptNote
 * @typedef {{ owner: string, id: string, note: SentNote, reason: string, at: number, aside: boolean,
 *   late?: boolean }} RefusedNote `late`: kept by the office, but put aside, for its card was signed before it came
 * @typedef {{ seq: number, owner: string, id: string, note: SentNote }} Waiting
 * @typedef {{ waiting: number, refused: number }} Counts
 */

import { answered, transact } from "./db.js";

/**
 * Keep notes written on this phone; resolves when they are on its disk.
 * @param {string} owner
 * @param {readonly SentNote[]} notes
 * @param {unknown} undo the steps that can be taken back, kept along
 * @param {boolean} isSent whether they go to a server; notes of a seat that is alone do not
 */
export function keepWritten(owner, notes, undo, isSent) {
  return transact(["notes", "outbox", "keep"], "readwrite", (transaction) => {
    for (const note of notes) {
      transaction.objectStore("notes").put(keptNote(owner, note, true));
      if (isSent) transaction.objectStore("outbox").add({ owner, id: note.id, note });
    }
    transaction.objectStore("keep").put(undo, `undo ${owner}`);
  });
}

/**
 * The next notes to send, oldest first.
 * @param {string} owner
 * @param {number} atMost
 * @param {ReadonlySet<string>} except ids that are set back for now
 * @returns {Promise<Waiting[]>}
 */
export function nextToSend(owner, atMost, except) {
  return transact(["outbox"], "readonly", async (transaction) => {
    const index = transaction.objectStore("outbox").index("owner");
    /** @type {Waiting[]} */
    const found = await answered(index.getAll(owner, atMost + except.size));
    return found.filter((each) => !except.has(each.id)).slice(0, atMost);
  });
}

/**
 * The server named these notes. Resolves to those it refused or put aside.
 * @param {readonly Waiting[]} sent
 * @param {readonly Receipt[]} receipts
 * @returns {Promise<RefusedNote[]>}
 */
export function settleReceipts(sent, receipts) {
  const byId = new Map(receipts.map((receipt) => [receipt.id, receipt]));
  return transact(["outbox", "notes", "refused"], "readwrite", async (transaction) => {
    /** @type {RefusedNote[]} */
    const refused = [];
    const notes = transaction.objectStore("notes");
    for (const { seq, owner, id, note } of sent) {
      const receipt = byId.get(id);
      if (receipt === undefined || !isFinal(receipt)) continue;
      if (isOut(receipt)) {
        const kept = refusedNote(owner, note, receipt);
        transaction.objectStore("refused").put(kept);
        if (isSame((await answered(notes.get([owner, id])))?.note, note)) notes.delete([owner, id]);
        refused.push(kept);
      }
      transaction.objectStore("outbox").delete(seq);
    }
    return refused;
  });
}

/** Whether the receipt says what became of the note. @param {Receipt} receipt */
export function isFinal(receipt) {
  return ["kept", "known", "refused"].includes(receipt.status);
}

/** Whether the note does not count on the card. @param {Receipt} receipt */
export function isOut(receipt) {
  return receipt.status === "refused" || isLate(receipt);
}

/** @param {Receipt} receipt */
function isLate({ status, reason }) {
  return status !== "refused" && reason?.startsWith("late:") === true;
}

/** @param {string} owner @param {SentNote} note @param {Receipt} receipt @returns {RefusedNote} */
export function refusedNote(owner, note, receipt) {
  const reason = receipt.reason ?? "The show office gave no reason.";
  return { owner, id: note.id, note, reason, at: Date.now(), aside: false, late: isLate(receipt) };
}

/**
 * Notes that came from the server, and how far it was read; both or neither.
 * @param {string} owner
 * @param {readonly SentNote[]} notes
 * @param {number | null} cursor null where they are no page of the log
 */
export function keepPulled(owner, notes, cursor) {
  return transact(["notes", "seats"], "readwrite", async (transaction) => {
    const store = transaction.objectStore("notes");
    for (const note of notes) {
      const before = await answered(store.get([owner, note.id]));
      store.put(keptNote(owner, note, before?.here ?? false));
    }
    const seats = transaction.objectStore("seats");
    const held = await answered(seats.get(owner));
    if (held !== undefined && cursor !== null) seats.put({ ...held, cursor });
  });
}

/** How far the server's log was read. @param {string} owner @returns {Promise<number>} */
export async function cursorOf(owner) {
  const held = await transact(["seats"], "readonly", (transaction) =>
    answered(transaction.objectStore("seats").get(owner)),
  );
  return held?.cursor ?? 0;
}

/** @param {string} owner @param {string} classId @returns {Promise<KeptNote[]>} */
export function notesOfClass(owner, classId) {
  return transact(["notes"], "readonly", (transaction) =>
    answered(transaction.objectStore("notes").index("class").getAll([owner, classId])),
  );
}

/** @param {string} owner @returns {Promise<Counts>} */
export function counts(owner) {
  return transact(["outbox", "refused"], "readonly", async (transaction) => {
    const waiting = answered(transaction.objectStore("outbox").index("owner").count(owner));
    const refused = await answered(transaction.objectStore("refused").index("owner").getAll(owner));
    return { waiting: await waiting, refused: refused.filter((each) => !each.aside).length };
  });
}

/** @param {string} owner @returns {Promise<RefusedNote[]>} */
export function refusedNotes(owner) {
  return transact(["refused"], "readonly", (transaction) =>
    answered(transaction.objectStore("refused").index("owner").getAll(owner)),
  );
}

/** Put refused notes aside: read and dealt with, but still kept. @param {readonly RefusedNote[]} refused */
export function putAside(refused) {
  return transact(["refused"], "readwrite", (transaction) => {
    for (const each of refused) transaction.objectStore("refused").put({ ...each, aside: true });
  });
}

/** Send refused notes once more, as they were; what is kept under the same id stays. @param {readonly RefusedNote[]} refused */
export function sendAgain(refused) {
  return transact(["refused", "notes", "outbox"], "readwrite", async (transaction) => {
    const notes = transaction.objectStore("notes");
    for (const { owner, id, note } of refused) {
      transaction.objectStore("refused").delete([owner, id]);
      transaction.objectStore("outbox").add({ owner, id, note });
      if ((await answered(notes.get([owner, id]))) === undefined) notes.put(keptNote(owner, note, true));
    }
  });
}

/** Whether a note is the very one, not another of its id. @param {SentNote | undefined} held @param {SentNote} note */
export function isSame(held, note) {
  return JSON.stringify(held) === JSON.stringify(note);
}

/** @param {string} owner @param {SentNote} note @param {boolean} here @returns {KeptNote} */
function keptNote(owner, note, here) {
  return { owner, id: note.id, class: note.class, note, here };
}
