"""Somebody new to the page: what opens is in sight, counts are of what is listed, names are names, back leads back."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.phone import Phone
from tests.browser.served import Served, note

TOPLINE = "short, strong topline"
WEAK = "long, weak topline"


def is_above_the_footer(part: Locator, page: Page) -> bool:
    box, foot = part.bounding_box(), page.locator("app-frame footer").bounding_box()
    assert box is not None
    assert foot is not None
    return box["y"] >= 0 and box["y"] + box["height"] <= foot["y"] + 0.5


def back_of(phone: Phone) -> Locator:
    return phone.page.get_by_role("button", name="Back", exact=True)


def mark_the_line(phone: Phone) -> None:
    """One mark on each of the six horses."""
    for number in ("7", "12", "31", "40", "58", "103"):
        phone.expect_horse(number)
        phone.end(TOPLINE).tap()
        phone.next.tap()


def test_back_from_saving_leads_back_and_stays_in_the_app_when_it_was_opened_cold(phone: Phone, server: Served) -> None:
    phone.join()
    phone.open_class()
    phone.page.get_by_role("button", name="Placing", exact=True).tap()
    phone.saved.tap()
    back_of(phone).tap()
    expect(phone.page.locator("placing-page")).to_be_visible()
    phone.saved.tap()
    expect(back_of(phone)).to_be_visible()
    phone.close()
    phone.cold_start()
    back_of(phone).tap()
    phone.expect_horse("7")
    phone.page.goto("about:blank")
    phone.page.goto(f"{server.address}/#/saving")
    back_of(phone).tap()
    expect(phone.page.locator("classes-page")).to_be_visible()


@pytest.mark.parametrize("width", [390, 320])
def test_the_words_of_a_trait_stand_over_both_horses_on_the_compare_page(phone: Phone, width: int) -> None:
    phone.join()
    phone.page.set_viewport_size({"width": width, "height": 844})
    phone.page.evaluate("location.hash = '#/compare/c4//profile/7-12'")
    row = phone.page.get_by_role("group", name="Topline")
    # One phrase in the middle, its two ends told apart by a plumb line and by the colours of the boxes beneath.
    words = row.locator(".ends").bounding_box()
    spans = [each.bounding_box() for each in row.locator(".ends > span").all()]
    assert words is not None
    first, last = spans[0], spans[-1]
    assert first is not None
    assert last is not None
    left, right = first["x"] - words["x"], words["x"] + words["width"] - last["x"] - last["width"]
    assert abs(left - right) < 2
    assert last["x"] - first["x"] - first["width"] < 30 or last["y"] > first["y"]
    for number in ("7", "12"):
        faulty = phone.page.get_by_role("button", name=re.compile(f"^{number}: {WEAK}"))
        good = phone.page.get_by_role("button", name=re.compile(f"^{number}: {TOPLINE}"))
        colours = [
            each.locator(".degree > i").first.evaluate("each => getComputedStyle(each).borderColor")
            for each in (faulty, good)
        ]
        ends = [each.evaluate("each => getComputedStyle(each).color") for each in row.locator(".ends > span").all()]
        assert colours == ends
        assert colours[0] != colours[1]


def test_counts_are_of_what_is_listed_and_say_what_they_leave_out(phone: Phone, server: Served) -> None:
    phone.join()
    server.write("steward", note("g1", kind="presence", number="12", state="absent"))
    server.write("judge", note("e1", kind="entry", number="88", identification=None, now=None))
    server.write("judge", note("l1", kind="looked", number="7", view="front", done=True))
    expect(phone.page.get_by_text("Ready for the day: 2 classes, 9 numbers")).to_be_visible()
    expect(phone.page.get_by_text("7 horses, 1 of 36 views seen, absent not counted")).to_be_visible()


def test_a_pair_opened_low_on_the_placing_is_wholly_in_sight(phone: Phone) -> None:
    phone.join()
    phone.open_class()
    mark_the_line(phone)
    phone.page.get_by_role("button", name="Placing", exact=True).tap()
    pairs = phone.page.locator(".pair > button")
    expect(pairs).to_have_count(5)
    main, box = phone.page.locator("placing-page > main"), pairs.nth(3).bounding_box()
    assert box is not None
    foot = phone.page.locator("placing-page footer").bounding_box()
    assert foot is not None
    # Right above the footer, so that what opens under it would open out of sight.
    main.evaluate("(main, by) => main.scrollBy(0, by)", box["y"] + box["height"] - foot["y"] + 2)
    pairs.nth(3).tap()
    why = phone.page.locator(".why")
    expect(why).to_be_visible()
    assert is_above_the_footer(why, phone.page)


def test_the_marks_behind_a_reason_are_wholly_in_sight(phone: Phone) -> None:
    phone.join()
    phone.open_class()
    mark_the_line(phone)
    phone.page.evaluate("location.hash = '#/reasons/c4'")
    sentences = phone.page.locator(".spoken > li > button")
    expect(sentences.first).to_be_visible()
    box = sentences.first.bounding_box()
    assert box is not None
    bars = phone.page.evaluate("innerHeight - document.querySelector('reasons-page > main').clientHeight")
    top = phone.page.locator("reasons-page > main").bounding_box()
    assert top is not None
    phone.page.set_viewport_size({"width": 390, "height": int(bars + box["y"] - top["y"] + box["height"] + 4)})
    sentences.first.tap()
    marks = phone.page.get_by_role("list", name="The marks behind it").first
    expect(marks).to_be_visible()
    assert is_above_the_footer(marks, phone.page)


def test_what_was_said_for_a_moment_goes_with_the_page_it_was_said_on(phone: Phone) -> None:
    phone.join()
    phone.open_class()
    phone.end(TOPLINE).tap()
    phone.page.get_by_role("button", name=re.compile("^Undo ")).tap()
    shown = phone.page.locator(".voice:not(.aside)")
    expect(shown).to_have_text(re.compile("^Taken back"))
    phone.page.get_by_role("button", name="Placing", exact=True).tap()
    expect(phone.page.locator("placing-page")).to_be_visible()
    assert shown.count() == 0


def test_a_dispute_names_the_other_seat_by_its_name(phone: Phone, server: Served) -> None:
    phone.join()
    phone.open_class()
    phone.end(TOPLINE).tap()
    phone.expect_saved("At the office")
    server.write("scribe", note("s1", kind="mark", number="7", trait="topline", view="profile", degree=-2))
    with server.device("scribe") as device:
        name = device.get("/api/day").json()["seat"]["name"]
    dispute = phone.page.get_by_role("group", name="Disputed: Topline")
    expect(dispute.get_by_role("button", name=re.compile(f"clear {name}, "))).to_be_visible()
    assert name != "scribe-a"


def test_names_have_no_space_before_a_comma(phone: Phone) -> None:
    phone.join()
    phone.open_class()
    phone.end(TOPLINE).tap()
    phone.next.tap()
    phone.horse("7").tap()
    page = phone.page
    for go in ("#/ring/c4/7/profile", "#/placing/c4", "#/reasons/c4", "#/compare/c4//profile/7-12", "#/classes"):
        page.evaluate("(to) => { location.hash = to; }", go)
        expect(page.locator("h1").first).to_be_attached()
        tree = page.locator("app-frame").aria_snapshot()
        assert "Stock type mares" in tree
        assert [line for line in tree.splitlines() if " ," in line] == [], go
