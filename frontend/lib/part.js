// @ts-check
/**
 * The common ground of the page's elements: each draws itself from the state, and all are drawn anew when something
 * changed, together, before the next frame. Whoever changes the state calls `changed()`; nobody calls an element.
 *
 * Usage: `class SavedState extends Part { draw() { return h("p", null, "saved"); } }`
 */

import { paint } from "./view.js";

/** @typedef {import("./view.js").Child} Child */

/** @type {Set<Part>} */
const onThePage = new Set();
let isWaiting = false;

export class Part extends HTMLElement {
  /** @type {readonly unknown[] | null} */
  #from = null;
  /** @type {Child} */
  #drawn = null;
  /** @type {Child} */
  #painted = undefined;

  connectedCallback() {
    onThePage.add(this);
    this.repaint();
  }

  disconnectedCallback() {
    onThePage.delete(this);
  }

  /** What the element shows now. @returns {Child} */
  draw() {
    return null;
  }

  repaint() {
    const drawn = this.draw();
    if (drawn === this.#painted && typeof drawn === "object" && drawn !== null) return;
    this.#painted = drawn;
    paint(this, drawn);
  }

  /**
   * The last drawing for as long as all it is drawn from is the same; most changes concern other parts of the page.
   * @param {readonly unknown[]} from
   * @param {() => Child} draw
   * @returns {Child}
   */
  kept(from, draw) {
    const before = this.#from;
    if (before === null || before.length !== from.length || !from.every((each, place) => each === before[place])) {
      this.#from = from;
      this.#drawn = draw();
    }
    return this.#drawn;
  }
}

/** Bring what a button opened into sight, at once. @param {Event} event a tap on the button, beside what it opens */
export function show(event) {
  /** @type {Element} */ (event.currentTarget).parentElement?.scrollIntoView({ block: "nearest" });
}

/** Something changed: every element is drawn anew before the next frame. */
export function changed() {
  if (isWaiting) return;
  isWaiting = true;
  queueMicrotask(() => {
    isWaiting = false;
    for (const part of [...onThePage]) if (part.isConnected) part.repaint();
  });
}
