"""A class whose standard changes while its judge has no signal: what was noted by the old one is kept idle."""

from __future__ import annotations

import re

from playwright.sync_api import expect

from tests.browser.phone import Phone
from tests.browser.served import Served

STRIDE = "long, free, elastic stride"


def test_a_judge_without_a_signal_loses_nothing_when_the_office_changes_what_the_class_is_judged_by(
    phone: Phone, server: Served
) -> None:
    phone.join()
    phone.open_class(view=None)
    phone.expect_saved("At the office")
    phone.context.set_offline(True)
    phone.end(STRIDE).tap()
    phone.expect_saved("Saved here")
    body = {"id": "c4", "title": "Hunter type mares", "standard": "hunter-type", "sexes": ["mare"], "ages": ["aged"]}
    with server.device("office") as office:
        assert office.post("/api/office/class", json={**body, "places": 4}).status_code == 200
    phone.context.set_offline(False)
    phone.page.reload()
    expect(phone.page.get_by_text("Hunter type mares").first).to_be_visible()
    phone.expect_saved("At the office")
    assert {each["trait"] for each in server.notes_of("judge") if each["kind"] == "mark"} == {"stride"}
    # It stands on no trait of the new standard, and no page of the class stumbles over it.
    expect(phone.page.get_by_role("button", name=re.compile("^short, choppy trot,"))).to_be_visible()
    expect(phone.page.get_by_role("button", name=re.compile("^Take back"))).to_have_count(0)
    phone.page.evaluate("() => { location.hash = '#/placing/c4'; }")
    expect(phone.page.get_by_text("1 of 6 views seen")).to_be_visible()
    phone.page.evaluate("() => { location.hash = '#/print/c4'; }")
    expect(phone.page.get_by_role("row", name=re.compile("^1st 7 "))).to_be_visible()
