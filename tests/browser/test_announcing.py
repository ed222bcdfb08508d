"""The announcer's page: read from either end, never past a correction, and nothing before it is released."""

from __future__ import annotations

import re

from playwright.sync_api import Page, expect

from tests.browser.office import office_of
from tests.browser.paper import Paper
from tests.browser.served import Served, note
from tests.browser.table import Table

ORDER = ["12", "7", "31", "40", "58"]
NAMES = {"12": ("Copper Kettle", "Nell Alder"), "7": ("Marigold", "Tom Beech"), "31": ("Quiet Harbor", None)}


def sign(server: Served, order: list[str] | None, replaces: list[str], name: str) -> None:
    """The judge's card signed, or its signature taken back, on the judge's own device."""
    reason = None if order else "7 before 12 (initials EK)"
    server.write("judge", note(name, kind="sign", numbers=order, reason=reason, replaces=replaces))


def read_through(page: Page) -> list[list[str]]:
    """Every placing as it is read one at a time: its place, its number, and what is said."""
    read = []
    while page.locator(".over").count() == 0:
        shown = page.locator(".now-read")
        read.append([shown.locator(each).inner_text() for each in (".place-said", ".number", ".aside")])
        page.locator(".moves .main").click()
        expect(shown.locator(".over, .aside").first).not_to_have_text(read[-1][2])
    return read


def test_a_class_is_read_from_either_end_and_never_past_a_correction(
    server: Served, tablet: Table, table: Table
) -> None:
    with office_of(server) as office:
        office.seat("announcer", "Microphone")
        for number, (horse, exhibitor) in NAMES.items():
            named = {"horse": horse, "exhibitor": exhibitor, "division": None, "identification": "bay"}
            office.ask("entry", **named, **{"class": "c4", "number": number})
        unnamed = dict.fromkeys(("identification", "horse", "exhibitor", "division"))
        office.ask("entry", **unnamed, **{"class": "c4", "number": "13"})
        tablet.sit("Microphone")
        page = tablet.page
        waiting = page.locator("[data-standing=waits] a")
        expect(waiting).to_have_count(2)
        waiting.first.click()
        expect(page.get_by_role("status").filter(has_text="Not announced yet")).to_be_visible()
        expect(page.locator(".ways")).to_have_count(0)

        # What the judge signs is there by itself. Read from the last place up.
        sign(server, ORDER, [], "s1")
        expect(page.get_by_text("Ready to announce.")).to_be_visible()
        expect(page.get_by_text("One judge's card. 7 horses shown.")).to_be_visible()
        expect(page.get_by_text("1 more horse placed below, not announced.")).to_be_visible()
        expect(page.get_by_role("button", name="Mark as announced")).to_have_count(0)
        page.get_by_role("button", name=re.compile("^From the last place up")).click()
        band = page.locator(".band").first
        expect(band).to_have_text("Read from the last place up: fourth, third, second, first.")
        expect(page.locator("office-frame > header")).to_be_hidden()
        expect(page.locator(".turns")).to_have_text("Now: fourthTo come: third, second, first")
        # A tap that bounces reads one placing, not two.
        page.locator(".moves .main").evaluate("(next) => { next.click(); next.click(); next.click(); }")
        expect(page.locator(".place-said")).to_have_text("Third place")
        expect(page.locator(".alike")).to_have_text("Say it sign by sign: “one three” is in this class too.")
        page.get_by_role("button", name="‹ Back").click()
        assert read_through(page) == [
            ["Fourth place", "40", "Fourth place: number four zero."],
            ["Third place", "31", "Third place: number three one, Quiet Harbor."],
            ["Second place", "7", "Second place: number seven, Marigold, shown by Tom Beech."],
            ["First place", "12", "First place: number one two, Copper Kettle, shown by Nell Alder."],
        ]
        expect(page.locator(".over")).to_contain_text("4 placings read, the last one was first place.")
        page.get_by_role("button", name="Done").click()

        # The whole list, from the first place down; on paper the way is said at the top and at the bottom.
        page.get_by_role("button", name=re.compile("^From the first place down")).click()
        page.get_by_role("button", name="Whole list").click()
        rows = page.locator(".list tbody tr")
        expect(rows.locator("th")).to_have_text(["First place", "Second place", "Third place", "Fourth place"])
        expect(rows.locator(".number")).to_have_text(ORDER[:4])
        title, said = "Stock type mares, aged", "Read from the first place down: first, second, third, fourth."
        expect(page.locator(".list .band")).to_have_text(
            [f"{title}It begins with first place. {said}", f"{title}It is over when fourth place is read. {said}"]
        )
        # Apart from the numbers themselves no figure stands on the page.
        figures = re.findall(r"\d+", page.locator(".list").inner_text())
        assert figures == ORDER[:4]
        for size in ("A4", "Letter"):
            (text,) = Paper(page, size).texts
            assert text.startswith(f"{title} It begins with first place. {said} First place 12")
            assert f"“four zero” no name of the horse no name of the exhibitor {title} It is over when" in text
            assert "Mill Meadow Open Show. Printed" in text

        # Taken back while it is read: nothing more of it is shown.
        office.ask("stage", **{"class": "c4", "stage": "announced"})
        sign(server, None, ["s1"], "s2")
        stop = page.get_by_role("alert")
        expect(stop).to_contain_text("Stop reading")
        expect(page.locator(".number")).to_have_count(0)
        sign(server, ["7", "12", "31", "40"], ["s2"], "s3")
        stop.get_by_role("button", name="Begin again").click()
        expect(page.locator(".standing")).to_contain_text("The result changed since it was announced at ")
        page.get_by_role("button", name=re.compile("^From the last place up")).click()
        page.get_by_role("button", name="‹ One at a time").click()
        assert [each[1] for each in read_through(page)] == ["40", "31", "12", "7"]

        # The office says that it was announced; the announcer's seat does not.
        table.sit()
        table.go("announcer/c4")
        table.press("Mark the correction as announced")
        expect(table.page.locator(".standing")).to_contain_text(re.compile(r"^Announced at \d"))
        expect(table.page.get_by_role("button", name=re.compile("^Mark"))).to_have_count(0)
        page.get_by_role("button", name="Done").click()
        expect(page.locator(".standing")).to_contain_text(re.compile(r"^Announced at \d"))


