"""The page as this phone is set: its theme, its hand; kept on the phone and taken by every page that is open."""

from __future__ import annotations

from playwright.sync_api import Page, expect

from tests.browser.phone import Phone
from tests.browser.served import Served

BACKGROUND = "(each) => getComputedStyle(each).backgroundColor"
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


def test_a_wide_screen_has_the_placing_beside_the_traits_and_the_left_hand_has_its_bar_on_the_left(
    phone: Phone,
) -> None:
    phone.join()
    phone.open_class()
    placing = phone.page.get_by_role("list", name="Suggested")
    for number in ("7", "12"):
        phone.horse(number).tap()
        phone.expect_horse(number)
        for _ in range(1 if number == "7" else 2):
            phone.end("short, strong topline").tap()
    assert placing.count() == 0 or not placing.is_visible()
    for width, height in ((844, 390), (820, 1180)):
        phone.page.set_viewport_size({"width": width, "height": height})
        expect(placing.get_by_role("listitem")).to_have_text(["1st12", "2nd7"])
        box, traits = placing.bounding_box(), phone.page.locator("trait-lines").bounding_box()
        assert box is not None
        assert traits is not None
        assert box["x"] >= traits["x"] + traits["width"] - 1
    phone.page.set_viewport_size({"width": 844, "height": 390})
    phone.page.evaluate("() => { document.documentElement.dataset.hand = 'left'; }")
    bar = phone.page.locator("thumb-bar").bounding_box()
    assert bar is not None
    assert bar["x"] < 10


def test_in_the_person_s_own_colors_a_degree_and_a_choice_are_still_seen(phone: Phone) -> None:
    phone.join()
    phone.open_class()
    phone.end("short, strong topline").tap()
    phone.expect_degree("short, strong topline", 1)
    phone.page.emulate_media(forced_colors="active")
    filled, empty = (
        phone.end("short, strong topline").locator(".degree > i").nth(place).evaluate(BACKGROUND) for place in (0, 1)
    )
    assert filled != empty
    here, elsewhere = phone.view("Profile").evaluate(BACKGROUND), phone.view("Front").evaluate(BACKGROUND)
    assert here != elsewhere
