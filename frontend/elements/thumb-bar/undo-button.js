// @ts-check
/**
 * Undo, wherever the thumb rests: takes back the last thing, and says so where there is none. Named by what it takes
 * back, and by its class where that is another one.
 *
 * Usage: `undoButton()`. It stays in reach without a step (ARIA disabled), so that a
 * tap is answered.
 */

import { h } from "../../lib/view.js";
import { place } from "../../state/place.js";
import { undo } from "../../state/ring.js";
import { session } from "../../state/session.js";

export function undoButton() {
  const step = session.notebook?.lastStep ?? null;
  const title = session.day?.classes.find((each) => each.id === step?.class)?.title;
  const where = step === null || step.class === place().class ? "" : ` (${title ?? step.class})`;
  return h(
    "button",
    {
      class: "undo",
      "aria-disabled": step === null ? "true" : null,
      "aria-label": step === null ? "Nothing to undo" : `Undo ${step.words}${where}`,
      onclick: () => void undo(),
    },
    "Undo",
  );
}
