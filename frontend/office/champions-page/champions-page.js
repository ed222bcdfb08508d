// @ts-check
/**
 * Champion and reserve as the judge says them aloud, entered by the office, which sees the same as the judge.
 *
 * Usage: `<champions-page></champions-page>`; a page, with its h1.
 */

import { Asked } from "../../announce/asked.js";
import { h } from "../../lib/view.js";
import { dayClasses, desk } from "../desk.js";
import { OfficePage } from "../office-page.js";
import { addressOf } from "../place.js";

/** @typedef {import("../../announce/champion-naming.js").Championship} Championship */

export class ChampionsPage extends OfficePage {
  /** @type {Asked<{ championships: Championship[] }>} */
  #asked = new Asked("/api/championships", "championships");
  /** @type {() => void} */
  #stop = () => {};

  connectedCallback() {
    this.#stop = desk.onPull(async () => {
      await this.#asked.ask();
    });
    super.connectedCallback();
    void this.#asked.ask();
  }

  disconnectedCallback() {
    this.#stop();
    super.disconnectedCallback();
  }

  draw() {
    const { answer } = this.#asked;
    return [
      h("h1", { tabindex: -1 }, "Champion and reserve"),
      h("p", { class: "help" }, "Named by the judge; entered here when the judge says it aloud. Every version is kept."),
      this.#asked.told("who comes back"),
      answer?.championships.length === 0 ? h("p", null, "No championship yet. ", h("a", { href: addressOf("championships") }, "Make one"), ".") : null,
      ...(answer?.championships ?? []).map((each) =>
        h("champion-naming", {
          key: each.id,
          ".championship": each,
          ".classes": dayClasses(),
          ".onKept": (/** @type {Championship[]} */ championships) => {
            this.#asked.answer = { championships };
            this.repaint();
          },
        }),
      ),
    ];
  }

  repaint() {
    super.repaint();
    // Each draws itself from what it was handed.
    for (const each of this.querySelectorAll("champion-naming")) /** @type {OfficePage} */ (each).repaint();
  }
}
