// @ts-check
/**
 * The truth about saving in a few words; a tap tells the rest.
 *
 * Usage: `h("saved-state", null)`. Says a change of state aloud (WCAG 4.1.3), not every count.
 */

import { Part } from "../../lib/part.js";
import { h } from "../../lib/view.js";
import { go } from "../../state/place.js";
import { saved } from "../../state/saved.js";
import { tell } from "../../state/voice.js";

const SETTLES_WITHIN_MS = 1500;

/** The state told last, whichever page showed it; the first one is no news. */
let told = "";

export class SavedState extends Part {
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #timer;

  draw() {
    const { state, short } = saved(Date.now());
    told ||= state;
    this.#tellLater();
    return h(
      "button",
      { "data-state": state, "aria-label": `${short}. About saving`, onclick: () => go({ page: "saving" }) },
      h("span", { class: "sign", "aria-hidden": "true" }),
      h("span", { class: "short" }, short),
    );
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    clearTimeout(this.#timer);
  }

  /** Between two taps the state flickers; what is told is where it comes to rest. */
  #tellLater() {
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => {
      const { state, short } = saved(Date.now());
      if (state === "writing") return this.#tellLater();
      if (state !== told) tell(short);
      told = state;
    }, SETTLES_WITHIN_MS);
  }
}
