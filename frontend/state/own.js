// @ts-check
/**
 * Classes of one's own: a show made on this phone, with no office and no server, and the classes made in it.
 *
 * @typedef {import("../offline/server.js").Day} Day
 * @typedef {import("../offline/server.js").DayClass} DayClass
 * @typedef {import("../offline/seats.js").Alone} Alone
 * @typedef {import("../engine/shapes.js").Standard} Standard
 */

import { canonical } from "../lib/canonical.js";
import { newId } from "../lib/ids.js";
import { counted, listed } from "../lib/phrases.js";
import { basics } from "../offline/basics.js";
import { entered, isNumber, numbersIn } from "./entering.js";
import { go, START } from "./place.js";
import { session } from "./session.js";

const NUMBERS_AT_MOST = 200;

/** The day of a new show of one's own, without a class yet. @returns {Promise<Day>} */
export async function ownDay() {
  const { words } = await basics();
  return {
    format: "nearside-day/1",
    show: { id: newId(), title: "On this phone" },
    seat: { id: "judge", role: "judge", name: "Judge", card: "judge" },
    classes: [],
    standards: [],
    words,
  };
}

/** Open the classes of one's own; where there is none yet, the page that makes one. */
export async function openOwn() {
  if ((await session.openAlone("own", ownDay)) && session.day?.classes.length === 0) go({ ...START, page: "make" });
}

/**
 * The numbers somebody typed, each once; how they were read, in full; and why they cannot be taken. Two numbers with a
 * dash between them are counted up from the one to the other; more dashes in a row only part numbers.
 * @param {string} typed
 * @returns {{ numbers: string[], read: string, problem: string | null }}
 */
export function readNumbers(typed) {
  const all = numbersIn(
    typed.replace(/\w+( *[-–] *\w+)+/g, (found) => {
      const [first = 0, last = 0] = found.split(/[-–]/).map(Number);
      if (last <= first || !/^[1-9]\d* *[-–] *\d+$/.test(found)) return found;
      // One beyond the most is enough to say that it is too many.
      return countedUp(first, Math.min(last - first, NUMBERS_AT_MOST) + 1);
    }),
  );
  const numbers = [...new Set(all)];
  const twice = numbers.filter((each) => all.indexOf(each) < all.lastIndexOf(each));
  const doubled = twice.length > 0 ? ` Typed twice: ${listed(twice)}.` : "";
  const read = `${counted(numbers.length, "number")}: ${numbers.join(" ")}.${doubled}`;
  const wrong = numbers.filter((each) => !isNumber(each));
  const tooMany = numbers.length > NUMBERS_AT_MOST ? `Too many numbers: ${NUMBERS_AT_MOST} at most.` : null;
  const problem = wrong.length > 0 ? `No numbers: ${listed(wrong)}. A number has 1 to 6 digits or letters.` : tooMany;
  return { numbers, read, problem };
}

/** Numbers counted up. @param {number} first @param {number} count */
export function countedUp(first, count) {
  return Array.from({ length: count }, (_, place) => first + place).join(" ");
}

/**
 * The day with one class more; its standard is kept beside it, once.
 * @param {Day} day
 * @param {DayClass} dayClass
 * @param {Standard} standard
 * @returns {Day}
 */
export function withClass(day, dayClass, standard) {
  const { key, standards } = withStandard(day.standards, standard);
  return { ...day, standards, classes: [...day.classes, { ...dayClass, standard: key }] };
}

/**
 * Two standards of one key that are not the same go by two keys.
 * @param {Standard[]} standards
 * @param {Standard} standard
 */
function withStandard(standards, standard) {
  for (let count = 1; ; count += 1) {
    const named = count === 1 ? standard : { ...standard, key: `${standard.key}-${count}` };
    const known = standards.find(({ key }) => key === named.key);
    if (known === undefined) return { key: named.key, standards: [...standards, named] };
    if (canonical(known) === canonical(named)) return { key: named.key, standards };
  }
}

/** Make a class and open it. @param {Omit<DayClass, "id" | "standard">} made @param {Standard} standard */
export async function makeClass(made, standard) {
  const id = newId();
  await session.changeDay((day) => withClass(day, { ...made, id, standard: standard.key }, standard));
  go({ ...START, page: "ring", class: id });
}

/**
 * Change a class; numbers that are new are entered, as late ones are, and none ever leaves.
 * @param {string} id
 * @param {Partial<DayClass>} fields
 * @param {readonly string[]} numbers
 */
export async function changeClass(id, fields, numbers) {
  await session.notebook?.open(id);
  await session.changeDay((day) => ({
    ...day,
    classes: day.classes.map((each) => (each.id === id ? { ...each, ...fields } : each)),
  }));
  const card = session.notebook?.card(id) ?? null;
  const late = numbers.filter((number) => card?.horse(number)?.entered !== true);
  if (late.length > 0) {
    const drafts = late.map((number) => entered(number, ""));
    await session.notebook?.write(id, drafts, `${counted(late.length, "number")} entered`).kept;
  }
  go({ ...START, page: "ring", class: id });
}
