// @ts-check
/**
 * The other tabs of this browser: what one of them does, all know; and one of them at a time talks to the server.
 *
 * @typedef {import("./outbox.js").SentNote} SentNote
 * `here` says that this browser wrote the notes; `named` are ids the server named, `gone` those it refused.
 * @typedef {{ kind: "notes", owner: string, notes: SentNote[], here: boolean, named: string[], gone: string[] }
 *   | { kind: "hands" }} Message
 */

const WAITS_FOR_TURN_MS = 30_000;

/** @type {BroadcastChannel | null} */
let channel = null;

/** @param {(message: Message) => void} heard */
export function listen(heard) {
  channel = new BroadcastChannel("nearside");
  channel.onmessage = (event) => heard(event.data);
}

/** @param {Message} message */
export function tell(message) {
  channel?.postMessage(message);
}

/**
 * Do this while no other tab does it. Where the browser has no locks (plain http), or a sleeping tab sits on its turn,
 * go ahead without: two senders only send a note twice, and the server knows it the second time.
 * @template T
 * @param {() => Promise<T>} work
 * @returns {Promise<T>}
 */
export async function inTurn(work) {
  if (navigator.locks === undefined) return work();
  const patience = new AbortController();
  const timer = setTimeout(() => patience.abort(), WAITS_FOR_TURN_MS);
  let started = false;
  try {
    return await navigator.locks.request("nearside exchange", { signal: patience.signal }, () => {
      started = true;
      clearTimeout(timer);
      return work();
    });
  } catch (error) {
    if (started || !patience.signal.aborted) throw error;
    return work();
  } finally {
    clearTimeout(timer);
  }
}
