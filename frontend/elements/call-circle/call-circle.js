// @ts-check
/**
 * Direct calls that go round in a circle: drawn as one, said in words, and settled by taking one of them back.
 *
 * Usage: `callCircle(card, placing, circle)`. A group; each call in it is a button.
 */

import { listed } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";
import { callsOfCircle, roundOf, tapCall } from "../../state/comparing.js";
import { takes } from "../../state/ring.js";

/** @typedef {import("../../engine/placing.js").Placing} Placing */
/** @typedef {import("../../state/card.js").Card} Card */
/** @typedef {import("../../state/comparing.js").Call} Call */
/** @typedef {{ x: number, y: number }} Point */

const SIZE = 200;
const HORSE = 26;
const ROUND = SIZE / 2 - HORSE - 2;
const HEAD = 11;

/** @param {Card} card @param {Placing} placing @param {readonly string[]} circle */
export function callCircle(card, placing, circle) {
  const calls = callsOfCircle(placing, circle);
  const said = calls.map(({ winner, loser }) => `${winner} over ${loser}`);
  return h(
    "section",
    { key: circle.join(" "), class: "call-circle", "aria-label": `Circle of calls: ${listed(circle)}` },
    h("h2", null, "Your calls go round in a circle"),
    drawn(calls, roundOf(calls, circle)),
    h("p", null, `You said ${listed(said)}. None of these counts until one is taken back. Which one?`),
    h(
      "div",
      { class: "choices" },
      ...calls.map((call) =>
        h(
          "button",
          { key: `${call.winner} ${call.loser}`, disabled: !takes(card, "over"), onclick: () => tapCall(card, call) },
          `Not ${call.winner} over ${call.loser}`,
        ),
      ),
    ),
  );
}

/** @param {readonly Call[]} calls @param {readonly string[]} round */
function drawn(calls, round) {
  const points = new Map(round.map((number, place) => [number, pointAt((2 * Math.PI * place) / round.length)]));
  const foot = Math.max(...[...points.values()].map(({ y }) => y)) + HORSE + 2;
  return h(
    "svg",
    { viewBox: `0 0 ${SIZE} ${foot}`, "aria-hidden": "true", focusable: "false" },
    ...calls.map(({ winner, loser }) => arrow(points.get(winner), points.get(loser))),
    ...[...points].map(([number, { x, y }]) =>
      h(
        "g",
        { key: number },
        h("circle", { cx: x, cy: y, r: HORSE }),
        h("text", { x, y, class: number.length > 3 ? "long" : null }, number),
      ),
    ),
  );
}

/** @param {number} angle from the top, the way the clock goes @returns {Point} */
function pointAt(angle) {
  return { x: rounded(SIZE / 2 + ROUND * Math.sin(angle)), y: rounded(SIZE / 2 - ROUND * Math.cos(angle)) };
}

/** From the winner's edge to the loser's, its head at the loser. @param {Point | undefined} from @param {Point | undefined} to */
function arrow(from, to) {
  if (from === undefined || to === undefined) return null;
  const length = Math.hypot(to.x - from.x, to.y - from.y);
  const dx = (to.x - from.x) / length;
  const dy = (to.y - from.y) / length;
  /** @param {number} along @param {number} [aside] */
  const at = (along, aside = 0) =>
    `${rounded(from.x + dx * along - dy * aside)} ${rounded(from.y + dy * along + dx * aside)}`;
  const tip = length - HORSE - 2;
  const neck = tip - HEAD;
  return h(
    "g",
    null,
    h("path", { class: "shaft", d: `M${at(HORSE)}L${at(neck)}` }),
    h("path", { class: "head", d: `M${at(tip)}L${at(neck, HEAD * 0.6)}L${at(neck, -HEAD * 0.6)}z` }),
  );
}

/** @param {number} length */
function rounded(length) {
  return Math.round(length * 10) / 10;
}
