"""The page as this phone is set: its theme, its hand; kept on the phone and taken by every page that is open."""

from __future__ import annotations

from playwright.sync_api import Page, expect

from tests.browser.phone import Phone
from tests.browser.served import Served

LIGHT, DARK = "rgb(251, 250, 244)", "rgb(18, 20, 15)"


def expect_paper(page: Page, color: str) -> None:
    expect(page.locator("body")).to_have_css("background-color", color)
    # What the phone paints around the page goes with it.
    hexadecimal = "#" + "".join(f"{int(each):02x}" for each in color[4:-1].split(","))
    expect(page.locator("meta[name=theme-color]")).to_have_attribute("content", hexadecimal)


def choose(page: Page, words: str) -> None:
    page.get_by_role("button", name=words).tap()
    expect(page.get_by_role("button", name=words)).to_have_attribute("aria-pressed", "true")


def test_the_theme_follows_the_phone_until_one_is_chosen_and_a_choice_outlives_the_page(
    phone: Phone, server: Served
) -> None:
    phone.page.emulate_media(color_scheme="dark")
    phone.page.goto(f"{server.address}/")
    expect_paper(phone.page, DARK)
    phone.page.emulate_media(color_scheme="light")
    expect_paper(phone.page, LIGHT)
    phone.join()
    phone.page.get_by_role("button", name="Settings").tap()
    choose(phone.page, "Dark, for the barn")
    expect_paper(phone.page, DARK)
    phone.close()
    server.kill()
    phone.cold_start()
    phone.page.emulate_media(color_scheme="light")
    expect(phone.page.get_by_role("heading", name="Settings")).to_be_visible()
    expect_paper(phone.page, DARK)
    choose(phone.page, "As the phone is set")
    expect_paper(phone.page, LIGHT)
    choose(phone.page, "Light, for the sun")
    phone.page.emulate_media(color_scheme="dark")
    expect_paper(phone.page, LIGHT)


def test_the_left_hand_has_the_large_button_under_its_thumb_and_keys_go_the_same_way(phone: Phone) -> None:
    phone.join()
    phone.open_class()

    def across(selector: str) -> float:
        box = phone.page.locator(selector).bounding_box()
        assert box is not None
        return (box["x"] + box["width"] / 2) / 390

    assert across("thumb-bar .next") > 0.7
    phone.saved.tap()
    phone.page.get_by_role("button", name="Settings").tap()
    choose(phone.page, "Left hand")
    phone.page.get_by_role("button", name="Back", exact=True).tap()
    expect(phone.page.get_by_role("heading", name="Saving", exact=True)).to_be_visible()
    phone.page.get_by_role("button", name="Back", exact=True).tap()
    phone.expect_horse("7")
    assert across("thumb-bar .next") < 0.3
    phone.page.locator("thumb-bar .next-view").focus()
    phone.page.keyboard.press("Tab")
    expect(phone.next).to_be_focused()
    phone.next.tap()
    phone.expect_horse("12")
    assert [each["hand"] for each in phone.stored("keep") if isinstance(each, dict) and "hand" in each] == ["left"]


def test_a_setting_the_phone_cannot_keep_is_said_and_holds_while_the_page_is_open(phone: Phone) -> None:
    phone.join()
    phone.page.evaluate("() => { location.hash = '#/settings'; }")
    expect(phone.page.get_by_role("heading", name="Settings")).to_be_visible()
    phone.page.evaluate(
        """() => { IDBObjectStore.prototype.put = () => { throw new DOMException("Full.", "QuotaExceededError"); }; }"""
    )
    choose(phone.page, "Dark, for the barn")
    expect(phone.page.get_by_text("This phone could not keep the setting")).to_be_visible()
    expect_paper(phone.page, DARK)
