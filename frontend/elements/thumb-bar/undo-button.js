// @ts-check
/**
 * Undo, wherever the thumb rests: takes back the last thing, and says so where there is none. Named by what it takes
 * back, and by its class where that is another one: then the first tap only asks, and the button shows that class.
 *
 * Usage: `undoButton()`. It stays in reach without a step (ARIA disabled), so that a
 * tap is answered.
 */

import { h } from "../../lib/view.js";
import { place } from "../../state/place.js";
import { isAskedToUndo, undo } from "../../state/ring.js";
import { session } from "../../state/session.js";
import { shortName } from "../../state/telling.js";

export function undoButton() {
  const step = session.notebook?.lastStep ?? null;
  const classes = session.day?.classes ?? [];
  const at = classes.findIndex((each) => each.id === step?.class);
  const where = step === null || step.class === place().class ? "" : ` (${classes[at]?.title ?? step.class})`;
  const words = step !== null && isAskedToUndo(step) ? `Undo in ${shortName({ id: step.class })}` : "Undo";
  return h(
    "button",
    {
      class: words === "Undo" ? "undo" : "undo main",
      "aria-disabled": step === null ? "true" : null,
      "aria-label": step === null ? "Nothing to undo" : `${words} ${step.words}${where}`,
      onclick: () => void undo(),
    },
    words,
  );
}
