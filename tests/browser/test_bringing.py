"""A class brought into a show: into the one that is meant, taken back whole, and never out of a class that holds it."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import expect

from nearside.show.standards import shipped_standard
from tests.browser.phone import Phone, linked
from tests.browser.served import Classes, Served, note, open_show
from tests.browser.test_files import SHOULDER, TOPLINE, give

TITLE = "Stock type mares, aged"
C1 = {"class": "c1"}
CLASSES: Classes = [
    ("c1", "Stock type mares, two", "stock-type", ["mare"], [(number, "bay") for number in ("7", "12", "40", "58")]),
    ("c3", TITLE, "stock-type", ["mare"], [(number, "grey") for number in ("7", "12", "41", "59")]),
]


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Served]:
    """A show of two classes that go by one standard."""
    served = Served(tmp_path / "data", open_show(tmp_path / "data", CLASSES))
    yield served
    served.kill()


def class_file(title: str, prefix: str) -> str:
    """A class judged elsewhere, signed on a phone whose clock was behind; its notes go by ids of their own."""

    def said(name: str, at: int, **fields: Any) -> dict[str, Any]:
        return {"id": f"{prefix}-{name}", "card": "mine", "by": "mine", "at": at, "replaces": [], **fields}

    notes = [
        said("topline", 1, kind="mark", number="7", trait="topline", view="profile", degree=2),
        said("shoulder", 2, kind="mark", number="7", trait="shoulder", view="profile", degree=2),
        said("harder", 3, kind="mark", number="7", trait="shoulder", view="profile", degree=3)
        | {"replaces": [f"{prefix}-shoulder"]},
        said("late", 4, kind="mark", number="99", trait="topline", view="profile", degree=1),
        said("order", 5, kind="order", numbers=["7", "12", "99"]),
        said("sign", 2, kind="sign", numbers=["7", "12", "99"]),
    ]
    of: dict[str, Any] = {"id": "mine", "title": title, "standard": shipped_standard("stock-type")}
    of |= {"sexes": ["mare"], "ages": ["aged"], "places": 4}
    entries = [{"number": number, "identification": None} for number in ("7", "12", "99")]
    whole = {"format": "nearside-class/1", "class": of, "entries": entries, "card": "mine", "notes": notes}
    return json.dumps(whole)


# As a phone has it that was made to send notes of one class under another.
SEND_UNDER = linked("""async ([ids, ofClass]) => {
    const { session } = await import("/state/session.js");
    const { notesOfClass } = await import("/offline/outbox.js");
    const held = await notesOfClass(session.held.owner, "c3");
    await session.sendAgain(held.filter(({ id }) => ids.includes(id)).map(({ owner, id, note }) =>
        ({ owner, id, note: { ...note, class: ofClass }, reason: "", at: 0, aside: false })));
}""")


def test_a_class_comes_only_into_the_class_chosen_is_taken_back_whole_and_stays_where_it_was_brought(
    phone: Phone, server: Served
) -> None:
    server.write(
        "judge",
        note("theirs", **C1, kind="mark", number="7", trait="shoulder", view="profile", degree=1),
        note("their-order", **C1, kind="order", numbers=["12", "7"]),
    )
    phone.join()
    page = phone.page
    phone.expect_saved("At the office")
    choice = page.get_by_role("group", name="Class of the show")
    bring = page.get_by_role("button", name=re.compile("^Bring it into"))
    chosen = choice.locator("[aria-pressed=true]")
    alert = page.get_by_role("alert").filter(has_text=re.compile("."))

    # Of another title: nothing is chosen for the judge, and what the class holds already is said first.
    page.get_by_role("button", name="Bring in a class").tap()
    give(phone, class_file("Mares at home", "a"))
    expect(choice.get_by_role("button")).to_have_text(["C1Stock type mares, two", f"C3{TITLE}"])
    expect(chosen).to_have_count(0)
    expect(bring).to_have_count(0)
    choice.get_by_role("button", name="C1").tap()
    expect(alert).to_have_text("C1 already holds 2 notes of yours.")
    expect(page.get_by_text("Not in that class, and entered with it: 99.")).to_be_visible()
    bring.tap()
    phone.expect_said(
        "^4 notes brought in. Entered: 99. Your order and signature stayed behind: what this card had stands.$"
    )
    phone.view("Profile").tap()
    phone.expect_degree(TOPLINE, 2)

    # One step of undo, whole: also where it stood beside what was there.
    page.get_by_role("button", name="Undo 4 notes brought in").tap()
    phone.expect_said("^Taken back: 4 notes brought in. 99 stays in the list, noted as absent")
    phone.expect_degree(TOPLINE, 0)
    phone.expect_degree(SHOULDER, 1)
    expect(page.get_by_role("button", name=re.compile("^Nothing to undo"))).to_be_visible()
    phone.expect_saved("At the office")

    # The very title and standard: chosen. The class it was brought into first is the only one.
    page.get_by_role("button", name="All classes").tap()
    page.get_by_role("button", name="Bring in a class").tap()
    give(phone, class_file(TITLE, "a"))
    expect(chosen).to_have_text(f"C3{TITLE}")
    expect(alert).to_have_text("This class is already in C1, Stock type mares, two.")
    expect(bring).to_have_count(0)
    expect(page.get_by_role("button", name="Open C1, Stock type mares, two")).to_be_visible()
    give(phone, class_file(TITLE, "b"))
    bring.tap()
    phone.expect_said("^6 notes brought in. .*Your order of 3 came along, signed: the card is shut.$")
    phone.expect_saved("At the office")
    kept = sorted(server.notes_of("judge"), key=lambda each: str(each["id"]))
    assert {each["class"] for each in kept if each["id"].startswith("b-")} == {"c3"}

    def held() -> list[Any]:
        return sorted((each["note"] for each in phone.stored("notes")), key=lambda each: str(each["id"]))

    assert held() == kept
    page.get_by_role("button", name="All classes").tap()
    page.get_by_role("button", name="Bring in a class").tap()
    give(phone, class_file(TITLE, "b"))
    choice.get_by_role("button", name="C1").tap()
    expect(alert).to_have_text(f"This class is already in C3, {TITLE}.")
    assert held() == kept
    page.get_by_role("button", name=f"Open C3, {TITLE}").tap()
    phone.view("Profile").tap()
    phone.expect_degree(SHOULDER, 3)

    # What the office refuses under ids it keeps elsewhere takes nothing away; and it is dealt with at once.
    page.evaluate(SEND_UNDER, [["b-topline", "b-late"], "c1"])
    phone.expect_saved("2 refused")
    phone.expect_degree(TOPLINE, 2)
    assert held() == kept
    phone.saved.tap()
    group = page.locator(".refused > li:visible")
    expect(group).to_have_count(1)
    expect(group).to_contain_text("2 notes")
    expect(group).to_contain_text("Reason: The office keeps these already, in another class")
    with page.expect_response("**/api/notes"):
        group.get_by_role("button", name="Send all again").tap()
    expect(group).to_contain_text("2 notes")
    group.get_by_text("One by one").tap()
    page.get_by_role("button", name="Put aside: 99: short, strong topline, slight").tap()
    expect(group.get_by_role("button")).to_have_text(["Send again", "Put aside"])
    page.get_by_role("button", name="Put aside").tap()
    expect(group).to_have_count(0)
    assert held() == kept == sorted(server.notes_of("judge"), key=lambda each: str(each["id"]))
