// @ts-check
/**
 * Text compared as the server compares it: by code point. JS itself compares UTF-16 units, which sorts signs beyond
 * the basic plane before some within it.
 */

/**
 * @param {string} a
 * @param {string} b
 * @returns {number} below 0, 0 or above 0
 */
export function compareText(a, b) {
  const length = Math.min(a.length, b.length);
  for (let i = 0; i < length; i += 1) {
    const left = a.charCodeAt(i);
    const right = b.charCodeAt(i);
    if (left !== right) return rank(left) - rank(right);
  }
  return a.length - b.length;
}

/** Surrogates stand for code points above all others, so they rank last. @param {number} unit */
function rank(unit) {
  return unit >= 0xd800 && unit <= 0xdfff ? unit + 0x10000 : unit;
}

/**
 * Lists of text, element by element; the beginning of another stands first.
 * @param {readonly string[]} a
 * @param {readonly string[]} b
 * @returns {number}
 */
export function compareTexts(a, b) {
  const length = Math.min(a.length, b.length);
  for (let i = 0; i < length; i += 1) {
    const order = compareText(a[i] ?? "", b[i] ?? "");
    if (order !== 0) return order;
  }
  return a.length - b.length;
}
