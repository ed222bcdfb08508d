"""Several tabs and several seats in one browser: tabs stay equal and send once, seats never mix."""

from __future__ import annotations

import json
import re

from playwright.sync_api import Page, Request, expect

from tests.browser.phone import Phone
from tests.browser.served import Served

TOPLINE = "short, strong topline"
SHOULDER = "long, sloping shoulder"


def end(page: Page, words: str, degree: int) -> None:
    name = re.compile(f"^{words}, good, marked {degree} of 3$")
    expect(page.get_by_role("button", name=name)).to_be_visible()


def test_two_tabs_show_the_same_marks_and_each_note_is_sent_once(phone: Phone, server: Served) -> None:
    phone.join()
    phone.open_class()
    phone.expect_saved("At the office")
    server.kill()
    other = phone.another_tab()
    expect(other.locator("horse-bar strong")).to_have_text("7")
    sent: list[str] = []

    def count(request: Request) -> None:
        if request.method == "POST" and request.url.endswith("/api/notes"):
            sent.extend(each["id"] for each in json.loads(request.post_data or "")["notes"])

    other.get_by_role("button", name=re.compile(f"^{TOPLINE},")).tap()
    phone.page.bring_to_front()
    end(phone.page, TOPLINE, 1)
    phone.end(TOPLINE).tap()
    phone.end(SHOULDER).tap()
    end(other, TOPLINE, 2)
    end(other, SHOULDER, 1)
    for page in (other, phone.page):
        expect(page.locator("saved-state button")).to_have_text("Saved here, 3 to send")
    phone.context.on("requestfinished", count)
    server.start()
    for page in (other, phone.page):
        expect(page.locator("saved-state button")).to_have_text("At the office", timeout=40_000)
    notes = server.notes_of("judge")
    assert len(notes) == 3
    assert sorted(sent) == sorted(each["id"] for each in notes)
    # The second mark of the topline names the first, from the other tab, as the one it replaces.
    first, second = sorted((each for each in notes if each["trait"] == "topline"), key=lambda each: each["degree"])
    assert second["replaces"] == [first["id"]]


def test_another_seat_in_the_same_browser_never_mixes_with_the_first(phone: Phone, server: Served) -> None:
    phone.join("judge")
    phone.open_class()
    phone.expect_saved("At the office")
    server.kill()
    phone.end(TOPLINE).tap()
    phone.expect_saved("Saved here, 1 to send")
    # Let no note slip out before the seat is changed.
    phone.page.route("**/api/notes", lambda route: route.abort())
    server.start()
    phone.page.goto(f"{server.address}/#join={server.codes['scribe']}")
    expect(phone.page.get_by_role("heading", name="Take another seat?")).to_be_visible()
    phone.page.get_by_role("button", name="Join with this code").tap()
    expect(phone.page.get_by_text("Scribe A", exact=True)).to_be_visible()
    phone.page.unroute_all()
    phone.open_class()
    phone.expect_horse("7")
    phone.expect_degree(TOPLINE, 0)
    phone.end(SHOULDER).tap()
    phone.expect_saved("At the office")
    assert [each["by"] for each in server.notes_of("judge")] == ["scribe-a"]
    phone.saved.tap()
    expect(phone.page.get_by_text("1 note of Judge A")).to_be_visible()

    # Back as the judge: what waited goes out under the judge's own seat.
    phone.page.get_by_role("button", name="Join with another code").tap()
    phone.page.get_by_label("Code").fill(server.codes["judge"])
    phone.page.get_by_role("button", name="Join with this code").tap()
    expect(phone.page.get_by_text("Judge A", exact=True)).to_be_visible()
    phone.page.get_by_role("button", name=re.compile("Stock type mares")).tap()
    phone.expect_saved("At the office")
    assert sorted((each["by"], each["trait"]) for each in server.notes_of("judge")) == [
        ("judge-a", "topline"),
        ("scribe-a", "shoulder"),
    ]


def test_a_join_whose_answer_is_lost_sends_nothing_under_the_wrong_seat(phone: Phone, server: Served) -> None:
    phone.join("judge")
    phone.open_class()
    phone.expect_saved("At the office")
    phone.page.route("**/api/notes", lambda route: route.abort())
    phone.end(TOPLINE).tap()
    phone.expect_saved("Saved here, 1 to send")

    def lose(route: object) -> None:
        route.fetch()  # type: ignore[attr-defined]
        route.abort()  # type: ignore[attr-defined]

    phone.page.route("**/api/join", lose)
    phone.page.goto(f"{server.address}/#join={server.codes['scribe']}")
    phone.page.get_by_role("button", name="Join with this code").tap()
    expect(phone.page.get_by_role("alert")).to_have_text("The show office cannot be reached from here.")
    phone.page.unroute_all()
    phone.page.get_by_role("button", name="Stay Judge A").tap()
    # The cookie is the scribe's by now: the page finds out by itself, and the judge's note waits for the judge.
    expect(phone.page.get_by_text("This phone is now joined as Scribe A.")).to_be_visible(timeout=20_000)
    phone.expect_saved("At the office")
    assert server.notes_of("judge") == []
    assert [each["note"]["trait"] for each in phone.stored("outbox")] == ["topline"]
