"""Every page of the show table, at each size and in both themes: the rules of WCAG, targets, nothing cut off."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from importlib.resources import files
from pathlib import Path
from typing import Any, NamedTuple

import pytest
from playwright.sync_api import Page, Playwright, expect

from tests.browser.office import office_of
from tests.browser.screens import tap
from tests.browser.served import Served, note, open_show
from tests.browser.table import LAPTOP, TABLET, Table
from tests.browser.test_accessibility import AXE_OPTIONS, CRAMPED, CUT_OFF, RUN_AXE, TWICE, USUAL, resize

PAGES = Path(__file__).parents[2] / "frontend" / "office" / "pages.js"
PHONE = (390, 844)


class Shown(NamedTuple):
    at: str
    shown: str
    """A selector of what is there once it is open."""
    then: Callable[[Page], None] | None = None


def whole_list(page: Page) -> None:
    tap("^From the last place")(page)
    tap("^Whole list")(page)


def champion_chosen(page: Page) -> None:
    page.locator("champion-naming .contender").first.tap()
    expect(page.locator(".read-back-it")).to_be_visible()


# Pages with more to show than their first sight; the others are found in the table of pages itself.
MORE = [
    Shown("announcer/c4", ".ways"),
    Shown("announcer/c4", ".ways", tap("^From the last place")),
    Shown("announcer/c4", ".ways", whole_list),
    Shown("results/c4", ".sheet"),
    Shown("champions", ".contender", champion_chosen),
    Shown("slips/c4", ".slip"),
]
FIRST = {"announcer": ".group", "results": ".sheet", "champions": ".contender", "slips": "ul", "calls": ".called-horse"}


@pytest.fixture(scope="module")
def table(playwright: Playwright, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Table]:
    """The office at a show with something of everything."""
    data = tmp_path_factory.mktemp("table") / "data"
    server = Served(data, open_show(data))
    vet: dict[str, Any] = {"kind": "lameness", "by": "steward", "observer": "veterinarian", "card": None}
    server.write("steward", note("v", **vet, number="7", grade=2, gait="trot", text="short steps"))
    signed: dict[str, Any] = {"kind": "sign", "reason": None}
    server.write(
        "judge",
        note("m", kind="mark", number="12", trait="topline", view="profile", degree=3),
        note("a", **signed, numbers=["12", "7", "31", "40", "58"]),
        note("b", **signed, numbers=["22", "21"], **{"class": "c5"}),
    )
    with office_of(server) as office, server.device("judge") as judge:
        named = {"horse": "Copper Kettle", "exhibitor": "Nell Alder", "identification": "bay, star", "division": None}
        office.ask("entry", **named, **{"class": "c4", "number": "12"})
        office.ask("championship", id=None, title="Champion mare", classes=["c4", "c5"], feeds=[], judge="judge-a")
        judge.post("/api/classes/c4/agree", json={"study": None, "slips": True}).raise_for_status()
    table = Table(playwright, server, touched=True)
    table.sit()
    table.page.evaluate(files("axe_playwright_python").joinpath("axe.min.js").read_text(encoding="utf-8"))
    yield table
    table.close()
    server.kill()


def test_every_page_of_the_table_is_well_at_each_size(table: Table) -> None:
    names = re.findall(r'name: "(\w+)", title: "', PAGES.read_text())
    assert len(names) > 5
    wrong = {}
    for screen in [*(Shown(name, FIRST.get(name, "h1")) for name in names), *MORE]:
        page = table.page
        resize(page, LAPTOP)
        table.go("day")
        expect(page.locator("day-page h1")).to_be_visible()
        table.go(screen.at)
        expect(page.locator(f"{screen.at.partition('/')[0]}-page {screen.shown}").first).to_be_visible()
        if screen.then is not None:
            screen.then(page)
        for name, found in measured(page):
            if found:
                wrong[f"{screen.at} {name}"] = found
        if page.locator(".reading").count() > 0:
            tap("^‹ Stop")(page)
    assert wrong == {}
    assert table.problems == []


def measured(page: Page) -> Iterator[tuple[str, list[str]]]:
    for theme in ("light", "dark"):
        page.emulate_media(color_scheme="dark" if theme == "dark" else "light")
        expect(page.locator("html")).to_have_attribute("data-theme", theme)
        yield theme, page.evaluate(RUN_AXE, AXE_OPTIONS[theme])
    page.emulate_media(color_scheme="light")
    for size in (LAPTOP, TABLET, PHONE):
        resize(page, size)
        yield f"cut off at {size}", page.evaluate(CUT_OFF)
        if size != LAPTOP:  # there one has a mouse
            yield f"targets at {size}", page.evaluate(CRAMPED)
    page.evaluate(TWICE)
    yield "text of twice the size", page.evaluate(CUT_OFF)
    page.evaluate(USUAL)
