"""The exhibitors' slips: looked over by the judge, and given to the office only with the judge's word."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import expect

from tests.browser.office import office_of
from tests.browser.paper import Paper
from tests.browser.phone import Phone
from tests.browser.served import Served, note
from tests.browser.table import Table


def test_the_judge_looks_the_slips_over_and_the_office_prints_them_once_agreed(
    phone: Phone, table: Table, server: Served
) -> None:
    marks = [("12", "topline", 3), ("12", "shoulder", 2), ("7", "topline", 1), ("31", "neck", 2), ("31", "topline", -2)]
    server.write(
        "judge",
        *(
            note(f"m{at}", kind="mark", number=number, trait=trait, view="profile", degree=degree)
            for at, (number, trait, degree) in enumerate(marks)
        ),
        note("r", kind="remark", number="31", tag="blemish", text="wire scar"),
        note("o", kind="order", numbers=["12", "7", "31"]),
    )
    order: dict[str, Any] = {"numbers": ["12", "7", "31"], "reason": None}
    server.write("judge", note("s", kind="sign", **order))
    with office_of(server) as office:
        named = {"horse": "Quiet Harbor", "exhibitor": "Tom Beech", "division": None, "identification": "grey"}
        office.ask("entry", **named, **{"class": "c4", "number": "31"})
        table.sit()
        table.go("slips/c4")
        there = table.page
        expect(there.get_by_text("No judge of this class has agreed to slips.")).to_be_visible()

        phone.join()
        page = phone.page
        page.goto(f"{server.address}/#/sign/c4")
        page.get_by_role("button", name="Slips for exhibitors").tap()
        slips = page.locator(".slip")
        expect(slips.locator("h3 b")).to_have_text(["12", "7", "31"])
        last = slips.last.inner_text()
        assert "long, weak topline" in last
        assert "wire scar" not in last
        assert "Tom Beech" not in last  # a judge is told no names
        agree = page.get_by_role("button", name="Exhibitors may have their slips")
        expect(agree).to_have_attribute("aria-pressed", "false")
        agree.tap()
        expect(agree).to_have_attribute("aria-pressed", "true")
        expect(page.get_by_role("button", name="Trainees may study")).to_have_attribute("aria-pressed", "false")

        # At the table without being asked for; on paper the slips alone, several a sheet.
        expect(there.locator(".slip")).to_have_count(3)
        expect(there.get_by_role("button", name="Print 3 slips")).to_be_visible()
        for size in ("A4", "Letter"):
            (text,) = Paper(there, size).texts
            assert text.startswith("Mill Meadow Open Show. Stock type mares, aged. 12")
            assert "31 Quiet Harbor, grey Tom Beech 3rd place" in text
            assert "wire scar" not in text
            assert "All classes" not in text
        assert there.locator(".slip").last.inner_text().count("12") == 0

        # Taken back, they are gone from the table.
        agree.tap()
        expect(there.get_by_text("No judge of this class has agreed to slips.")).to_be_visible()
        expect(there.locator(".slip")).to_have_count(0)


def test_the_record_of_calls_tells_the_veterinarian_what_was_seen_and_what_followed(
    phone: Phone, table: Table, server: Served
) -> None:
    seen = {"gait": "trot", "limb": "left fore", "circumstance": "on the turn", "text": "short steps"}
    vet = {"kind": "lameness", "number": "7", "by": "steward", "observer": "veterinarian", "card": None}
    server.write("steward", note("v1", **vet, grade=2, **seen))
    again = {**seen, "text": None, "grade": 3}
    server.write("steward", note("v2", **vet, **again, replaces=["v1"], at=1764061260000))
    server.write(
        "judge",
        note("j1", kind="lameness", number="7", grade=3, **dict.fromkeys(seen), at=1764061290000),
        note("j2", kind="ruling", number="7", outcome="excused", reason="lame at the trot", at=1764061320000),
    )
    table.sit()
    table.go("calls")
    there = table.page
    horse = there.locator(".called-horse")
    expect(horse.locator("h4")).to_have_text(["The veterinarian"])
    expect(horse.locator("li").nth(1)).to_contain_text("looked again, changed: grade 3, there every time at the trot")
    # The judge's own call and ruling are the judge's until the class is released.
    expect(there.get_by_text("lame at the trot")).to_have_count(0)

    phone.join()
    page = phone.page
    page.get_by_role("button", name="Record of lameness calls").tap()
    expect(page.locator(".called-horse li").filter(has_text="excused: lame at the trot")).to_be_visible()
    text = Paper(page).texts[0]
    caution = "What is seen here at one moment is no diagnosis."
    assert text.index(caution) < text.index("Stock type mares, aged") < text.index("The veterinarian 1. Nov")
    assert "grade 2, hard to see at walk or straight trot" in text
    assert "trot, seen as left fore, on the turn; “short steps”" in text
    assert text.count("This stands.") == 3
