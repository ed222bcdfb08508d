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

import { AnnouncerPage } from "./announcer-page/announcer-page.js";
import { CallsPage } from "./calls-page/calls-page.js";
import { ChampionsPage } from "./champions-page/champions-page.js";
import { ChampionshipsPage } from "./championships-page/championships-page.js";
import { ClassPage } from "./class-page/class-page.js";
import { ClassesPage } from "./classes-page/classes-page.js";
import { CodesPage } from "./codes-page/codes-page.js";
import { DayPage } from "./day-page/day-page.js";
import { DevicesPage } from "./devices-page/devices-page.js";
import { EntriesPage } from "./entries-page/entries-page.js";
import { PaperPage } from "./paper-page/paper-page.js";
import { ResultsPage } from "./results-page/results-page.js";
import { SeatsPage } from "./seats-page/seats-page.js";
import { SlipsPage } from "./slips-page/slips-page.js";

const OFFICE = ["office"];
const WITH_ANNOUNCER = ["office", "announcer"];

/** @type {Page[]} */
export const PAGES = [
  { name: "day", title: "The day", for: OFFICE, element: DayPage },
  { name: "announcer", title: "To announce", for: WITH_ANNOUNCER, element: AnnouncerPage },
  { name: "results", title: "Results", for: WITH_ANNOUNCER, element: ResultsPage },
  { name: "champions", title: "Champions", for: OFFICE, element: ChampionsPage },
  { name: "slips", title: "Slips", for: OFFICE, element: SlipsPage },
  { name: "calls", title: "Lameness record", for: OFFICE, element: CallsPage },
  { name: "classes", title: "Classes", for: OFFICE, element: ClassesPage },
  { name: "class", title: null, under: "classes", for: OFFICE, element: ClassPage },
  { name: "entries", title: "Entries", for: OFFICE, element: EntriesPage },
  { name: "paper", title: "Paper card", for: OFFICE, element: PaperPage },
  { name: "championships", title: "Championships", for: OFFICE, element: ChampionshipsPage },
  { name: "seats", title: "Seats", for: OFFICE, element: SeatsPage },
  { name: "codes", title: null, under: "seats", for: OFFICE, element: CodesPage },
  { name: "devices", title: "Devices", for: OFFICE, element: DevicesPage },
];
