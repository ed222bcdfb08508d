// @ts-check
/**
 * The entries of a class: typed one by one, pasted or from a file; late ones, absent ones, numbers put right, entries struck
 * from the result.
 *
 * Usage: `<entries-page></entries-page>`; a page, with its h1, of the class in the address, or the first one. Enter in any field
 * of the line on top enters the horse and goes back to its number.
 */

import { struckSaid } from "../../announce/announcing.js";
import { counted, listed } from "../../lib/phrases.js";
import { h } from "../../lib/view.js";
import { isNumber, tidyNumber } from "../../state/entering.js";
import { classWith, dayClasses, desk } from "../desk.js";
import { field, form, select, text, textOrNull } from "../fields.js";
import { current, horsesOf } from "../horses.js";
import { OfficePage } from "../office-page.js";
import { addressOf, at, go } from "../place.js";
import { readRows, rowsRead } from "../pasting.js";

/** @typedef {import("../desk.js").DeskClass} DeskClass */
/** @typedef {import("../horses.js").Horse} Horse */
/** @typedef {import("../pasting.js").RowsRead} RowsRead */

export class EntriesPage extends OfficePage {
  /** The class the page is of, fixed when it opens. @type {string | null} */
  #class = at().of;
  /** What was being typed when the class went; null while it is there. @type {string | null} */
  #left = null;
  /** The horse whose changes are unfolded. */
  #open = "";
  /** What was read of the pasted text, and the text it was read from. @type {{ text: string, read: RowsRead } | null} */
  #pasted = null;


  draw() {
    const classes = dayClasses();
    this.#class ??= classes[0]?.id ?? null;
    if (this.#class === null) {
      return [h("h1", { tabindex: -1 }, "Entries"), h("p", null, "No class yet. ", h("a", { href: addressOf("classes") }, "Make the first one"), ".")];
    }
    const dayClass = classes.find(({ id }) => id === this.#class) ?? null;
    if (dayClass === null) return this.#gone(classes);
    this.#left = null;
    const horses = horsesOf(dayClass, desk.notes.get(dayClass.id));
    const gone = dayClass.entries.filter((each) => each.gone !== null);
    return [
      h("h1", { tabindex: -1 }, `Entries of ${dayClass.title}`),
      select(
        "Class",
        { class: "which", onchange: (/** @type {Event} */ event) => go("entries", /** @type {HTMLSelectElement} */ (event.target).value) },
        classes.map(({ id, title }) => [id, title]),
        dayClass.id,
      ),
      this.#line(dayClass),
      horses.length === 0 ? h("p", { class: "help" }, "No entry yet.") : h("p", { class: "help" }, inShort(horses)),
      h("ul", { class: "rows" }, ...horses.map((horse) => this.#row(dayClass, horse))),
      gone.length === 0 ? null : h("p", { class: "help" }, `Out of the class: ${gone.map((each) => `${each.number} (${why(each)})`).join(", ")}.`),
      this.#paste(dayClass),
    ];
  }

  /** The class was taken away, or put into another; what was being typed is not put into any other. @param {DeskClass[]} classes */
  #gone(classes) {
    const into = classWith(classWith(this.#class)?.folded?.into ?? null);
    this.#left ??= [.../** @type {NodeListOf<HTMLInputElement>} */ (this.querySelectorAll(".line input, .inside input, textarea"))]
      .map(({ value }) => value.trim())
      .filter((each) => each !== "")
      .join("\n");
    return [
      h("h1", { tabindex: -1 }, "Entries: no such class"),
      h(
        "p",
        { class: "caution", role: "status" },
        into === null ? "No such class: it was taken away. Choose another." : ["It is no longer judged by itself, but with ", h("a", { href: addressOf("entries", into.id) }, into.title), "."],
      ),
      this.#left === "" ? null : h("label", { class: "left" }, "What was being typed here, to copy", h("textarea", { rows: 6, readonly: true, ".value": this.#left })),
      h("h2", null, "The classes of the day"),
      h("ul", { class: "rows" }, ...classes.map(({ id, title }) => h("li", { key: id }, h("a", { href: addressOf("entries", id) }, title)))),
    ];
  }

  /** One horse after the other, by the keyboard. @param {DeskClass} dayClass */
  #line(dayClass) {
    return form(
      { class: "line", key: dayClass.id },
      (said, of) => void this.#enter(dayClass, said, of),
      field("Number", { name: "number", inputmode: "text", autocapitalize: "characters", maxlength: 8 }),
      field("Identification marks", { name: "identification", maxlength: 300 }),
      field("Horse", { name: "horse", maxlength: 80 }),
      field("Exhibitor", { name: "exhibitor", maxlength: 80 }),
      divisionChoice(dayClass, null),
      h("button", { class: "main", disabled: this.isBusy("line") }, "Enter"),
      this.heard("line"),
    );
  }

  /** @param {DeskClass} dayClass @param {FormData} said @param {HTMLFormElement} of */
  async #enter(dayClass, said, of) {
    const number = tidyNumber(text(said, "number"));
    const first = /** @type {HTMLInputElement} */ (of.elements.namedItem("number"));
    if (!isNumber(number)) {
      first.focus();
      return this.say("line", "A number has 1 to 6 digits or letters.", true);
    }
    if (horsesOf(dayClass, desk.notes.get(dayClass.id)).some((each) => each.number === number)) {
      first.focus();
      return this.say("line", `${number} is entered already: change it in the list.`, true);
    }
    if (!(await this.command("line", "entry", { ...asked(said), class: dayClass.id, number }, `${number} is entered in “${dayClass.title}”.`))) return;
    of.reset();
    first.focus();
  }

  /** @param {DeskClass} dayClass @param {Horse} horse */
  #row(dayClass, horse) {
    const { number, entry, state, strike } = horse;
    const where = `row ${number}`;
    const isOpen = this.#open === number;
    const isAbsent = state === "absent";
    const division = dayClass.divisions.find(({ id }) => id === entry.division);
    return h(
      "li",
      { key: number, class: isAbsent ? "absent" : null },
      h("strong", { class: "number" }, number),
      h(
        "span",
        { class: "what" },
        h("span", null, entry.identification ?? h("span", { class: "help" }, "no marks")),
        h("small", null, [entry.horse, entry.exhibitor, division?.title].filter(Boolean).join(" · ")),
      ),
      h(
        "span",
        { class: "state" },
        [
          isAbsent ? "✗ absent" : state === "present" ? "✓ checked in" : "",
          strike === null ? "" : struckSaid([strike]),
          entry.number === number ? "" : `was ${entry.number}`,
        ]
          .filter((each) => each !== "")
          .join(" · "),
      ),
      h(
        "button",
        {
          type: "button",
          class: "quiet",
          disabled: this.isBusy(where),
          "aria-label": `${number}: ${isAbsent ? "here after all" : "absent"}`,
          onclick: () => void this.#presence(dayClass, horse, where),
        },
        isAbsent ? "Here after all" : "Absent",
      ),
      h(
        "button",
        { type: "button", class: "quiet", "aria-expanded": String(isOpen), "aria-label": `${number}: ${isOpen ? "close" : "change"}`, onclick: () => this.#unfold(number) },
        isOpen ? "Close" : "Change",
      ),
      this.heard(where),
      isOpen ? this.#changes(dayClass, horse) : null,
    );
  }

  /** @param {string} number */
  #unfold(number) {
    this.#open = this.#open === number ? "" : number;
    this.repaint();
  }

  /** @param {DeskClass} dayClass @param {Horse} horse @param {string} where */
  #presence(dayClass, { number, state }, where) {
    const replaces = current(desk.notes.get(dayClass.id), ["presence", number]);
    const next = state === "absent" ? null : "absent";
    return this.act(where, () => desk.write(dayClass.id, [{ kind: "presence", number, state: next, replaces }]), next === null ? `${number} is here after all.` : `${number} is absent.`);
  }

