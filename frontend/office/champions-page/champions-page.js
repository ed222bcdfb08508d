// @ts-check
/**
 * Champion and reserve as the judge says them aloud, entered by the office, which sees the same as the judge.
 *
 * Usage: `<champions-page></champions-page>`; a page, with its h1.
 */

import { Asked } from "../../announce/asked.js";
import { h } from "../../lib/view.js";
import { AskedPage } from "../asked-page.js";
import { dayClasses } from "../desk.js";
import { addressOf } from "../place.js";

/** @typedef {import("../../announce/champion-naming.js").Championship} Championship */

export class ChampionsPage extends AskedPage {
  /** @type {Asked<{ championships: Championship[] }>} */
  asked = new Asked("/api/championships", "championships");

  draw() {
    const { answer } = this.asked;
    return [
      h("h1", { tabindex: -1 }, "Champion and reserve"),
      h("p", { class: "help" }, "Named by the judge; entered here when the judge says it aloud. Every version is kept."),
      this.asked.told("who comes back"),
      answer?.championships.length === 0 ? h("p", null, "No championship yet. ", h("a", { href: addressOf("championships") }, "Make one"), ".") : null,
      ...(answer?.championships ?? []).map((each) =>
        h("champion-naming", {
          key: each.id,
          ".championship": each,
          ".classes": dayClasses(),
          ".onKept": (/** @type {Championship[]} */ championships) => {
            this.asked.answer = { championships };
            this.repaint();
          },
        }),
      ),
    ];
  }

  repaint() {
    super.repaint();
    // Each draws itself from what it was handed.
    for (const each of this.querySelectorAll("champion-naming")) /** @type {AskedPage} */ (each).repaint();
  }
}
