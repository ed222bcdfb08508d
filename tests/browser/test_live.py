"""What a screen reader is told without asking: where saving has come to, what moved in the placing; not every tap."""

from __future__ import annotations

import re

from playwright.sync_api import expect

from tests.browser.phone import Phone
from tests.browser.served import Served, note

TOPLINE = "short, strong topline"
WEAK = "long, weak topline"

# All that the region of news says from now on.
WATCH_NEWS = """() => {
    window.news = [];
    const [region] = document.querySelectorAll("app-frame > p[role=status]");
    new MutationObserver(() => news.push(region.textContent))
        .observe(region, { childList: true, characterData: true, subtree: true });
}"""


def test_saving_is_told_when_its_state_changes_and_not_at_every_tap(phone: Phone, server: Served) -> None:
    phone.join()
    phone.open_class()
    phone.expect_saved("At the office")
    phone.page.evaluate(WATCH_NEWS)
    server.kill()
    for _ in range(3):
        phone.end(TOPLINE).tap()
    phone.page.wait_for_function("() => news.some((each) => each.startsWith('Saved here'))")
    # Told apart from the answer to the tap, which stays where it is.
    expect(phone.page.locator(".voice")).to_have_text(re.compile("topline"))
    phone.end("long, sloping shoulder").tap()
    phone.expect_saved("Saved here, 4 to send")
    server.start()
    phone.page.wait_for_function("() => news.includes('At the office')")
    said = [each for each in phone.page.evaluate("news") if not each.startswith("Suggested")]
    assert [each.split(",")[0] for each in said] == ["Saved here", "At the office"]


def test_what_moved_in_the_placing_is_told_once_it_rests(phone: Phone, server: Served) -> None:
    phone.join()
    server.write("judge", note("m1", kind="mark", number="7", trait="topline", view="profile", degree=2))
    server.write("judge", note("m2", kind="mark", number="12", trait="topline", view="profile", degree=1))
    phone.open_class()
    phone.expect_saved("At the office")
    phone.expect_degree(TOPLINE, 2)
    phone.page.evaluate("() => { location.hash = '#/placing/c4'; }")
    expect(phone.page.locator(".order > li")).to_have_count(2)
    phone.page.evaluate(WATCH_NEWS)
    phone.page.evaluate("() => { location.hash = '#/ring/c4/12/profile'; }")
    phone.expect_horse("12")
    for _ in range(2):
        phone.end(TOPLINE).tap()
    phone.page.wait_for_function("() => news.some((each) => each === 'Suggested: 12 now stands over 7.')")
    phone.next.tap()
    phone.expect_horse("31")
    phone.end(WEAK).tap()
    phone.page.wait_for_function("() => news.some((each) => each === 'Suggested: 31 now stands 3rd.')")
    assert len([each for each in phone.page.evaluate("news") if each.startswith("Suggested")]) == 2