  /** @param {DeskClass} dayClass @param {Horse} horse */
  #changes(dayClass, horse) {
    const { number, entry, strike } = horse;
    const [known, right, struck, out] = [`known ${number}`, `right ${number}`, `struck ${number}`, `out ${number}`];
    return h(
      "div",
      { class: "inside" },
      form(
        { class: "way stacked" },
        (said) => void this.command(known, "entry", { ...asked(said), class: dayClass.id, number }, "Kept, on every phone."),
        h("h3", null, "What is known of it"),
        field("Identification marks", { name: "identification", maxlength: 300, value: entry.identification }),
        field("Horse", { name: "horse", maxlength: 80, value: entry.horse }),
        field("Exhibitor", { name: "exhibitor", maxlength: 80, value: entry.exhibitor }),
        divisionChoice(dayClass, entry.division),
        h("button", { disabled: this.isBusy(known) }, "Keep the change"),
        this.heard(known),
      ),
      form(
        { class: "way stacked" },
        (said) => void this.#putRight(dayClass, horse, said),
        h("h3", null, "A wrong number"),
        field("Right number", { name: "now", autocapitalize: "characters", maxlength: 8 }),
        field("Reason", { name: "reason", maxlength: 300, placeholder: "as misread at the gate" }),
        h("p", { class: "help" }, `All that is noted of ${number} is read as the right number's, on every phone and card.`),
        h("button", { disabled: this.isBusy(right) }, "Correct the number"),
        this.heard(right),
      ),
      form(
        { class: "way stacked" },
        (said) => void this.#strike(dayClass, number, strike === null ? text(said, "reason") : null),
        h("h3", null, "Out of the result"),
        strike === null ? field("Reason", { name: "reason", maxlength: 300, placeholder: "as not eligible" }) : h("p", null, `${struckSaid([strike])}.`),
        h("p", { class: "help" }, strike === null ? "Places below move up in the result; the judge's card stays as it is." : "It gets its place back."),
        h("button", { disabled: this.isBusy(struck) }, strike === null ? "Strike from the result" : "Take the strike back"),
        this.heard(struck),
      ),
      h(
        "div",
        { class: "way" },
        h("h3", null, "Not in this class"),
        this.ask(
          out,
          "Take out of the class",
          `${number} is no longer entered in “${dayClass.title}”. A horse that was entered and does not come is absent instead, which stays in the record.`,
          `Yes, take ${number} out`,
          () => this.#takeOut(dayClass, number, out),
        ),
      ),
    );
  }

  /** @param {DeskClass} dayClass @param {Horse} horse @param {FormData} said */
  async #putRight(dayClass, { number, entry }, said) {
    const where = `right ${number}`;
    const [now, reason] = [tidyNumber(text(said, "now")), text(said, "reason")];
    if (!isNumber(now) || now === number) return this.say(where, "Type the right number: 1 to 6 digits or letters.", true);
    if (reason === "") return this.say(where, "A corrected number needs a reason.", true);
    const notes = desk.notes.get(dayClass.id);
    if (horsesOf(dayClass, notes).some((each) => each.number === now)) {
      return this.say(where, `${now} is another horse of this class. Put that one right first.`, true);
    }
    const { identification } = entry;
    const drafts = [
      { kind: "entry", number, identification, now, reason, replaces: current(notes, ["entry", number]) },
      // So that it is entered under its right number whoever entered it under the wrong one.
      { kind: "entry", number: now, identification, now: null, replaces: current(notes, ["entry", now]) },
    ];
    // Its line is another one now, so it is said above.
    if (await this.act(where, () => desk.write(dayClass.id, drafts))) this.say("line", `${number} is now ${now}, on every phone and card.`);
  }

  /** @param {DeskClass} dayClass @param {string} number @param {string} where */
  async #takeOut(dayClass, number, where) {
    const isDone = await this.command(where, "entry-gone", { class: dayClass.id, number, reason: null });
    if (isDone) this.say("line", `${number} is out of “${dayClass.title}”.`);
    return isDone;
  }

  /** @param {DeskClass} dayClass @param {string} number @param {string | null} reason null: taken back */
  #strike(dayClass, number, reason) {
    const where = `struck ${number}`;
    if (reason === "") return this.say(where, "A strike needs a reason.", true);
    return this.command(where, "strike", { class: dayClass.id, number, reason }, reason === null ? `The strike is taken back: ${number} has its place again.` : `${number} is struck from the result.`);
  }

  /** Many at once. @param {DeskClass} dayClass */
  #paste(dayClass) {
    return h(
      "section",
      { class: "paste" },
      h("h2", null, "Many at once"),
      h("p", { class: "help" }, "From a spreadsheet: copy the rows and paste them here, or choose a CSV file. Headings in any order (number, marks, horse, exhibitor); without headings the number comes first. With a column of classes the list of a whole show goes in at once, each row into its own class."),
      form(
        { class: "stacked" },
        (said) => void this.#read(dayClass, String(said.get("text") ?? "")),
        h("label", null, "Pasted rows", h("textarea", { name: "text", rows: 4, spellcheck: "false", autocapitalize: "none", oninput: () => this.#changed() })),
        h("label", null, "Or a CSV file", h("input", { type: "file", accept: ".csv,.tsv,.txt,text/csv,text/plain", onchange: (/** @type {Event} */ event) => void this.#file(event) })),
        h("button", { disabled: this.isBusy("read") }, "Look at the rows"),
        this.heard("read"),
      ),
      this.#pasted === null ? null : this.#preview(dayClass, this.#pasted),
    );
  }

  /** A preview tells of the text it was read from, and of no other. */
  #changed() {
    if (this.#pasted !== null) {
      this.#pasted = null;
      this.repaint();
    }
  }

  /** @param {Event} event */
  async #file(event) {
    const input = /** @type {HTMLInputElement} */ (event.target);
    const [file] = input.files ?? [];
    const area = /** @type {HTMLTextAreaElement | null} */ (this.querySelector("textarea"));
    if (file === undefined || area === null) return;
    const { text: read, problem } = await readRows(file);
    if (problem !== null) this.say("read", problem, true);
    else {
      area.value = read;
      this.#changed();
      area.form?.requestSubmit();
    }
    input.value = "";
  }

  /** @param {DeskClass} dayClass @param {string} typed */
  async #read(dayClass, typed) {
    if (typed.trim() === "") return this.say("read", "Paste the rows, or choose a file.", true);
    await this.act("read", async () => {
      const answer = await rowsRead(typed, dayClass.id);
      if (typeof answer === "string") return answer;
      this.#pasted = { text: typed, read: answer };
      return null;
    });
  }

  /** @param {DeskClass} dayClass @param {{ text: string, read: RowsRead }} pasted */
  #preview(dayClass, { text: typed, read }) {
    const bad = read.rows.filter(({ problem }) => problem !== null);
    const fresh = read.rows.filter((row) => row.is === "new").length;
    const otherwise = read.rows.filter((row) => row.is === "changed").length;
    const into = new Set(read.rows.map((row) => row.class));
    const where = into.size > 1 ? ` in ${into.size} classes` : into.has(dayClass.id) ? "" : ` in “${classWith([...into][0] ?? null)?.title}”`;
    return h(
      "div",
      { class: "preview" },
      h(
        "p",
        { role: "status", class: read.ok ? null : "problem" },
        read.ok
          ? `${counted(read.rows.length, "row")}${where}: ${fresh} new, ${otherwise} changed, ${read.rows.length - fresh - otherwise} as they are.`
          : `${counted(bad.length, "row")} of ${read.rows.length} can't be taken, and so none is. Mend the text above and look again.`,
      ),
      h(
        "p",
        { class: "help" },
        `Columns: ${read.columns.map(({ title, as }) => `${title || "(no heading)"} → ${as === null ? "left out" : COLUMNS[as]}`).join("; ")}.`,
      ),
      h(
        "div",
        { class: "scrolls", tabindex: 0, role: "group", "aria-label": "The rows as they were read" },
        h(
          "table",
          null,
          h("thead", null, h("tr", null, ...["Line", "Class", "Number", "Known by", "Horse", "Exhibitor", "What it is"].map((each) => h("th", { scope: "col" }, each)))),
          h(
            "tbody",
            null,
            // The bad ones first: they are what there is to do.
            ...[...bad, ...read.rows.filter(({ problem }) => problem === null)].map((row) =>
              h(
                "tr",
                { key: row.line, class: row.problem === null ? null : "bad" },
                h("td", null, row.line),
                h("td", null, classWith(row.class)?.title ?? row.class),
                h("td", null, row.number),
                h("td", null, row.identification),
                h("td", null, row.horse),
                h("td", null, row.exhibitor),
                h("td", null, row.problem === null ? IS[row.is ?? "same"] : h("b", null, `! ${row.problem}`)),
              ),
            ),
          ),
        ),
      ),
      read.ok ? h("button", { type: "button", class: "main", disabled: this.isBusy("take"), onclick: () => void this.#take(dayClass, typed, read) }, `Take all ${counted(read.rows.length, "row")}`) : null,
      this.heard("take"),
    );
  }

  /** @param {DeskClass} dayClass @param {string} typed @param {RowsRead} read */
  async #take(dayClass, typed, read) {
    if (!(await this.command("take", "entries-take", { text: typed, class: dayClass.id }))) return;
    const area = /** @type {HTMLTextAreaElement} */ (this.querySelector("textarea"));
    area.value = "";
    this.#pasted = null;
    this.say("read", `${counted(read.rows.length, "row")} taken.`);
  }
}

/** @type {Record<string, string>} */
const COLUMNS = { number: "number", identification: "known by", horse: "horse", exhibitor: "exhibitor", class: "class" };
/** @type {Record<string, string>} */
const IS = { new: "new", changed: "changes what is there", same: "as it is" };

/** @param {FormData} said */
function asked(said) {
  return {
    identification: textOrNull(said, "identification"),
    horse: textOrNull(said, "horse"),
    exhibitor: textOrNull(said, "exhibitor"),
    division: textOrNull(said, "division"),
  };
}

/** @param {DeskClass} dayClass @param {string | null} chosen */
function divisionChoice({ divisions }, chosen) {
  return divisions.length === 0 ? null : select("Placed in", { name: "division" }, divisions.map(({ id, title }) => [id, title]), chosen);
}

/** @param {readonly Horse[]} horses */
function inShort(horses) {
  const absent = horses.filter(({ state }) => state === "absent").map(({ number }) => number);
  const present = horses.filter(({ state }) => state === "present").length;
  return `${counted(horses.length, "entry", "entries")}${absent.length === 0 ? "" : `, absent ${listed(absent)}`}${present === 0 ? "" : `, ${present} checked in`}.`;
}

/** @param {import("../desk.js").DeskEntry} entry */
function why({ gone }) {
  const to = classWith(gone?.to ?? null);
  return to === null ? (gone?.why ?? "") : `${gone?.why}, now in “${to.title}”`;
}
