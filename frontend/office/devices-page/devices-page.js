// @ts-check
/**
 * The devices that joined: who holds them, when they were last heard of, what waits on them; one can be turned away.
 *
 * Usage: `<devices-page></devices-page>`; a page, with its h1.
 */

import { ago, clock, counted } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";
import { desk, nameOf } from "../desk.js";
import { OfficePage } from "../office-page.js";

/** @typedef {import("../desk.js").DeskDevice} DeskDevice */

/** Devices come and go by themselves, and nothing rings for it. */
const LOOKS_EVERY_MS = 10_000;

export class DevicesPage extends OfficePage {
  /** @type {ReturnType<typeof setInterval> | undefined} */
  #timer;

  connectedCallback() {
    super.connectedCallback();
    void desk.refresh();
    this.#timer = setInterval(() => void desk.refresh(), LOOKS_EVERY_MS);
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    clearInterval(this.#timer);
  }

  draw() {
    // In the order in which they joined: no row moves under the hand that turns one away.
    const devices = desk.state?.devices ?? [];
    const here = devices.filter((device) => !device.revoked);
    const gone = devices.length - here.length;
    return [
      h("h1", { tabindex: -1 }, "Devices"),
      h("p", { class: "help" }, "What waits is what the device had still to send when it was last heard of. A device out of reach keeps it."),
      here.length === 0 ? h("p", null, "No device has joined yet.") : h("ul", { class: "rows" }, ...here.map((device) => this.#row(device))),
      gone === 0 ? null : h("p", { class: "help" }, `${counted(gone, "device")} turned away.`),
    ];
  }

  /** @param {DeskDevice} device */
  #row({ id, seat, joined_at, seen_at, waiting }) {
    const now = Date.now();
    return h(
      "li",
      { key: id },
      h("span", { class: "what" }, h("b", null, nameOf(seat)), h("small", null, `joined ${clock(joined_at, now)}`)),
      h("span", null, seen_at === null ? "not heard of since" : `heard of ${ago(seen_at, now)}`),
      h("span", { class: waiting ? "problem" : null }, waiting === null ? "" : waiting === 0 ? "nothing waits" : `${counted(waiting, "note")} wait on it`),
      h(
        "div",
        { class: "end" },
        this.ask(
          id,
          "Turn away",
          `A device of ${nameOf(seat)} can no longer read or write in the show.${waiting ? ` ${counted(waiting, "note")} on it were still to be sent.` : ""} It can join again with the seat's code; give the seat a new code where it must not.`,
          "Yes, turn it away",
          () => this.act(id, () => desk.turnAway(id)),
        ),
      ),
    );
  }
}
