// @ts-check
/**
 * The service worker, seen from the page: whether this page opens without a network, and whether a newer one waits.
 *
 * Refuses to hurry a newer version in: it waits until the page is closed and opened again.
 *
 * @typedef {"starting" | "ready" | "missing" | "failed"} Shell
 */

/**
 * @param {(shell: Shell) => void} said
 * @param {() => void} newerWaits
 */
export async function holdShell(said, newerWaits) {
  if (navigator.serviceWorker === undefined) {
    said("missing"); // plain http, or a private window of some browsers
    return;
  }
  try {
    const registration = await navigator.serviceWorker.register("/sw.js", { updateViaCache: "none" });
    if (registration.waiting !== null && registration.active !== null) newerWaits();
    registration.addEventListener("updatefound", () => {
      const installing = registration.installing;
      installing?.addEventListener("statechange", () => {
        if (installing.state === "installed" && registration.active !== null) newerWaits();
      });
    });
    await navigator.serviceWorker.ready;
    said("ready");
  } catch {
    // Without a network the worker that is there goes on working; only a new one could not be asked for.
    const registration = await navigator.serviceWorker.getRegistration().catch(() => undefined);
    said(registration?.active ? "ready" : "failed");
  }
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
