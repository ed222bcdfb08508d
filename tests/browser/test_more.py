"""The pages in the second script: at hand when they are opened, and asked for again where they could not be fetched."""

from __future__ import annotations

from playwright.sync_api import Route, expect

from tests.browser.phone import Phone
from tests.browser.served import Served


def test_a_page_that_cannot_be_fetched_is_said_and_asked_for_again(phone: Phone, server: Served) -> None:
    phone.before_the_page("navigator.serviceWorker.register = () => Promise.reject(new Error('none here'));")
    asked: list[str] = []

    def refuse(route: Route) -> None:
        asked.append(route.request.url.removeprefix(server.address))
        route.abort()

    phone.context.route("**/more.js*", refuse)
    code = server.codes["judge"]
    phone.page.goto(f"{server.address}/#join={code}")
    phone.page.get_by_role("button", name="Settings").tap()
    expect(phone.page.get_by_role("alert")).to_contain_text("It is tried again by itself")
    phone.page.get_by_role("button", name="Try now").tap()
    # What is needed for marking is there all the same.
    phone.page.go_back()
    phone.open_class()
    phone.page.go_back()
    phone.page.get_by_role("button", name="Settings").tap()
    phone.context.unroute("**/more.js*")
    expect(phone.page.get_by_role("heading", name="Settings")).to_be_focused()
    assert asked[:2] == ["/more.js", "/more.js?1"]
    phone.problems.clear()  # the browser's own words about an address it could not reach


def test_a_page_is_at_hand_before_it_is_opened_and_opens_cold_with_no_server(phone: Phone, server: Served) -> None:
    phone.join()
    expect(phone.page.locator("classes-page")).to_be_visible()
    phone.page.wait_for_function("customElements.get('settings-page') !== undefined")
    phone.page.get_by_role("button", name="Settings").tap()
    assert phone.page.get_by_role("heading", name="Settings").is_visible(), "one had to wait for it"
    phone.close()
    server.kill()
    phone.cold_start()
    expect(phone.page.get_by_role("heading", name="Settings")).to_be_visible()
