"""What must hold on every screen of the page, in both themes and whatever the size of screen and text.

The rules of axe-core are run by name of the success criteria of WCAG 2.2 A and AA, and text contrast of 7 to 1 besides.
What no rule of it measures is measured here: where targets lie, what is cut off, what hides the focus.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from importlib.resources import files
from typing import Any, Literal

import pytest
from playwright.sync_api import Page, Playwright, expect

from tests.browser.screens import SCREENS, TABLE_SCREENS, Screen, Stage, TableStage

PHONE, SMALL, SIDE, TABLET = (390, 844), (320, 568), (844, 390), (820, 1180)
THEMES: tuple[Literal["light", "dark"], ...] = ("light", "dark")

# Every rule of the criteria, and the one of 7 to 1 that is not among the usual; it looks only at what has 4.5 to 1, so
# both are needed. In the dark only colors differ.
AXE_OPTIONS: dict[str, dict[str, Any]] = {
    "light": {
        "runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22a", "wcag22aa"],
        "rules": {"color-contrast-enhanced": {"enabled": True}},
        "resultTypes": ["violations"],
    },
    "dark": {
        "runOnly": {"type": "rule", "values": ["color-contrast", "color-contrast-enhanced"]},
        "resultTypes": ["violations"],
    },
}
RUN_AXE = """async (options) => (await axe.run(document, options)).violations.flatMap(({ id, nodes }) =>
    nodes.map(({ target, any }) => `${id}: ${target.join(" ")}: ${any.map(({ message }) => message).join(" ")}`))"""

# What a thumb can be put on: visible, and not behind an open dialog.
TARGETS = """
const ground = document.querySelector("dialog[open]") ?? document;
const targets = [...ground.querySelectorAll("button, a[href], summary, input, select, textarea, [tabindex='0']")]
    .filter((each) => each.checkVisibility({ visibilityProperty: true }) && each.closest(".aside") === null);
const scrollerOf = (each) => {
    for (let at = each.parentElement; at !== null; at = at.parentElement) {
        if (getComputedStyle(at).overflowY !== "visible" || getComputedStyle(at).position === "sticky") return at;
    }
    return null;
};
const pageOf = (each) => each.closest("app-frame > *, office-frame main > *")?.localName;
const named = (each) => `${pageOf(each)} ${each.localName}.${each.className} "${
    (each.getAttribute("aria-label") ?? each.textContent).trim().slice(0, 30)}"`;
