// @ts-check
/**
 * Rows pasted or from a file, as the server reads them: which column is what, and what is wrong with which row.
 *
 * @typedef {{ columns: { title: string, as: string | null }[], ok: boolean, rows: { line: number, class: string | null,
 *   number: string | null, identification: string | null, horse: string | null, exhibitor: string | null,
 *   is: "new" | "changed" | "same" | null, problem: string | null }[] }} RowsRead
 */

import * as server from "../offline/server.js";

const MOST_BYTES = 1_000_000;

/**
 * The text of a file: UTF-8 or UTF-16 by its mark, else UTF-8, and where that is none, the usual code of older spreadsheets.
 * @param {File} file
 * @returns {Promise<{ text: string, problem: string | null }>}
 */
export async function readRows(file) {
  if (file.size > MOST_BYTES) return { text: "", problem: "This file is larger than any list of entries: is it the right one?" };
  const bytes = await file.arrayBuffer();
  const [first, second] = new Uint8Array(bytes);
  const marked = first === 0xff && second === 0xfe ? "utf-16le" : first === 0xfe && second === 0xff ? "utf-16be" : null;
  try {
    return { text: new TextDecoder(marked ?? "utf-8", { fatal: true }).decode(bytes), problem: null };
  } catch {
    if (new Uint8Array(bytes).includes(0)) return { text: "", problem: "This is no text file. Save the sheet as CSV and choose that." };
    return { text: new TextDecoder("windows-1252").decode(bytes), problem: null };
  }
}

/** @param {string} text @param {string} ofClass where rows without a class go @returns {Promise<RowsRead | string>} or why not */
export async function rowsRead(text, ofClass) {
  try {
    return /** @type {RowsRead} */ (await server.ask("/api/office/entries-read", "rows", { text, class: ofClass }));
  } catch (error) {
    if (error instanceof server.SaidNo || error instanceof server.NoAnswer) return error.message;
    throw error;
  }
}
