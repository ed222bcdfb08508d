// @ts-check
/**
 * The frame of the table: whose show it is, whether what is shown is of now, the menu, and the page that is open.
 *
 * Usage: `<office-frame></office-frame>`, once. On a narrow screen the menu folds behind its button.
 */

import { clock } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";
import { desk } from "../desk.js";
import { OfficePage } from "../office-page.js";
import { PAGES } from "../pages.js";
import { addressOf, at, codeInAddress } from "../place.js";

export class OfficeFrame extends OfficePage {
  #shown = "";
  #isOpen = false;

  draw() {
    if (codeInAddress() !== null || desk.phase === "nobody") return h("door-page", { key: "door" });
    if (desk.phase === "starting" || desk.me === null) return h("main", { class: "wide" }, h("h1", { tabindex: -1 }, "Show table"), this.#now());
    const pages = PAGES.filter((page) => page.for.includes(desk.me?.role ?? ""));
    if (pages.length === 0) return this.#noPages(desk.me);
    const { page: asked, of } = at();
    const page = pages.find(({ name }) => name === asked) ?? pages[0];
    const isWaiting = desk.me.role === "office" && desk.state === null;
    return [
      this.#head(pages, page?.under ?? page?.name ?? ""),
      isWaiting
        ? h("main", { key: "waiting" }, h("h1", { tabindex: -1 }, desk.show?.title), h("p", null, "Asking the server for the show"))
        : h("main", { key: `${page?.name} ${of}` }, h(`${page?.name}-page`, null)),
    ];
  }

  repaint() {
    super.repaint();
    const main = this.querySelector("main > *");
    const shown = main === null ? "" : `${main.localName} ${at().of}`;
    if (shown === this.#shown) return;
    // A new page begins at its top, and the reader's place with it.
    const isFirst = !this.#shown.includes("-");
    this.#shown = shown;
    this.#isOpen = false;
    scrollTo(0, 0);
    if (!isFirst) /** @type {HTMLElement | null} */ (this.querySelector("main h1"))?.focus({ preventScroll: true });
  }

  /** @param {import("../pages.js").Page[]} pages @param {string} marked */
  #head(pages, marked) {
    return h(
      "header",
      { key: "head", class: this.#isOpen ? "open" : null },
      h(
        "p",
        { class: "show" },
        h("img", { src: "/icons/nearside.svg", alt: "", width: 28, height: 28 }),
        h("b", null, desk.show?.title),
      ),
      this.#now(),
      h("button", { class: "menu", type: "button", "aria-expanded": String(this.#isOpen), "aria-controls": "menu", onclick: () => this.#unfold() }, "Menu"),
      h(
        "nav",
        { id: "menu", "aria-label": "Pages of the table" },
        ...pages.flatMap(({ name, title }) =>
          title === null ? [] : h("a", { key: name, href: addressOf(name), "aria-current": name === marked ? "page" : null, onclick: () => this.#fold() }, title),
        ),
        h("a", { key: "/", href: "/", class: "out" }, "Ringside page"),
      ),
    );
  }

  #unfold() {
    this.#isOpen = !this.#isOpen;
    this.repaint();
  }

  #fold() {
    this.#isOpen = false;
    this.repaint();
  }

  /** Whether what is shown is of now. */
  #now() {
    const since = desk.asked_at === null ? "" : ` Shown is how it was at ${clock(desk.asked_at, Date.now())}.`;
    return h(
      "p",
      { key: "now", class: desk.trouble === null ? "now" : "now trouble", role: "status" },
      desk.trouble === null
        ? desk.asked_at === null
          ? "Opening"
          : "Up to date"
        : [h("b", null, "Not reached: "), `${desk.trouble}${since} It is tried again by itself.`],
    );
  }

  /** @param {import("../desk.js").Me} me */
  #noPages({ name, role }) {
    return h(
      "main",
      { key: "none", class: "wide" },
      h("h1", { tabindex: -1 }, "Show table"),
      desk.trouble === null ? null : this.#now(),
      h("p", null, `This device sits as ${name} (${role}). The table is for the office and the announcer.`),
      h("a", { class: "button", href: "/" }, "To the ringside page"),
      this.ask(
        "leave",
        "Give that seat up and join as the office",
        `This browser gives up the seat of ${name}. The ringside page here can write as ${name} no more until it joins again with that seat's code, and what waits here to be sent waits until then.`,
        "Yes, give it up",
        () => this.act("leave", () => desk.leave()),
      ),
    );
  }
}