"""

# Targets of under 48 by 48, and neighbors less than 8 apart unless both are so large that each keeps 48 of its own with
# 8 between them.
CRAMPED = (
    "() => {"
    + TARGETS
    + """
    const found = [];
    // The whole label of a box to tick can be tapped.
    const whole = (each) => (each.matches("[type=checkbox], [type=radio]") ? (each.closest("label") ?? each) : each);
    const boxes = targets.map((each) => [each, whole(each).getBoundingClientRect()]);
    for (const [each, { width, height }] of boxes) {
        if (Math.min(width, height) < 47.5) found.push(`${named(each)} is ${width.toFixed()} by ${height.toFixed()}`);
    }
    // The knob on the plumb line is seen as its ring alone, and has the room around it.
    for (const box of boxes) if (box[0].matches(".take-back")) box[1] = box[0].firstChild.getBoundingClientRect();
    for (const [at, [one, a]] of boxes.entries()) {
        for (const [other, b] of boxes.slice(at + 1)) {
            if (scrollerOf(one) !== scrollerOf(other)) continue; // one may be scrolled under the other's edge
            const across = Math.max(a.left, b.left) - Math.min(a.right, b.right);
            const along = Math.max(a.top, b.top) - Math.min(a.bottom, b.bottom);
            const gap = Math.max(across, along);
            const size = gap === across ? Math.min(a.width, b.width) : Math.min(a.height, b.height);
            if (gap < 7.5 && size + gap < 51.5) found.push(`${named(one)} is ${gap.toFixed(1)} from ${named(other)}`);
        }
    }
    return found;
}"""
)

# What cannot be seen whole: wider than the screen, or cut off within a part that does not scroll.
CUT_OFF = """() => {
    const found = [];
    const wide = document.documentElement.scrollWidth - innerWidth;
    if (wide > 0) found.push(`the page is ${wide} wider than the screen`);
    for (const each of document.querySelectorAll(":is(app-frame, office-frame), :is(app-frame, office-frame) *")) {
        if (!each.checkVisibility() || each.closest(".aside, svg") !== null || each.textContent.trim() === "") continue;
        if (each.matches(".next > small")) continue; // a reminder: the whole of it is there once the horse is open
        if (each.closest("print-page main, .scrolls") !== null) continue; // sheets, tables: as wide as they are
        if (each.localName === "select") continue; // it opens to the whole of its words
        const { overflowY } = getComputedStyle(each);
        const name = `${each.closest("app-frame > *")?.localName} ${each.localName}.${each.className}`;
        const over = [each.scrollWidth - each.clientWidth, each.scrollHeight - each.clientHeight];
        if (getComputedStyle(each).display === "inline" || each.clientHeight === 0) continue;
        // The line of horses is a strip that scrolls along; nothing else does.
        if (over[0] > 1 && each.closest("horse-line") === null) found.push(`${name} is ${over[0]} too wide`);
        if (over[1] > 1 && (overflowY === "hidden" || overflowY === "clip")) found.push(`${name} hides ${over[1]}`);
        if (over[1] > 3 && each.localName === "button") found.push(`${name} is ${over[1]} too low for its words`);
    }
    return found;
}"""

# Words over words: two texts side by side whose boxes overlap.
COVERED = """() => {
    const found = [];
    const texts = [];
    const ground = document.querySelector("dialog[open]") ?? document.body;
    const walker = document.createTreeWalker(ground, NodeFilter.SHOW_TEXT);
    while (walker.nextNode()) {
        const node = walker.currentNode;
        const parent = node.parentElement;
        if (node.nodeValue.trim() === "" || !parent.checkVisibility()) continue;
        if (parent.closest(".aside, svg, .voice") !== null) continue;
        const range = document.createRange();
        range.selectNodeContents(node);
        const bar = parent.closest("horse-pad header, class-bar, thumb-bar");
        // Only what is within all that scrolls around it is to be seen.
        let seen = { left: 0, top: 0, right: innerWidth, bottom: innerHeight };
        for (let each = parent; each !== null; each = each.parentElement) {
            if (getComputedStyle(each).overflowY === "visible") continue;
            const box = each.getBoundingClientRect();
            seen = { left: Math.max(seen.left, box.left), top: Math.max(seen.top, box.top),
                right: Math.min(seen.right, box.right), bottom: Math.min(seen.bottom, box.bottom) };
        }
        for (const { left, top, right, bottom } of range.getClientRects()) {
            const box = { left: Math.max(left, seen.left), top: Math.max(top, seen.top),
                right: Math.min(right, seen.right), bottom: Math.min(bottom, seen.bottom), parent, node, bar };
            if (box.right > box.left && box.bottom > box.top) texts.push(box);
        }
    }
    for (const [at, a] of texts.entries()) {
        for (const b of texts.slice(at + 1)) {
            if (a.node === b.node || a.bar !== b.bar) continue;
            if (a.parent.contains(b.parent) || b.parent.contains(a.parent)) continue;
            const across = Math.min(a.right, b.right) - Math.max(a.left, b.left);
            const along = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
            if (across > 2 && along > 6) found.push(`"${a.node.nodeValue.trim()}" and "${b.node.nodeValue.trim()}"`);
        }
    }
    return found;
}"""

# What has the focus and is not in sight: nothing of it inside the screen, or all of it under something else.
HIDDEN_FOCUS = (
    "() => {"
    + TARGETS
    + """
    const found = [];
    for (const each of targets.filter((each) => !each.disabled && each.tabIndex >= 0)) {
        document.activeElement.blur(); // a dialog has given it to its first already
        each.focus({ focusVisible: true });
        if (document.activeElement !== each) { found.push(`${named(each)} takes no focus`); continue; }
        // Of what is larger than the screen, the part that is on it.
        const box = each.getBoundingClientRect();
        const [left, right] = [Math.max(box.left, 0) + 3, Math.min(box.right, innerWidth) - 3];
        const [top, bottom] = [Math.max(box.top, 0) + 3, Math.min(box.bottom, innerHeight) - 3];
        const middle = [(left + right) / 2, (top + bottom) / 2];
        const points = [[left, top], [right, top], [left, bottom], [right, bottom], middle];
        const seen = points.filter(([x, y]) => each.contains(document.elementFromPoint(x, y))).length;
        if (seen < (each.matches("section") ? 1 : 2)) found.push(`${named(each)} is hidden: ${seen} of 5 points`);
        const { outlineStyle, outlineWidth } = getComputedStyle(each);
        if (outlineStyle === "none" || parseFloat(outlineWidth) < 2) found.push(`${named(each)} shows no focus`);
    }
    return found;
}"""
)

# The words of WCAG 2.2, success criterion 1.4.12: line height, spacing of paragraphs, letters and words.
SPACING = """() => {
    const sheet = new CSSStyleSheet();
    sheet.replaceSync(`
        * { line-height: 1.5 !important; letter-spacing: 0.12em !important; word-spacing: 0.16em !important; }
        p { margin-bottom: 2em !important; }
    `);
    document.adoptedStyleSheets = [sheet];
}"""


# Title and badge of the class: in sight on all of its pages, wherever they are scrolled to.
CLASS_IN_SIGHT = """() => {
    if (document.querySelector("class-bar") === null) return [];
    for (const each of document.querySelectorAll("app-frame, app-frame *")) each.scrollTop = each.scrollHeight;
    const lost = [...document.querySelectorAll("class-bar h1, class-bar .badge")].filter((each) => {
        const { left, top, right, bottom } = each.getBoundingClientRect();
        const on = document.elementFromPoint((left + right) / 2, (top + bottom) / 2);
        const isSeen = top >= 0 && bottom <= innerHeight && left >= 0 && right <= innerWidth;
        // Behind an open dialog it is dimmed, and seen above it.
        const isDimmed = on?.localName === "dialog" && on.getBoundingClientRect().top > bottom - 4;
        return !isSeen || !(each.contains(on) || isDimmed);
    });
    return lost.map((each) => `${each.localName}.${each.className} is out of sight`);
}"""

TWICE = "() => { document.documentElement.style.fontSize = '32px'; }"
USUAL = "() => { document.adoptedStyleSheets = []; document.documentElement.style.fontSize = ''; }"
DRAWN = "() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))"

# What is measured, at which size of the screen, after what was done to the text.
Measures = dict[str, tuple[tuple[int, int], list[str], str]]
MEASURES: Measures = {
    "the class in sight": (PHONE, [CLASS_IN_SIGHT], USUAL),
    "the class in sight on its side": (SIDE, [CLASS_IN_SIGHT], USUAL),
    "the class in sight in large text": (PHONE, [CLASS_IN_SIGHT], TWICE),
    "targets of a phone": (PHONE, [CRAMPED, CUT_OFF, COVERED], USUAL),
    "targets of a small phone": (SMALL, [CRAMPED, CUT_OFF, COVERED], USUAL),
    "targets of a phone on its side": (SIDE, [CRAMPED, CUT_OFF, COVERED], USUAL),
    "targets of a tablet": (TABLET, [CRAMPED, CUT_OFF, COVERED], USUAL),
    "text of twice the size": (PHONE, [CRAMPED, CUT_OFF, COVERED], TWICE),
    "text widely spaced": (SMALL, [CUT_OFF, COVERED], SPACING),
    "focus on a phone": (PHONE, [HIDDEN_FOCUS], USUAL),
    "focus on a phone on its side": (SIDE, [HIDDEN_FOCUS], USUAL),
}
# The table: laptop first, and whatever is at hand.
LAPTOP = (1280, 800)
TABLE_MEASURES: Measures = {
    "targets of a laptop": (LAPTOP, [CRAMPED, CUT_OFF, COVERED], USUAL),
    "targets of a tablet": (TABLET, [CRAMPED, CUT_OFF, COVERED], USUAL),
    "targets of a phone": (PHONE, [CRAMPED, CUT_OFF, COVERED], USUAL),
    "text of twice the size": (PHONE, [CUT_OFF, COVERED], TWICE),
    "text widely spaced": (SMALL, [CUT_OFF, COVERED], SPACING),
}
RULES = {f"rules of WCAG, {theme}": theme for theme in THEMES}

Found = dict[str, dict[str, list[str]]]


@pytest.fixture(scope="module")
def found(playwright: Playwright, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Found]:
    """What is wrong, by measure and screen; each screen is gone to once, for all of them."""
    stage = Stage(playwright, tmp_path_factory.mktemp("stage"))
    try:
        yield looked_at(stage, SCREENS, MEASURES)
    finally:
        stage.close()


@pytest.fixture(scope="module")
def found_at_the_table(playwright: Playwright, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Found]:
    stage = TableStage(playwright, tmp_path_factory.mktemp("table"))
    try:
        yield looked_at(stage, TABLE_SCREENS, TABLE_MEASURES)
    finally:
        stage.close()


def looked_at(stage: Stage | TableStage, screens: Sequence[Screen], measures: Measures) -> Found:
    found: Found = {name: {} for name in (*RULES, *measures)}
    for screen in screens:
        resize(stage.page, PHONE)
        stage.open(screen)
        for name, wrong in (*broken_rules(stage.page), *measured(stage.page, measures)):
            if wrong:
                found[name][screen.name] = wrong
    return found


def resize(page: Page, size: tuple[int, int]) -> None:
    page.set_viewport_size({"width": size[0], "height": size[1]})


def broken_rules(page: Page) -> Iterator[tuple[str, list[str]]]:
    if not page.evaluate("'axe' in window"):  # joining loads the page anew
        page.evaluate(files("axe_playwright_python").joinpath("axe.min.js").read_text(encoding="utf-8"))
    for name, theme in RULES.items():
        page.emulate_media(color_scheme=theme)
        expect(page.locator("html")).to_have_attribute("data-theme", theme)
        yield name, page.evaluate(RUN_AXE, AXE_OPTIONS[theme])
    page.emulate_media(color_scheme="light")


def measured(page: Page, measures: Measures) -> Iterator[tuple[str, list[str]]]:
    for name, (size, scripts, before) in measures.items():
        resize(page, size)
        page.evaluate(USUAL)
        page.evaluate(before)
        page.evaluate(DRAWN)
        yield name, [each for script in scripts for each in page.evaluate(script)]
    page.evaluate(USUAL)


@pytest.mark.parametrize("measure", [*RULES, *MEASURES])
def test_all_is_well_on_every_screen_with(measure: str, found: Found) -> None:
    assert found[measure] == {}


@pytest.mark.parametrize("measure", [*RULES, *TABLE_MEASURES])
def test_all_is_well_on_every_screen_of_the_table_with(measure: str, found_at_the_table: Found) -> None:
    assert found_at_the_table[measure] == {}
