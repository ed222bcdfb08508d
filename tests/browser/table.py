"""The laptop at the show table: 1280 by 800, with a mouse and a keyboard, at `/office`; or a tablet there."""

from __future__ import annotations

import re

from playwright.sync_api import Locator, Playwright, expect

from tests.browser.chromium import ARGUMENTS, find_chromium
from tests.browser.phone import watch
from tests.browser.served import Served

LAPTOP, TABLET = (1280, 800), (820, 1180)


class Table:
    """One browser that keeps nothing, on the page of the office."""

    def __init__(self, playwright: Playwright, server: Served, size: tuple[int, int] = LAPTOP) -> None:
        self._server = server
        self._browser = playwright.chromium.launch(executable_path=find_chromium(), args=ARGUMENTS)
        self.context = self._browser.new_context(
            viewport={"width": size[0], "height": size[1]}, reduced_motion="reduce", accept_downloads=True
        )
        self.problems: list[str] = []
        self.page = self.context.new_page()
        watch(self.page, self.problems)

    def close(self) -> None:
        self._browser.close()

    def sit(self, role: str = "office") -> None:
        """Sit down by typing the code."""
        code = self._server.codes[role]
        self.page.goto(f"{self._server.address}/office")
        self.page.get_by_label("Code of the office").fill(f"{code[:4].lower()} {code[4:]}")
        self.page.keyboard.press("Enter")
        expect(self.page.get_by_text("Up to date")).to_be_visible()

    def go(self, at: str) -> None:
        """Open a page by its address."""
        self.page.evaluate("(at) => { location.hash = `#/${at}`; }", at)

    def open(self, title: str) -> None:
        """Open a page from the menu."""
        self.page.get_by_role("navigation", name="Pages of the table").get_by_role("link", name=title).click()
        expect(self.page.get_by_role("heading", name=re.compile(f"^{title}"), level=1)).to_be_visible()

    def row(self, words: str) -> Locator:
        """A line of the page's list, by what it holds."""
        return self.page.locator("main li").filter(has_text=re.compile(words))

    def press(self, name: str) -> None:
        self.page.get_by_role("button", name=re.compile(name)).click()

    def expect_done(self, words: str) -> None:
        expect(self.page.locator(".done").filter(has_text=words)).to_be_visible()

    def expect_trouble(self, words: str) -> None:
        expect(self.page.locator(".trouble").filter(has_text=words)).to_be_visible()
