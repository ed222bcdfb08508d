// @ts-check
/**
 * Ids for notes: version 4 of RFC 9562, from the browser's own source of chance.
 *
 * `crypto.randomUUID` is missing on plain http, as on a local network without a certificate; `getRandomValues` is not.
 */

/** @returns {string} */
export function newId() {
  if (typeof crypto.randomUUID === "function") return crypto.randomUUID();
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = ((bytes[6] ?? 0) & 0x0f) | 0x40; // version 4
  bytes[8] = ((bytes[8] ?? 0) & 0x3f) | 0x80; // the variant of RFC 9562
  const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
}
