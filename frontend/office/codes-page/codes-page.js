// @ts-check
/**
 * A sheet to print and cut up: one slip a seat, with its QR, its code and whom it is for.
 *
 * Usage: `<codes-page></codes-page>`; a page, with its h1. On paper only the slips stand, ten a sheet, with lines to cut along.
 */

import { Part } from "../../lib/part.js";
import { h } from "../../lib/view.js";
import { desk } from "../desk.js";
import { addressOf } from "../place.js";
import { picture, shownCode } from "../slip.js";
import { ROLES } from "../words.js";

export class CodesPage extends Part {
  draw() {
    const { seats = [], show } = desk.state ?? {};
    const slips = Object.keys(ROLES).flatMap((role) => seats.filter((seat) => seat.role === role));
    return [
      h("h1", { tabindex: -1 }, "Sheet of codes"),
      h("p", { class: "help" }, "Print it, cut along the lines, and hand each slip to its person. The QR opens the page and joins; the code does the same where there is no camera."),
      isHere(location.hostname)
        ? h("p", { class: "caution" }, `These links lead to ${location.host}, which is this machine alone. For phones, open this page under the address they use, or have that address given by whoever looks after the machine of the show.`)
        : null,
      h("p", { class: "choices" }, h("button", { class: "main", type: "button", onclick: () => print() }, "Print"), h("a", { class: "button", href: addressOf("seats") }, "Seats")),
      h(
        "ul",
        { class: "slips" },
        ...slips.map(({ id, name, role, code, link }) =>
          h(
            "li",
            { key: id },
            picture(link, name),
            h(
              "div",
              null,
              h("b", null, name),
              h("span", null, `${ROLES[role]} · ${show?.title}`),
              h("strong", null, shownCode(code)),
              h("small", null, new URL(link).origin),
            ),
          ),
        ),
      ),
    ];
  }
}

/** Whether a name means the machine that asks, whichever that is. @param {string} host */
function isHere(host) {
  return host === "localhost" || host === "[::1]" || host.startsWith("127.");
}
