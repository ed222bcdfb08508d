"""A phone with a browser: 390 by 844, touched with a thumb, closed and opened cold."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

from playwright.sync_api import BrowserContext, CDPSession, Locator, Page, Playwright, expect

from nearside.web.linking import linked_names
from tests.browser.chromium import ARGUMENTS, find_chromium
from tests.browser.served import Served

FRONTEND = Path(__file__).parents[2] / "frontend"
DEGREE = re.compile(r"marked (\d) of 3")


def linked(script: str) -> str:
    """A script for the page that imports the page's modules by path, found in the joined ones."""
    scripts = {f"/{each.relative_to(FRONTEND)}": each.read_text() for each in FRONTEND.rglob("*.js")}
    first, names = linked_names(scripts, "/main.js"), linked_names(scripts, "/main.js", "/more.js")

    def found_in(asked: re.Match[str]) -> str:
        path = asked[1]
        return f'import("{"/main.js" if path in first else "/more.js"}").then((all) => all.{names[path]})'

    return re.sub(r'import\("([^"]+)"\)', found_in, script)


def watch(page: Page, problems: list[str]) -> None:
    """Note what goes wrong on a page that nobody looks for."""

    def heard(kind: str, text: str) -> None:
        # A server that is away is what many tests are about; the browser reports it as an error by itself.
        is_away = any(each in text for each in ("Failed to load resource", "error occurred when fetching the script"))
        if kind == "error" and not is_away:
            problems.append(text)

    page.on("pageerror", lambda error: problems.append(str(error)))
    page.on("console", lambda message: heard(message.type, message.text))


class Phone:
    """One browser with its own storage on the disk, joined as one seat."""

    def __init__(self, playwright: Playwright, storage: Path, server: Served) -> None:
        self._playwright = playwright
        self._storage = storage
        self._server = server
        self.problems: list[str] = []
        self._devtools: CDPSession | None = None
        self.context = self._open()
        self.page = self.context.pages[0]
        self._watch(self.page)

    def _open(self) -> BrowserContext:
        path = find_chromium()
        assert path is not None, "no Chromium: python -m tests says how to get one"
        return self._playwright.chromium.launch_persistent_context(
            self._storage,
            executable_path=path,
            args=ARGUMENTS,
            viewport={"width": 390, "height": 844},
            has_touch=True,
            is_mobile=True,
            reduced_motion="reduce",
        )

    def _watch(self, page: Page) -> None:
        watch(page, self.problems)

    def before_the_page(self, script: str) -> None:
        """Run a script in every page before the page's own, until the browser is closed."""
        self.context.add_init_script(script)

    def close(self) -> None:
        """Close the browser, all of it."""
        self.context.close()

    def cold_start(self, times_slower: int = 1, room: int | None = None) -> None:
        """Open the browser anew, and in it the page, as from the home screen; with `room` bytes."""
        self.context = self._open()
        self.page = self.context.pages[0]
        self._watch(self.page)
        if times_slower > 1:
            self.slow(times_slower)
        if room is not None:
            self.make_room(room)
        self.page.goto(f"{self._server.address}/")

    def make_room(self, room: int | None) -> None:
        """The browser's own quota for the page, in bytes; None is the usual one."""
        if self._devtools is None:
            self._devtools = self.context.new_cdp_session(self.page)
        quota = {} if room is None else {"quotaSize": room}
        self._devtools.send("Storage.overrideQuotaForOrigin", {"origin": self._server.address, **quota})

    def slow(self, times: int) -> None:
        """Slow the page's processor, as on an old phone."""
        self.context.new_cdp_session(self.page).send("Emulation.setCPUThrottlingRate", {"rate": times})

    def another_tab(self) -> Page:
        page = self.context.new_page()
        self._watch(page)
        page.goto(f"{self._server.address}/")
        return page

    def join(self, role: str = "judge") -> None:
        """Join by typing the code, and wait until the phone is ready for the day."""
        self.page.goto(f"{self._server.address}/")
        code = self._server.codes[role]
        self.page.get_by_label("Code").fill(f"{code[:4].lower()} {code[4:].lower()}")
        self.page.get_by_role("button", name="Join the show").tap()
        expect(self.page.get_by_text("Ready for the day: 2 classes, 8 numbers")).to_be_visible()

    def open_class(self, title: str = "Stock type mares", view: str | None = "Profile") -> None:
        self.page.get_by_role("button", name=re.compile(title)).tap()
        expect(self.page.locator("horse-bar strong")).to_be_visible()
        if view is not None:
            self.view(view).tap()

    def type_number(self, number: str, verb: str = "Open") -> None:
        """Open a horse by its number on the keypad, or enter one that is not in the class (`Enter`)."""
        self.page.get_by_role("button", name="No. type a number").tap()
        pad = self.page.get_by_role("dialog", name="Open a horse by its number")
        for key in number:
            pad.get_by_role("button", name=key, exact=True).tap()
        pad.get_by_role("button", name=f"{verb} {number}").tap()
        self.expect_horse(number)

    # What is on the page, by role and name.

    def end(self, words: str) -> Locator:
        """An end of a trait, by the words on it."""
        return self.page.get_by_role("button", name=re.compile(f"^{re.escape(words)},"))

    def take_back(self, words: str) -> Locator:
        """The knob of a marked trait, by the words of the end it is marked at."""
        return self.page.get_by_role("button", name=re.compile(f"^Take back {re.escape(words)},"))

    def view(self, name: str) -> Locator:
        return self.page.get_by_role("navigation", name="Views").get_by_role("button", name=re.compile(f"^{name}"))

    def horse(self, number: str) -> Locator:
        return self.page.get_by_role("navigation", name="Horses in line").get_by_role(
            "button", name=re.compile(f"^{number},")
        )

    @property
    def next(self) -> Locator:
        return self.page.locator("thumb-bar .next")

    @property
    def next_view(self) -> Locator:
        """The same horse in its next view; after the last, the next horse from the first."""
        return self.page.locator("thumb-bar .next-view")

    @property
    def saved(self) -> Locator:
        return self.page.locator("saved-state button")

    def open_number(self) -> str:
        return self.page.locator("horse-bar strong").inner_text()

    def expect_horse(self, number: str) -> None:
        expect(self.page.locator("horse-bar strong")).to_have_text(number)

    def expect_degree(self, words: str, degree: int) -> None:
        said = "not marked" if degree == 0 else f"marked {degree} of 3"
        expect(self.end(words)).to_have_attribute("aria-label", re.compile(f"{said}$"))

    def expect_said(self, words: str) -> None:
        """Seen on the page and told to a screen reader, one text for both."""
        said = self.page.locator(".voice:not(.aside)")
        expect(said).to_have_text(re.compile(words))
        expect(said).to_have_attribute("role", "status")

    def expect_saved(self, words: str) -> None:
        expect(self.saved).to_have_text(re.compile(words), timeout=15_000)

    def stored(self, store: str) -> list[Any]:
        """What the browser's database holds, asked past the page's own code."""
        found: list[Any] = self.page.evaluate(
            """async (store) => {
                const database = await new Promise((resolve, reject) => {
                    const request = indexedDB.open("nearside");
                    request.onsuccess = () => resolve(request.result);
                    request.onerror = () => reject(request.error);
                });
                const all = await new Promise((resolve, reject) => {
                    const request = database.transaction(store).objectStore(store).getAll();
                    request.onsuccess = () => resolve(request.result);
                    request.onerror = () => reject(request.error);
                });
                database.close();
                return all;
            }""",
            store,
        )
        return found
