// @ts-check
/**
 * The service worker: the page opens without a network.
 *
 * Classic and self-contained. The server puts `self.NEARSIDE_SHELL = {version, assets}` in front of this file, so a
 * change of any asset changes this script and with it the name of the cache. All assets of a version are fetched
 * before it is taken; the one before serves until every page of it is closed. Only GET of our own origin, only what
 * is in the list, and opening the page; the rest, all of /api/ and its stream among it, goes to the network untouched.
 * So does the office's page: it is nothing without the server.
 */

/** @typedef {{ version: string, assets: string[] }} ShellList */

(() => {
  const worker = /** @type {ServiceWorkerGlobalScope & { NEARSIDE_SHELL: ShellList }} */ (
    /** @type {unknown} */ (self)
  );
  const { version, assets } = worker.NEARSIDE_SHELL;
  const PREFIX = "nearside-shell-";
  const CACHE = PREFIX + version;
  const listed = new Set(assets);
  /** Other documents, which are not in the list. */
  const BESIDE = ["/office"];

  worker.addEventListener("install", (event) => {
    event.waitUntil(fill());
  });

  worker.addEventListener("activate", (event) => {
    event.waitUntil(takeOver());
  });

  worker.addEventListener("fetch", (event) => {
    const path = pathToServe(event.request);
    if (path !== null) event.respondWith(serve(path, event.request));
  });

  async function fill() {
    const cache = await caches.open(CACHE);
    // "reload": past the browser's own cache, which may hold a file of the version before.
    await cache.addAll(assets.map((path) => new Request(path, { cache: "reload" })));
  }

  async function takeOver() {
    const names = await caches.keys();
    await Promise.all(
      names.filter((name) => name.startsWith(PREFIX) && name !== CACHE).map((name) => caches.delete(name)),
    );
    await worker.clients.claim();
  }

  /** The asset that answers, or null where it is not ours to answer. @param {Request} request */
  function pathToServe(request) {
    const url = new URL(request.url);
    if (request.method !== "GET" || url.origin !== worker.location.origin) return null;
    if (url.pathname.startsWith("/api/") || url.pathname === "/sw.js" || url.pathname === "/health") return null;
    if (request.mode === "navigate") return BESIDE.includes(url.pathname) ? null : "/";
    return listed.has(url.pathname) ? url.pathname : null;
  }

  /** @param {string} path @param {Request} request */
  async function serve(path, request) {
    const cache = await caches.open(CACHE);
    return (await cache.match(path)) ?? fetch(request);
  }
})();
