// @ts-check
/**
 * The pages of the show table, in the order of the menu: ONE table. A page that is new is one element, one line here and
 * its stylesheet in `office.html`. Page `day` is the element `<day-page>`, at the address `/office#/day`; what stands behind
 * the name in the address is the page's own affair (`at().of`).
 *
 * `for` are the roles that have the page; `title` is its word in the menu, null where one comes to it from another page,
 * `under`, which then stays marked.
 *
 * @typedef {{ name: string, title: string | null, under?: string, for: readonly string[], element: CustomElementConstructor }} Page
 */

import { DayPage } from "./day-page/day-page.js";

const OFFICE = ["office"];

/** @type {Page[]} */
export const PAGES = [{ name: "day", title: "The day", for: OFFICE, element: DayPage }];