def test_a_tie_is_one_placing_and_separate_cards_are_read_one_by_one(server: Served, tablet: Table) -> None:
    with office_of(server) as office:
        second = office.seat("judge", "Second judge")
        for class_id, method in (("c5", "points"), ("c4", "separate")):
            office.change_class(class_id, method=method)
        for role, card, way in (("judge", "judge-a", 1), ("Second judge", second, -1)):
            signed = {"kind": "sign", "card": card, "reason": None}
            server.write(role, note(f"{role}5", **signed, numbers=["21", "22"][::way], **{"class": "c5"}))
            server.write(role, note(f"{role}4", **signed, numbers=["7", "12", "58"][::way]))
        office.seat("announcer", "Microphone")
        tablet.sit("Microphone")
        tablet.go("announcer/c5")
        page = tablet.page
        expect(page.get_by_text("By points of all judges' cards added")).to_be_visible()
        page.get_by_role("button", name=re.compile("^From the last place up")).click()
        expect(page.locator(".band").first).to_have_text("Read from the last place up: tied first.")
        expect(page.locator(".place-said")).to_have_text("Tied for first place, two horses")
        expect(page.locator(".missing")).to_have_text("There is no second place.")
        expect(page.locator(".horse .number")).to_have_text(["21", "22"])
        tablet.go("announcer/c4")
        expect(page.get_by_text("2 lists, each read by itself")).to_be_visible()
        page.get_by_role("button", name="Card of Second judge").click()
        page.get_by_role("button", name=re.compile("^From the first place down")).click()
        expect(page.get_by_role("heading", name="Stock type mares, aged: Card of Second judge")).to_be_visible()
        assert [each[1] for each in read_through(page)] == ["58", "12", "7"]


def test_divisions_are_read_apart_and_a_long_list_says_its_way_on_each_sheet(server: Served, tablet: Table) -> None:
    juniors, seniors = [str(300 + each) for each in range(12)], [str(400 + each) for each in range(12)]
    with office_of(server) as office:
        parts = [office.new_class(f"{each} mares", of, 12) for each, of in (("Junior", juniors), ("Senior", seniors))]
        together = str(office.ask("combine", classes=parts, title="Mares together")["classes"][-1]["id"])
        both = [number for pair in zip(seniors, juniors, strict=True) for number in pair]
        server.write("judge", note("s", kind="sign", numbers=both, reason=None, **{"class": together}))
        office.seat("announcer", "Microphone")
        tablet.sit("Microphone")
        tablet.go(f"announcer/{together}")
        page = tablet.page
        expect(page.get_by_text("2 lists, each read by itself")).to_be_visible()
        tablet.press("^Junior mares$")
        tablet.press("^From the last place up")
        tablet.press("^Whole list$")
        expect(page.locator(".list .number")).to_have_text(juniors[::-1])
        said = "Read from the last place up: twelfth, eleventh, tenth,"
        sheets = Paper(page).texts
        assert len(sheets) > 1
        for text in sheets:
            title = "Mares together: Junior mares"
            assert text.startswith(f"{title} It begins with twelfth place. {said}")
            assert text.count(f"{title} It is over when first place is read. {said}") == 1
        # Pinned up, each division has its own places.
        tablet.go(f"results/{together}")
        expect(page.locator(".sheet h3")).to_have_text(["Junior mares", "Senior mares"])
        expect(page.locator(".sheet tbody th")).to_have_text([*juniors, *seniors])
        assert [len(Paper(page, size).texts) for size in ("A4", "Letter")] == [1, 1]
