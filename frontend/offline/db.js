// @ts-check
/**
 * The one place that wraps IndexedDB.
 *
 * `transact()` runs one transaction and resolves when it is complete, not when its requests are: only then is
 * anything kept. A handle can die while the page lives (the phone frees it in the background, the browser's own
 * process restarts), and nothing tells before the next use; so a failed transaction is tried once more on a fresh
 * handle. An aborted transaction wrote nothing, so trying again never writes twice.
 */

const NAME = "nearside";
const VERSION = 1;
const OPENS_WITHIN_MS = 8000;

/** @type {Promise<IDBDatabase> | null} */
let opened = null;
/** @type {IDBDatabase | null} at hand, so that what is asked now is asked of the disk now */
let held = null;

/** @typedef {"keep" | "places" | "seats" | "notes" | "outbox" | "refused"} Store */

/**
 * @template T
 * @param {Store[]} stores
 * @param {IDBTransactionMode} mode
 * @param {(transaction: IDBTransaction) => T | Promise<T>} work only awaits requests of this transaction
 * @returns {Promise<T>}
 */
export async function transact(stores, mode, work) {
  try {
    return await attempt(stores, mode, work);
  } catch {
    await forget();
    return attempt(stores, mode, work);
  }
}

/**
 * A request of a running transaction as a promise.
 * @template T
 * @param {IDBRequest<T>} request
 * @returns {Promise<T>}
 */
export function answered(request) {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error ?? new Error("the request failed"));
  });
}

/**
 * @template T
 * @param {Store[]} stores
 * @param {IDBTransactionMode} mode
 * @param {(transaction: IDBTransaction) => T | Promise<T>} work
 */
async function attempt(stores, mode, work) {
  const database = held ?? (await (opened ??= open()));
  // "strict": complete means on the disk, not only in the browser's memory. Where one was on the page is not worth it.
  const isWorthIt = mode === "readwrite" && !stores.includes("places");
  const transaction = database.transaction(stores, mode, { durability: isWorthIt ? "strict" : "relaxed" });
  const complete = new Promise((resolve, reject) => {
    transaction.oncomplete = () => resolve(undefined);
    // A request that fails takes the whole transaction with it: half of it is never kept.
    transaction.onabort = () => reject(transaction.error ?? new Error("the transaction was given up"));
  });
  complete.catch(() => undefined); // awaited below; if `work` fails first, its own error is the one to tell
  let result;
  try {
    result = work(transaction);
    // All was asked for: handed over whole at once, it is carried out even if the page dies now.
    if (!(result instanceof Promise)) transaction.commit?.();
    result = await result;
  } catch (error) {
    abort(transaction);
    throw error;
  }
  await complete;
  return result;
}

/** @param {IDBTransaction} transaction */
function abort(transaction) {
  try {
    transaction.abort();
  } catch {
    // it was over already
  }
}

/** @returns {Promise<IDBDatabase>} */
function open() {
  const opening = new Promise((resolve, reject) => {
    const request = indexedDB.open(NAME, VERSION);
    const timer = setTimeout(() => reject(new Error("the phone's storage does not answer")), OPENS_WITHIN_MS);
    request.onupgradeneeded = () => build(request.result);
    request.onerror = () => {
      clearTimeout(timer);
      reject(request.error ?? new Error("the phone's storage cannot be opened"));
    };
    request.onsuccess = () => {
      clearTimeout(timer);
      const database = request.result;
      database.onclose = () => (opened = held = null);
      database.onversionchange = () => {
        database.close();
        opened = held = null;
      };
      held = database;
      resolve(database);
    };
  });
  opening.catch(() => (opened = null));
  return opening;
}

/** Let go of the handle, dead or alive. */
async function forget() {
  const last = opened;
  opened = held = null;
  try {
    (await last)?.close();
  } catch {
    // it never opened
  }
}

/** @param {IDBDatabase} database */
function build(database) {
  database.createObjectStore("keep");
  database.createObjectStore("places");
  database.createObjectStore("seats", { keyPath: "owner" });
  const notes = database.createObjectStore("notes", { keyPath: ["owner", "id"] });
  notes.createIndex("class", ["owner", "class"]);
  const outbox = database.createObjectStore("outbox", { keyPath: "seq", autoIncrement: true });
  outbox.createIndex("owner", "owner");
  const refused = database.createObjectStore("refused", { keyPath: ["owner", "id"] });
  refused.createIndex("owner", "owner");
}
