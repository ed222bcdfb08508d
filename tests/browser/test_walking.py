"""Walking the line: the two passes of the ring, the two ways to go on, and the taps a horse takes."""

from __future__ import annotations

import re

from playwright.sync_api import expect

from tests.browser.phone import Phone
from tests.browser.served import Served, note
from tests.browser.walking import PASSES, TAPS_AT_MOST, tap_in_sight, walk_round

LINE = ["7", "12", "31", "40", "58", "103"]


def seen_of(server: Served, number: str) -> set[str]:
    """The views of a horse that hold a look."""
    looks = [each for each in server.notes_of("judge") if each["kind"] == "looked" and each["number"] == number]
    return {each["view"] for each in looks if each["done"]}


def test_a_class_of_eight_is_walked_horse_by_horse_in_fourteen_taps_each_and_no_scrolling(
    phone: Phone, server: Served
) -> None:
    phone.join()
    late = [note(f"e{each}", kind="entry", number=each, identification=None, now=None) for each in ("71", "88")]
    server.write("judge", *late)
    phone.open_class(view=None)
    expect(phone.horse("88")).to_be_attached()
    for number in [*LINE, "71", "88"]:
        phone.expect_horse(number)
        assert walk_round(phone) <= TAPS_AT_MOST
    # After the last horse's last view the placing opens.
    expect(phone.page.locator(".order > li")).to_have_count(8)
    phone.expect_saved("At the office")
    assert all(seen_of(server, number) == {"profile", "front", "rear", "head", "walk", "trot"} for number in LINE)


def test_coming_and_going_shows_the_way_of_going_first_and_each_mark_carries_its_own_view(
    phone: Phone, server: Served
) -> None:
    phone.join()
    phone.open_class(view=None)
    page = phone.page
    expect(phone.view("Coming and going")).to_have_attribute("aria-current", "true")
    expect(page.locator("trait-lines h2")).to_have_text(["At the walk", "From the front", "From the rear"])
    assert page.locator(".trait").count() == 8
    phone.end("feet swinging in (winging)").tap()
    phone.end("straight column of bone").tap()
    phone.end("hocks bowed out").tap()
    page.get_by_role("button", name=re.compile("more traits$")).tap()
    trot = page.get_by_role("button", name=re.compile("^straight, clean tracking, at the trot,"))
    trot.tap()
    expect(trot).to_have_attribute("aria-pressed", "true")
    expect(page.get_by_role("button", name=re.compile("^straight, clean tracking, at the walk,"))).to_have_attribute(
        "aria-pressed", "false"
    )
    phone.expect_saved("At the office")
    marks = [(each["trait"], each["view"]) for each in server.notes_of("judge") if each["kind"] == "mark"]
    assert marks == [
        ("winging", "walk"),
        ("column-of-bone", "front"),
        ("bowed-hocks", "rear"),
        ("tracking", "trot"),
    ]
    # What was marked coming and going stands on the horse in the standing view too, and undo leaves one where one is.
    phone.view("Front").tap()
    phone.expect_degree("straight column of bone", 1)
    phone.view("Coming and going").tap()
    page.locator("thumb-bar .undo").tap()
    expect(phone.view("Coming and going")).to_have_attribute("aria-current", "true")
    expect(trot).to_have_attribute("aria-pressed", "false")


def test_the_line_is_walked_by_views_and_going_on_notes_all_that_was_in_sight_as_looked_at(
    phone: Phone, server: Served
) -> None:
    phone.join()
    phone.open_class(view=None)
    for title in PASSES[:2]:
        expect(phone.view(title)).to_have_attribute("aria-current", "true")
        for number in LINE:
            phone.expect_horse(number)
            tap_in_sight(phone, phone.next)
    # After the last horse the line begins anew in the next pass.
    phone.expect_horse("7")
    expect(phone.view("Front")).to_have_attribute("aria-current", "true")
    expect(phone.view("Profile")).to_have_accessible_name("Profile, seen")
    expect(phone.view("Head")).to_have_accessible_name("Head")
    # The next horse is named by its number and the marks to know it by; the other way on keeps the horse.
    expect(phone.next).to_have_accessible_name("Next horse, 12, bay, star")
    expect(phone.next_view).to_have_accessible_name("Next view of 7: Rear")
    # Opening a view by hand says nothing of it.
    phone.view("Head").tap()
    phone.horse("12").tap()
    phone.expect_saved("At the office")
    for number in LINE:
        assert seen_of(server, number) == {"front", "rear", "walk", "trot", "profile"}
    looked = phone.page.get_by_role("button", name="Looked at, Coming and going")
    phone.view("Coming and going").tap()
    expect(looked).to_have_attribute("aria-pressed", "true")
    looked.tap()
    expect(looked).to_have_attribute("aria-pressed", "false")
    phone.expect_saved("At the office")
    taken_back = [each for each in server.notes_of("judge") if each["kind"] == "looked" and not each["done"]]
    assert {each["view"] for each in taken_back} == {"front", "rear", "walk", "trot"}
