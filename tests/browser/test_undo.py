"""Undo takes back the last thing, whatever it was, and says truthfully what it could not."""

from __future__ import annotations

import re

from playwright.sync_api import Locator, expect

from tests.browser.phone import Phone
from tests.browser.served import Served, note

TOPLINE = "short, strong topline"
WEAK = "long, weak topline"


def undo_of(phone: Phone) -> Locator:
    return phone.page.get_by_role("button", name=re.compile("^(Undo |Nothing to undo)"))


def test_four_taps_and_four_undos_leave_no_mark_even_after_a_cold_start(phone: Phone) -> None:
    phone.join()
    phone.open_class()
    for words in (TOPLINE, TOPLINE, WEAK, TOPLINE):  # slight, clear, the other end, and back
        phone.end(words).tap()
    phone.expect_saved("At the office")
    undo_of(phone).tap()
    phone.expect_degree(WEAK, 1)
    phone.expect_saved("At the office")
    phone.close()
    phone.cold_start()
    for good in (2, 1, 0):
        undo_of(phone).tap()
        phone.expect_degree(TOPLINE, good)
        phone.expect_degree(WEAK, 0)
    expect(undo_of(phone)).to_be_disabled()


def test_a_steward_undoes_absent_and_present_one_after_the_other(phone: Phone) -> None:
    phone.join("steward")
    phone.page.get_by_role("button", name=re.compile("Stock type mares")).tap()
    absent = phone.page.get_by_role("button", name="12 absent")
    present = phone.page.get_by_role("button", name="12, bay, star: in the ring")
    absent.tap()
    present.tap()
    expect(present).to_have_attribute("aria-pressed", "true")
    undo_of(phone).tap()
    expect(absent).to_have_attribute("aria-pressed", "true")
    undo_of(phone).tap()
    expect(absent).to_have_attribute("aria-pressed", "false")
    expect(present).to_have_attribute("aria-pressed", "false")


def test_undo_of_a_horse_entered_by_mistake_notes_it_absent_and_touches_no_older_mark(
    phone: Phone, server: Served
) -> None:
    phone.join()
    phone.open_class()
    phone.end(TOPLINE).tap()
    phone.type_number("71", "Enter")
    undo_of(phone).tap()
    phone.expect_said("^Taken back: 71 entered. 71 stays in the list, noted as absent")
    expect(phone.horse("71")).to_have_attribute("aria-label", "71, absent")
    phone.expect_horse("7")
    phone.expect_degree(TOPLINE, 1)
    undo_of(phone).tap()
    phone.expect_degree(TOPLINE, 0)
    phone.expect_saved("At the office")
    assert [each["state"] for each in server.notes_of("judge") if each["kind"] == "presence"] == ["absent"]


def test_undo_leaves_a_horse_entered_here_that_another_device_noted_on_since(phone: Phone, server: Served) -> None:
    phone.join()
    phone.open_class()
    phone.type_number("71", "Enter")
    phone.expect_saved("At the office")
    server.write("scribe", note("s1", kind="mark", number="71", trait="topline", view="profile", degree=1))
    phone.expect_degree(TOPLINE, 1)
    undo_of(phone).tap()
    phone.expect_said("^Not taken back.*71 entered")
    expect(phone.horse("71")).not_to_have_attribute("aria-label", "71, absent")


def test_undo_after_next_takes_back_the_next_first_and_then_the_mark(phone: Phone, server: Served) -> None:
    phone.join()
    phone.open_class()
    phone.end(TOPLINE).tap()
    phone.next.tap()
    phone.expect_horse("12")
    phone.next.tap()  # nothing tapped on this one
    phone.expect_horse("31")
    for number in ("12", "7"):
        undo_of(phone).tap()
        phone.expect_horse(number)
        expect(phone.page.get_by_role("button", name="Looked at, Profile", pressed=False)).to_be_visible()
    phone.expect_degree(TOPLINE, 1)
    undo_of(phone).tap()
    phone.expect_degree(TOPLINE, 0)
    phone.expect_saved("At the office")
    with server.device("judge") as device:
        assert device.get("/api/classes/c4/placing").json()["placing"] == []


def test_undo_of_a_next_that_noted_nothing_goes_back_all_the_same(phone: Phone) -> None:
    phone.join()
    phone.open_class()
    phone.page.get_by_role("button", name="Looked at, Profile", pressed=False).tap()
    phone.expect_said("^7: looked at, profile$")
    phone.next.tap()
    phone.expect_horse("12")
    undo_of(phone).tap()
    phone.expect_horse("7")
    looked = phone.page.get_by_role("button", name="Looked at, Profile", pressed=True)
    expect(looked).to_be_visible()
    undo_of(phone).tap()
    expect(looked).to_have_count(0)


def test_exactly_the_last_twenty_things_are_taken_back_over_a_cold_start_and_then_that_is_said(phone: Phone) -> None:
    phone.join()
    phone.open_class()
    ends = [TOPLINE, "long, sloping shoulder", "matching shoulder, barrel and hip"]
    for words in ends * 3:  # nine things
        phone.end(words).tap()
    phone.next.tap()  # ten
    phone.expect_horse("12")
    for words in ends * 3:  # nineteen
        phone.end(words).tap()
    phone.next.tap()  # twenty
    phone.expect_horse("31")
    phone.end(WEAK).tap()  # the twenty-first: the first is beyond undoing
    phone.expect_saved("At the office")
    for place in range(20):
        if place == 7:
            phone.close()
            phone.cold_start()
        expect(undo_of(phone)).to_be_enabled()
        before = undo_of(phone).get_attribute("aria-label")
        assert before is not None
        undo_of(phone).tap()
        phone.expect_said(f"^Taken back: {re.escape(before.removeprefix('Undo '))}")
    phone.expect_horse("7")
    phone.expect_degree(TOPLINE, 1)
    phone.expect_degree(WEAK, 0)
    expect(undo_of(phone)).to_be_disabled()
    expect(undo_of(phone)).to_have_accessible_name("Nothing to undo")
    undo_of(phone).tap(force=True)
    phone.expect_said("^Nothing to undo: .* the last 20 things")
    phone.expect_degree(TOPLINE, 1)


def test_undo_in_another_class_is_named_and_asks_for_a_second_tap(phone: Phone) -> None:
    phone.join()
    phone.open_class()
    phone.end(TOPLINE).tap()
    phone.page.get_by_role("button", name="All classes").tap()
    phone.open_class("Hunter type geldings")
    expect(undo_of(phone)).to_have_accessible_name(re.compile(r"^Undo .* \(Stock type mares, aged\)$"))
    here = phone.open_number()
    undo_of(phone).tap()
    phone.expect_said("^Nothing is left to undo here. In Stock type mares, aged it was: 7: ")
    expect(undo_of(phone)).to_have_text("Undo in C4")
    expect(undo_of(phone)).to_have_accessible_name(re.compile(r"^Undo in C4 .* \(Stock type mares, aged\)$"))
    expect(phone.page.get_by_role("heading", level=1)).to_have_text(re.compile("Hunter type geldings"))
    # Whatever comes between takes the question back.
    phone.view("Front").tap()
    expect(undo_of(phone)).to_have_text("Undo")
    undo_of(phone).tap()
    expect(undo_of(phone)).to_have_text("Undo in C4")
    phone.expect_horse(here)
    undo_of(phone).tap()
    phone.expect_horse("7")
    phone.expect_degree(TOPLINE, 0)
