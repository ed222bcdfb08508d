"""The results as they are pinned up: a page a class, large, with what it rests on; of a day, of one class, as files."""

from __future__ import annotations

import json
from pathlib import Path

from playwright.sync_api import expect

from tests.browser.office import office_of
from tests.browser.paper import Paper
from tests.browser.served import Served, note
from tests.browser.table import Table

DAY_MS = 24 * 60 * 60 * 1000
MANY = [str(300 + place) for place in range(24)]


def test_each_class_is_a_page_with_all_it_rests_on(server: Served, table: Table) -> None:
    with office_of(server) as office:
        class_id = office.new_class("Hunter type mares and geldings, three and over", MANY, 20)
        for number, horse in (("12", "Copper Kettle"), ("7", "Marigold")):
            named = {"horse": horse, "exhibitor": "Nell Alder", "division": None, "identification": "bay, star"}
            office.ask("entry", **named, **{"class": "c4", "number": number})
        second = office.seat("judge", "Second judge")
        office.change_class("c4", method="points")
        office.change_class("c5", judges=["judge-a"])
        office.ask("strike", **{"class": "c4", "number": "31", "reason": "entered in the wrong class"})
        signed = {"kind": "sign", "reason": None}
        server.write("judge", note("a", **signed, numbers=["12", "7", "31", "40", "58"]))
        paper = note("b", **signed, card=second, numbers=["7", "12", "31", "40"], at=1764061260000)
        server.write("office", paper)
        server.write("judge", note("m", **signed, numbers=MANY[:21], at=1764061260000 + DAY_MS, **{"class": class_id}))

        table.sit()
        table.open("Results")
        page = table.page
        expect(page.locator(".sheet")).to_have_count(2)
        for size in ("A4", "Letter"):
            first, large = Paper(page, size).texts
            assert first.startswith("Stock type mares, aged Mill Meadow Open Show, November 25, 2025. 6 horses shown.")
            assert "Judges: Judge A and Second judge (from paper, entered by the office)." in first
            assert "By points of all judges' cards added." in first
            assert "1st tied 7 Marigold Nell Alder bay, star 1st tied 12 Copper Kettle Nell Alder bay, star" in first
            assert "3rd 40 brown 4th 58" in first
            assert (
                "Struck from the result by the office: 31 (entered in the wrong class). Those below moved up;" in first
            )
            assert "Corrected" not in first
            (head,) = (each["head"] for each in results(server) if each["id"] == "c4")
            assert f"Check code of the record {' '.join(head[at : at + 4] for at in range(0, 16, 4))}." in first
            assert "Print 2 classes" not in first
            assert "1st 300 Silver Lining of the Upper Valley 300 Harriet Longfellow-Ashworth 2nd 301" in large
            assert "20th 319 Silver Lining of the Upper Valley 319 Harriet Longfellow-Ashworth" in large
            assert "320" not in large
            assert "1 more horse placed below." in large

        # Of one day, of one class; as files.
        page.get_by_role("button", name="November 26, 2025").click()
        expect(page.locator(".sheet h2")).to_have_text(["Hunter type mares and geldings, three and over"])
        page.locator(".sheet h2 a").click()
        for name, holds in (("As CSV", "Silver Lining of the Upper Valley 300"), ("As JSON", '"number":"300"')):
            with page.expect_download() as download:
                page.get_by_role("link", name=name).click()
            text = Path(download.value.path()).read_text()
            assert holds in text
            assert "Copper Kettle" not in text
        assert json.loads(text)["format"] == "nearside-results/1"

        # A correction takes the result down, and is said on the next sheet.
        table.go("results/c4")
        expect(page.locator(".sheet")).to_have_count(1)
        back = {"kind": "sign", "numbers": None, "reason": "7 before 12 (initials EK)"}
        server.write("judge", note("a2", **back, replaces=["a"]))
        expect(page.locator(".corrected")).to_contain_text("No result stands. The card of Judge A is being corrected")
        expect(page.locator("table")).to_have_count(0)
        server.write("judge", note("a3", **signed, numbers=["7", "12", "40"], replaces=["a2"]))
        expect(page.locator("tbody th")).to_have_text(["7", "12", "40"])
        (text,) = Paper(page).texts
        assert "Corrected: a card of this class was taken back with a reason and signed anew." in text


def results(server: Served) -> list[dict[str, str]]:
    with server.device("office") as device:
        classes: list[dict[str, str]] = device.get("/api/results").json()["classes"]
        return classes
