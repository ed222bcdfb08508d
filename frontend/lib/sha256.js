// @ts-check
/**
 * SHA-256 (FIPS 180-4), for the browser's own is missing on plain http, as on a local network without a certificate.
 * The constants are those of the standard: the first 32 bits of the fractions of roots of the first primes.
 */

/** @type {number[]} */
const PRIMES = [];
for (let each = 2; PRIMES.length < 64; each += 1) if (PRIMES.every((prime) => each % prime !== 0)) PRIMES.push(each);

/** @param {number} root */
const fraction = (root) => Math.floor((root % 1) * 2 ** 32) | 0;

const BEGIN = PRIMES.slice(0, 8).map((prime) => fraction(Math.sqrt(prime)));
const ROUNDS = PRIMES.map((prime) => fraction(Math.cbrt(prime)));

/** @param {number} word @param {number} by */
const turned = (word, by) => (word >>> by) | (word << (32 - by));

/** The digest of a text's UTF-8, as 64 hexadecimal digits. @param {string} text */
export function sha256(text) {
  const bytes = new TextEncoder().encode(text);
  const padded = new DataView(new ArrayBuffer(((bytes.length + 72) >> 6) << 6));
  bytes.forEach((byte, place) => padded.setUint8(place, byte));
  padded.setUint8(bytes.length, 0x80);
  padded.setUint32(padded.byteLength - 4, bytes.length * 8);
  let hash = BEGIN;
  for (let block = 0; block < padded.byteLength; block += 64) {
    /** @type {number[]} */
    const words = [];
    let [a = 0, b = 0, c = 0, d = 0, e = 0, f = 0, g = 0, last = 0] = hash;
    ROUNDS.forEach((constant, round) => {
      const [w15 = 0, w2 = 0, w16 = 0, w7 = 0] = [15, 2, 16, 7].map((back) => words[round - back] ?? 0);
      const small0 = turned(w15, 7) ^ turned(w15, 18) ^ (w15 >>> 3);
      const small1 = turned(w2, 17) ^ turned(w2, 19) ^ (w2 >>> 10);
      const word = round < 16 ? padded.getInt32(block + 4 * round) : (w16 + small0 + w7 + small1) | 0;
      words.push(word);
      const first = last + (turned(e, 6) ^ turned(e, 11) ^ turned(e, 25)) + ((e & f) ^ (~e & g)) + constant + word;
      const second = (turned(a, 2) ^ turned(a, 13) ^ turned(a, 22)) + ((a & b) ^ (a & c) ^ (b & c));
      [a, b, c, d, e, f, g, last] = [(first + second) | 0, a, b, c, (d + first) | 0, e, f, g];
    });
    const after = [a, b, c, d, e, f, g, last];
    hash = hash.map((word, place) => (word + (after[place] ?? 0)) | 0);
  }
  return hash.map((word) => (word >>> 0).toString(16).padStart(8, "0")).join("");
}
