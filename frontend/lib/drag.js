// @ts-check
/**
 * Horses put in order with a finger: each row has a handle, and follows it while the others make room.
 *
 * For fingers and mice alone, so a list that uses it has buttons that do the same. Usage: in `draw()`,
 * `h("ol", { ...drag.listens }, rows of drag.order(order))`, in each row `drag.handle(number, order)`.
 */

import { h } from "./view.js";

/** @typedef {import("./part.js").Part} Part */

/** How near the edge of what scrolls a dragged row scrolls it. */
const EDGE = 48;

/** The order with one of them at another place. @param {readonly string[]} order @param {string} number @param {number} to */
export function moved(order, number, to) {
  return order.filter((each) => each !== number).toSpliced(to, 0, number);
}

export class Drag {
  #part;
  #drop;
  /** @type {{ number: string, before: readonly string[], order: string[] } | null} */
  #now = null;

  /** @param {Part} part with one `ol`, in a `main` that scrolls @param {(order: string[], number: string, isMoved: boolean) => void} drop */
  constructor(part, drop) {
    this.#part = part;
    this.#drop = drop;
    this.listens = {
      onpointermove: (/** @type {PointerEvent} */ event) => this.#move(event),
      onpointerup: () => this.#end(true),
      onpointercancel: () => this.#end(false),
    };
  }

  /** The order as it is seen now. @param {readonly string[]} order */
  order(order) {
    return this.#now?.order ?? order;
  }

  /** @param {string} number */
  isDragged(number) {
    return this.#now?.number === number;
  }

  /** @param {string} number @param {readonly string[]} order */
  handle(number, order) {
    return h(
      "span",
      {
        class: "handle",
        "aria-hidden": "true",
        onpointerdown: (/** @type {PointerEvent} */ event) => {
          if (event.button !== 0) return;
          event.preventDefault();
          // The list keeps the finger: a row that moves in the page would lose it.
          this.#part.querySelector("ol")?.setPointerCapture(event.pointerId);
          this.#now = { number, before: order, order: [...order] };
          this.#part.repaint();
        },
      },
      "≡",
    );
  }

  /** @param {PointerEvent} event */
  #move({ clientY }) {
    const now = this.#now;
    const main = this.#part.querySelector("main");
    if (now === null || main === null) return;
    const { top, bottom } = main.getBoundingClientRect();
    main.scrollTop += clientY < top + EDGE ? -EDGE / 4 : clientY > bottom - EDGE ? EDGE / 4 : 0;
    const above = [...main.querySelectorAll("ol > li")].filter((row, at) => {
      const box = row.getBoundingClientRect();
      return now.order[at] !== now.number && box.top + box.height / 2 < clientY;
    });
    if (now.order.indexOf(now.number) === above.length) return;
    now.order = moved(now.order, now.number, above.length);
    this.#part.repaint();
  }

  /** @param {boolean} isDropped false where it was broken off */
  #end(isDropped) {
    const now = this.#now;
    if (now === null) return;
    this.#now = null;
    if (isDropped) this.#drop(now.order, now.number, now.order.join() !== now.before.join());
    this.#part.repaint();
  }
}
