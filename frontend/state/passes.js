// @ts-check
/**
 * The passes of a walk down the line: what is seen together is marked together. First coming and going, the way of
 * going before the legs, of what the standard has of it; then the standing views one by one.
 *
 * A pass goes by the name of its view; coming and going has a name of its own.
 *
 * @typedef {import("../engine/shapes.js").Standard} Standard
 * @typedef {{ key: string, title: string, views: string[] }} Pass
 */

import { viewTitle } from "./telling.js";

export const GAITS = ["walk", "trot"];
const MOVING = [...GAITS, "front", "rear"];

/** @type {WeakMap<Standard, Pass[]>} */
const known = new WeakMap();

/** @param {Standard} standard @returns {Pass[]} at least one */
export function passesOf(standard) {
  let passes = known.get(standard);
  if (passes === undefined) {
    const views = MOVING.filter((view) => standard.views.includes(view));
    const isOne = views.length > 1;
    const alone = standard.views.filter((view) => !isOne || !GAITS.includes(view));
    passes = alone.map((view) => ({ key: view, title: viewTitle(view), views: [view] }));
    if (isOne) passes.unshift({ key: "going", title: "Coming and going", views });
    known.set(standard, passes);
  }
  return passes;
}

/** The views in the order of the passes, each where it first comes. @param {Standard} standard @returns {string[]} */
export function viewsInTurn(standard) {
  return [...new Set(passesOf(standard).flatMap((pass) => pass.views))];
}

/** The pass of this name, or else the first in which the view is seen. @param {Standard} standard @param {string | null} view */
export function passOf(standard, view) {
  const passes = passesOf(standard);
  const found = passes.find((pass) => pass.key === view) ?? passes.find((pass) => pass.views.includes(view ?? ""));
  return /** @type {Pass} */ (found ?? passes[0]);
}
