"""Joining: a code typed wrongly is said to be, nothing half-joined stays, and a link does the same as typing."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

from tests.browser.phone import Phone
from tests.browser.served import Served


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("ABCD O234", "A code has no “O”: never 0, 1, I, L or O"),
        ("ABCD EFGH J", "A code has 8 letters and digits; this has 9."),
        ("ABC", "3 of 8."),
    ],
)
def test_a_code_that_cannot_be_one_is_said_to_be_while_it_is_typed(
    phone: Phone, server: Served, typed: str, said: str
) -> None:
    phone.page.goto(f"{server.address}/")
    phone.page.get_by_label("Code").fill(typed)
    expect(phone.page.locator("#code-help")).to_contain_text(said)
    phone.page.get_by_role("button", name="Join the show").tap()
    expect(phone.page.get_by_role("alert")).to_contain_text("code")
    assert phone.stored("seats") == []


def test_a_code_of_no_seat_is_refused_and_the_right_one_then_joins(phone: Phone, server: Served) -> None:
    phone.page.goto(f"{server.address}/#join=ABCDEFGH")
    alert = phone.page.get_by_role("alert")
    expect(alert).to_contain_text("code")
    # It stands there to be put right.
    expect(phone.page.get_by_label("Code")).to_have_value("ABCDEFGH")
    phone.page.get_by_label("Code").fill("ABCDEFGJ")
    expect(alert).to_be_empty()
    phone.page.get_by_role("button", name="Join the show").tap()
    expect(alert).to_contain_text("code")
    phone.page.get_by_label("Code").fill(server.codes["judge"].lower())
    phone.page.get_by_role("button", name="Join the show").tap()
    expect(phone.page.get_by_text("Ready for the day: 2 classes, 8 numbers")).to_be_visible()
    assert "join" not in phone.page.url
    phone.page.go_back()
    expect(phone.page.get_by_label("Code")).to_have_count(0)


def test_joining_out_of_reach_says_so_and_works_once_the_office_is_there(phone: Phone, server: Served) -> None:
    phone.page.goto(f"{server.address}/")
    code = phone.page.get_by_label("Code")
    code.fill(server.codes["judge"])
    server.kill()
    phone.page.get_by_role("button", name="Join the show").tap()
    expect(phone.page.get_by_role("alert")).to_have_text("The show office cannot be reached from here.")
    expect(code).to_have_value(server.codes["judge"])
    server.start()
    phone.page.get_by_role("button", name="Join the show").tap()
    expect(phone.page.get_by_text("Ready for the day: 2 classes, 8 numbers")).to_be_visible()


def test_no_name_of_a_person_and_no_class_is_on_the_phone_before_it_joined(phone: Phone, server: Served) -> None:
    phone.page.goto(f"{server.address}/")
    expect(phone.page.get_by_role("heading", name="Nearside")).to_be_visible()
    expect(phone.page.get_by_text(re.compile("Mill Meadow|Stock type"))).to_have_count(0)
    phone.page.goto(f"{server.address}/#/ring/c4/7/profile")
    expect(phone.page.get_by_label("Code")).to_be_visible()
    phone.join()
    expect(phone.page.get_by_text("Mill Meadow Open Show").first).to_be_visible()
