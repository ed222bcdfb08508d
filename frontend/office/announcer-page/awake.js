// @ts-check
/** The screen stays on while a class is read, where the browser can do it; a dark screen at the microphone is a lost place. */

/** @type {Promise<WakeLockSentinel> | null} */
let lock = null;

export function stayAwake() {
  if (lock !== null || navigator.wakeLock === undefined || document.hidden) return;
  const asked = (lock = navigator.wakeLock.request("screen"));
  // The browser lets go by itself when the page is hidden, and says no where power is saved.
  const gone = () => {
    if (lock === asked) lock = null;
  };
  asked.then((held) => held.addEventListener("release", gone), gone);
}

export function letSleep() {
  lock?.then((held) => held.release(), () => undefined);
}
