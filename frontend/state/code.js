// @ts-check
/** The code of a seat, as somebody types it: what is forgiven, and what is wrong with it. */

const SIGNS = 8;
const NEVER = /[^23456789ABCDEFGHJKMNPQRSTUVWXYZ]/;

/** The code without what the eye or the keyboard puts between. @param {string} typed */
export function tidy(typed) {
  return typed.toUpperCase().replace(/[\s\-_.–—]/g, "");
}

/** @param {string} code @returns {string | null} */
export function problemWith(code) {
  const never = code.match(NEVER);
  if (never !== null) return `A code has no “${never[0]}”: never 0, 1, I, L or O, for they look alike.`;
  if (code.length > SIGNS) return `A code has ${SIGNS} letters and digits; this has ${code.length}.`;
  return null;
}

/** @param {string} code */
export function progressOf(code) {
  if (code.length === SIGNS) return "All 8 there.";
  return code.length === 0 ? "8 letters and digits, large or small." : `${code.length} of ${SIGNS}.`;
}
