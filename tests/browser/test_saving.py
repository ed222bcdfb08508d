"""What the page says of saving is so at every stage, and what it said outlives a tab that dies."""

from __future__ import annotations

import time

import pytest
from playwright.sync_api import Error, Page, Route, expect

from tests.browser.phone import Phone
from tests.browser.served import Served

TOPLINE = "short, strong topline"
SHOULDER = "long, sloping shoulder"

# A slow disk: while `isDiskSlow`, the page is not told that a writing transaction is complete.
SLOW_DISK = """
window.isDiskSlow = false;
const held = [];
window.letTheDiskFinish = () => { window.isDiskSlow = false; for (const tell of held.splice(0)) tell(); };
const { set } = Object.getOwnPropertyDescriptor(IDBTransaction.prototype, "oncomplete");
Object.defineProperty(IDBTransaction.prototype, "oncomplete", {
    set(tell) {
        const isHeld = window.isDiskSlow && this.mode === "readwrite" && this.objectStoreNames.contains("outbox");
        set.call(this, isHeld ? () => held.push(tell) : tell);
    },
});
"""


def kill(page: Page) -> None:
    """End the tab's process, as a phone short of memory does: no event tells the page."""
    with page.expect_event("crash"), pytest.raises(Error):
        page.goto("chrome://crash", timeout=5000)


def test_saved_is_said_only_after_the_disk_and_at_the_office_only_after_the_office(
    phone: Phone, server: Served
) -> None:
    phone.before_the_page(SLOW_DISK)
    phone.join()
    phone.open_class()
    phone.expect_saved("^At the office$")
    posts: list[Route] = []
    phone.page.route(
        "**/api/notes", lambda route: posts.append(route) if route.request.method == "POST" else route.continue_()
    )
    phone.page.evaluate("window.isDiskSlow = true")
    phone.end(TOPLINE).tap()
    phone.expect_degree(TOPLINE, 1)  # painted, whatever the disk does
    phone.expect_saved("^Saving$")
    phone.saved.tap()
    expect(phone.page.get_by_text("Being saved on this phone.")).to_be_visible()
    expect(phone.page.get_by_text("Everything noted")).to_have_count(0)
    phone.page.evaluate("letTheDiskFinish()")
    expect(phone.page.locator(".now b")).to_have_text("Saved here, 1 to send")
    expect(phone.page.get_by_text("Everything noted")).to_be_visible()
    assert [each["note"]["trait"] for each in phone.stored("outbox")] == ["topline"]
    assert server.notes_of("judge") == []
    assert len(posts) == 1
    posts[0].continue_()
    expect(phone.page.locator(".now b")).to_have_text("At the office")
    assert [each["trait"] for each in server.notes_of("judge")] == ["topline"]
    assert phone.stored("outbox") == []


def test_a_tab_killed_while_it_sends_leaves_its_turn_and_its_notes_to_the_next(phone: Phone, server: Served) -> None:
    phone.join()
    phone.open_class()
    phone.expect_saved("At the office")
    other = phone.another_tab()
    expect(other.locator("horse-bar strong")).to_have_text("7")
    expect(other.locator("saved-state button")).to_have_text("At the office")
    # Should the other tab's turn come just now, it sends nothing.
    other.route("**/api/notes", lambda route: route.abort() if route.request.method == "POST" else route.continue_())
    phone.page.bring_to_front()
    kept: list[bool] = []
    # The server keeps the first note and its answer never comes; meanwhile the turn is this tab's.
    phone.page.route(
        "**/api/notes",
        lambda route: kept.append(route.fetch().ok) if route.request.method == "POST" else route.continue_(),
    )
    phone.end(TOPLINE).tap()
    phone.expect_saved("Saved here, 1 to send")
    until = time.monotonic() + 20
    while not kept:
        assert time.monotonic() < until, "the first note was never sent from this tab"
        phone.page.wait_for_timeout(20)  # what the route was asked is heard meanwhile
    phone.end(SHOULDER).tap()
    phone.expect_saved("Saved here, 2 to send")
    phone.page.wait_for_function("navigator.locks.query().then(({ held }) => held.length === 1)")
    assert all(kept)
    kill(phone.page)
    other.unroute("**/api/notes")
    phone.page = other
    other.bring_to_front()
    phone.expect_degree(TOPLINE, 1)
    phone.expect_degree(SHOULDER, 1)
    phone.expect_saved("At the office")
    assert phone.stored("outbox") == []
    assert sorted(each["trait"] for each in server.notes_of("judge")) == ["shoulder", "topline"]


def test_a_tab_killed_by_itself_comes_back_with_every_mark_it_said_was_saved(phone: Phone, server: Served) -> None:
    phone.join()
    phone.open_class()
    phone.expect_saved("At the office")
    server.kill()
    phone.end(TOPLINE).tap()
    phone.end(TOPLINE).tap()
    phone.next.tap()
    phone.end(SHOULDER).tap()
    phone.expect_saved("Saved here, 4 to send")
    kill(phone.page)
    phone.page = phone.another_tab()
    phone.expect_horse("12")
    phone.expect_degree(SHOULDER, 1)
    phone.expect_saved("Saved here, 4 to send")
    phone.horse("7").tap()
    phone.expect_degree(TOPLINE, 2)
    server.start()
    phone.expect_saved("At the office")
    assert len(server.notes_of("judge")) == 4


def test_the_page_says_whether_the_browser_promised_to_keep_what_is_saved(phone: Phone) -> None:
    for is_promised, said in (("true", "The browser promised to keep"), ("false", "The browser made no promise")):
        phone.page.add_init_script(
            f"StorageManager.prototype.persisted = StorageManager.prototype.persist = async () => {is_promised}"
        )
        if is_promised == "true":
            phone.join()
            phone.open_class()
            phone.saved.tap()
        else:
            phone.page.reload()
        expect(phone.page.get_by_text(said)).to_be_visible()
