// @ts-check
/** Text for other programs of the phone: on the clipboard, by whichever way the browser has. */

/**
 * Put text where other programs find it.
 * @param {string} text
 * @returns {Promise<boolean>} whether it is there
 */
export async function copyText(text) {
  try {
    // Missing on plain http, as on a local network without a certificate.
    if (navigator.clipboard !== undefined) {
      await navigator.clipboard.writeText(text);
      return true;
    }
  } catch {
    // refused: the older way may still do
  }
  const field = document.createElement("textarea");
  field.value = text;
  field.readOnly = true;
  field.className = "aside";
  document.body.append(field);
  field.select();
  const isDone = document.execCommand("copy");
  field.remove();
  return isDone;
}
