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
    paint(this, this.draw());
  }
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
