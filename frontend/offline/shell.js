// @ts-check
/**
 * The service worker, seen from the page: whether this page opens without a network, and whether a newer one waits.
 *
 * Refuses to hurry a newer version in: it waits until the page is closed and opened again.
 *
 * @typedef {"starting" | "ready" | "missing" | "failed"} Shell
 */

const TRIES_AGAIN_AFTER_MS = [1000, 2000, 5000, 15_000, 30_000];

/**
 * Resolves when the page opens without a network; where its files could not all be fetched, it is tried until they are.
 * @param {(shell: Shell) => void} said
 * @param {() => void} newerWaits
 */
export async function holdShell(said, newerWaits) {
  if (navigator.serviceWorker === undefined) {
    said("missing"); // plain http, or a private window of some browsers
    return;
  }
  for (let failures = 0; !(await isHeld(newerWaits)); failures += 1) {
    said("failed");
    const wait_ms = TRIES_AGAIN_AFTER_MS[Math.min(failures, TRIES_AGAIN_AFTER_MS.length - 1)];
    await new Promise((done) => setTimeout(done, wait_ms));
  }
  said("ready");
}

/** @param {() => void} newerWaits */
async function isHeld(newerWaits) {
  try {
    const registration = await navigator.serviceWorker.register("/sw.js", { updateViaCache: "none" });
    if (registration.waiting !== null && registration.active !== null) newerWaits();
    registration.addEventListener("updatefound", () => {
      const installing = registration.installing;
      installing?.addEventListener("statechange", () => {
        if (installing.state === "installed" && registration.active !== null) newerWaits();
      });
    });
    return registration.active !== null || (await isTaken(registration.waiting ?? registration.installing));
  } catch {
    // Without a network the worker that is there goes on working; only a new one could not be asked for.
    const registration = await navigator.serviceWorker.getRegistration().catch(() => undefined);
    return Boolean(registration?.active);
  }
}

/**
 * Whether the worker came into its own. One that could not fetch a file ends "redundant", and nothing else tells.
 * @param {ServiceWorker | null} worker
 * @returns {Promise<boolean>}
 */
function isTaken(worker) {
  return new Promise((resolve) => {
    const look = () => {
      if (worker === null || worker.state === "redundant") resolve(false);
      else if (worker.state === "activated") resolve(true);
    };
    worker?.addEventListener("statechange", look);
    look();
  });
}

/**
 * Ask the browser not to clear what is kept here when space runs short.
 * @returns {Promise<boolean | null>} null where the browser does not say
 */
export async function askToPersist() {
  try {
    if (navigator.storage?.persist === undefined) return null;
    return (await navigator.storage.persisted()) || (await navigator.storage.persist());
  } catch {
    return null;
  }
}
