"""The phone's own troubles: no room, a private window, a clock a day wrong, two classes open at once. Nothing is lost,
nothing comes twice, and the page says what is so.
"""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, Playwright, expect

from tests.browser.chromium import ARGUMENTS, find_chromium
from tests.browser.phone import Phone
from tests.browser.served import Served

TOPLINE = "short, strong topline"
SHOULDER = "long, sloping shoulder"
DAY_MS = 24 * 3600 * 1000


def test_a_phone_with_no_room_left_says_so_and_marks_on_and_the_office_has_each_note_once(
    phone: Phone, server: Served
) -> None:
    phone.join()
    phone.open_class()
    phone.expect_saved("At the office")
    phone.page.wait_for_function("() => navigator.serviceWorker.controller !== null")
    phone.close()
    server.kill()
    phone.cold_start(room=1)  # the browser's database itself refuses
    phone.expect_horse("7")
    phone.end(TOPLINE).tap()
    phone.expect_degree(TOPLINE, 1)
    phone.expect_saved("1 not saved on this phone")
    phone.end(SHOULDER).tap()
    phone.expect_degree(SHOULDER, 1)
    phone.expect_saved("2 not saved on this phone")
    phone.saved.tap()
    expect(phone.page.get_by_text("its storage is full or does not answer")).to_be_visible()
    expect(phone.page.get_by_role("definition").filter(has_text="Not all of it")).to_be_visible()
    phone.page.get_by_role("button", name="Back", exact=True).tap()
    phone.make_room(None)
    phone.expect_saved("Saved here, 2 to send")  # by itself, when there is room again
    assert sorted(each["note"]["trait"] for each in phone.stored("outbox")) == ["shoulder", "topline"]
    server.start()
    phone.expect_saved("At the office")
    assert sorted(each["trait"] for each in server.notes_of("judge")) == ["shoulder", "topline"]


def test_a_private_window_works_says_that_nothing_is_promised_and_what_was_sent_outlives_it(
    playwright: Playwright, server: Served
) -> None:
    browser = playwright.chromium.launch(executable_path=find_chromium(), args=ARGUMENTS)
    for taps in (1, 2):
        context = browser.new_context(viewport={"width": 390, "height": 844}, has_touch=True)
        page = context.new_page()
        page.goto(f"{server.address}/#join={server.codes['judge']}")
        page.locator("saved-state button").click()
        expect(page.get_by_text("The browser made no promise to keep what is saved here")).to_be_visible()
        page.get_by_role("button", name="Back", exact=True).click()
        page.get_by_role("button", name=re.compile("Stock type mares")).tap()
        end = page.get_by_role("button", name=re.compile("^straight, clean tracking,")).first
        expect(end).to_have_attribute("aria-label", re.compile("not marked$" if taps == 1 else "marked 1 of 3$"))
        end.tap()
        expect(page.locator("saved-state button")).to_have_text("At the office", timeout=15_000)
        context.close()  # and with it all the window held
    browser.close()
    assert [each["degree"] for each in server.notes_of("judge")] == [1, 2]


def test_where_the_browser_denies_all_storage_joining_says_why_and_holds_nothing_back(
    phone: Phone, server: Served
) -> None:
    # As some browsers do in a private window: the database cannot be opened at all.
    phone.before_the_page(
        """IDBFactory.prototype.open = () => { throw new DOMException("Denied.", "InvalidStateError"); };"""
    )
    phone.page.goto(f"{server.address}/")
    phone.page.get_by_label("Code").fill(server.codes["judge"])
    phone.page.get_by_role("button", name="Join the show").tap()
    expect(phone.page.get_by_role("alert")).to_have_text(
        "This phone could not keep what it was given. Is its storage full, or is this a private window?"
    )


@pytest.mark.parametrize("wrong_ms", [-DAY_MS, DAY_MS], ids=["a day slow", "a day fast"])
def test_a_clock_a_day_wrong_and_put_right_loses_nothing_and_never_says_what_is_not_so(
    wrong_ms: int, phone: Phone, server: Served
) -> None:
    phone.before_the_page(
        f"""
        const now = Date.now.bind(Date);
        window.wrong_ms = Number(sessionStorage.wrong_ms ?? {wrong_ms});
        Date.now = () => now() + window.wrong_ms;
        """
    )
    phone.join()
    phone.open_class()
    phone.end(TOPLINE).tap()
    phone.expect_saved("At the office")
    server.kill()
    phone.end(TOPLINE).tap()
    phone.expect_saved("Saved here, 1 to send")
    # Put right while it waits, as phones do when they find a network; then marked on, and opened anew.
    phone.page.evaluate("() => { window.wrong_ms = sessionStorage.wrong_ms = 0; }")
    phone.end(TOPLINE).tap()
    phone.expect_degree(TOPLINE, 3)
    phone.expect_saved("Saved here, 2 to send")
    phone.page.reload()
    phone.expect_degree(TOPLINE, 3)
    phone.saved.tap()
    said = "before this phone's clock was changed" if wrong_ms > 0 else "a day ago"
    expect(phone.page.get_by_role("definition").filter(has_text=said)).to_be_visible()
    server.start()
    phone.page.get_by_role("button", name="Back", exact=True).tap()
    phone.expect_saved("At the office")
    notes = server.notes_of("judge")
    assert [each["degree"] for each in notes] == [1, 2, 3]
    # What replaces what does not hang on the clock: the last tap stands, and no dispute came of it.
    with server.device("judge") as device:
        assert device.get("/api/classes/c4/placing").json()["disputes"] == []
    phone.expect_degree(TOPLINE, 3)


def test_two_classes_open_at_once_never_write_on_each_other_s_card_and_back_leads_through_the_list(
    phone: Phone, server: Served
) -> None:
    phone.join()
    phone.open_class()
    other = phone.another_tab()
    other.get_by_role("button", name="All classes").tap()
    other.get_by_role("button", name=re.compile("Hunter type geldings")).tap()

    def mark(page: Page, title: str, badge: str, number: str) -> None:
        page.bring_to_front()
        expect(page.locator("class-bar h1")).to_have_text(title)
        expect(page.locator("class-bar .badge")).to_have_text(badge)
        expect(page.locator("horse-bar strong")).to_have_text(number)
        page.locator(".trait > .good").first.tap()

    mares, geldings = "Stock type mares, aged", "Hunter type geldings, three and over"
    for _ in range(2):
        mark(phone.page, mares, "C4", "7")
        mark(other, geldings, "C5", "21")
    patterns = [page.locator("class-bar .badge").get_attribute("data-pattern") for page in (phone.page, other)]
    assert patterns[0] != patterns[1]  # told apart by more than words, and without a color
    for page in (phone.page, other):
        expect(page.locator("saved-state button")).to_have_text("At the office", timeout=15_000)
    written = sorted((each["class"], each["number"], each["degree"]) for each in server.notes_of("judge"))
    assert written == [("c4", "7", 1), ("c4", "7", 2), ("c5", "21", 1), ("c5", "21", 2)]
    # The phone's own "back" never leads from one class straight into another.
    other.go_back()
    expect(other.locator("classes-page")).to_be_visible()
    other.go_back()
    expect(other.locator("class-bar h1")).to_have_text(mares)
