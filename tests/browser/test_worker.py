"""The service worker, in a real one: the page opens with no server, and a newer page never comes in mid-work."""

from __future__ import annotations

import shutil
from pathlib import Path

from playwright.sync_api import expect

from tests.browser.phone import Phone
from tests.browser.served import Served

FRONTEND = Path(__file__).parents[2] / "frontend"
NEWER = "A newer Nearside is on this phone."


def cached(phone: Phone) -> dict[str, list[str]]:
    """The paths in each cache of the browser."""
    found: dict[str, list[str]] = phone.page.evaluate(
        """async () => {
            const caches_ = {};
            for (const name of await caches.keys()) {
                const requests = await (await caches.open(name)).keys();
                caches_[name] = requests.map((request) => new URL(request.url).pathname);
            }
            return caches_;
        }"""
    )
    return found


def test_one_cache_holds_every_file_of_the_page_and_nothing_of_the_server_s_answers(phone: Phone) -> None:
    phone.join()
    phone.open_class()
    caches = cached(phone)
    assert len(caches) == 1
    # Scripts and stylesheets travel as one file each; the pictures for the home screen are fetched with a network.
    suffixes = {".json", ".webmanifest", ".svg"}
    files = {
        f"/{path.relative_to(FRONTEND)}" for path in FRONTEND.rglob("*") if path.is_file() and path.suffix in suffixes
    }
    assert set(next(iter(caches.values()))) == files | {"/", "/main.js", "/more.js", "/main.css", "/basics.json"}


def test_any_address_of_the_page_opens_with_no_server(phone: Phone, server: Served) -> None:
    phone.join()
    phone.open_class()
    server.kill()
    phone.page.goto(f"{server.address}/#/ring/c5/22/trot")
    phone.page.reload()
    phone.expect_horse("22")
    expect(phone.view("Coming and going")).to_have_attribute("aria-current", "true")
    phone.page.goto(f"{server.address}/somewhere/else")
    phone.expect_horse("22")


def test_only_the_page_s_own_files_are_answered_and_never_the_server_s_api(phone: Phone, server: Served) -> None:
    phone.join()
    server.kill()
    answers = phone.page.evaluate(
        """async () => Promise.all(
            [["/main.js"], ["/api/day"], ["/health"], ["/main.js", { method: "POST" }], ["/unknown.js"]].map((words) =>
                fetch(...words).then((response) => response.status, () => "nothing"),
            ),
        )"""
    )
    assert answers == [200, "nothing", "nothing", "nothing", "nothing"]


def test_a_newer_page_is_offered_once_and_taken_at_the_next_cold_start(
    phone: Phone, server: Served, tmp_path: Path
) -> None:
    phone.join()
    phone.open_class()
    phone.expect_saved("At the office")
    before = list(cached(phone))
    newer = tmp_path / "frontend"
    shutil.copytree(FRONTEND, newer)
    index = newer / "index.html"
    index.write_text(index.read_text().replace("<title>Nearside</title>", "<title>Nearside, newer</title>"))
    server.kill()
    server.start(newer)
    phone.page.evaluate("navigator.serviceWorker.getRegistration().then((each) => each.update())")
    bar = phone.page.locator("update-bar")
    expect(bar).to_contain_text(NEWER)
    phone.end("short, strong topline").tap()
    phone.expect_degree("short, strong topline", 1)
    assert phone.page.title() == "Nearside"
    bar.get_by_role("button", name="Good").tap()
    expect(bar).to_be_empty()
    phone.page.reload()  # still the page one works with
    phone.expect_horse("7")
    assert phone.page.title() == "Nearside"
    expect(bar).to_contain_text(NEWER)  # it waits yet, so a page opened anew says so again

    phone.close()
    phone.cold_start()
    phone.expect_horse("7")
    expect(phone.page).to_have_title("Nearside, newer")
    phone.expect_degree("short, strong topline", 1)
    names = phone.page.evaluate(
        """async () => {
            for (let left = 100; left > 0 && (await caches.keys()).length > 1; left -= 1) {
                await new Promise((done) => setTimeout(done, 50));
            }
            return caches.keys();
        }"""
    )
    assert len(names) == 1  # the older page's cache is gone
    assert names != before


def test_a_page_fetched_only_in_part_is_fetched_again_by_itself_until_it_opens_with_no_server(
    phone: Phone, server: Served, tmp_path: Path
) -> None:
    # A list with a file that does not come, as when the signal goes in the middle.
    broken = tmp_path / "frontend"
    shutil.copytree(FRONTEND, broken)
    worker = broken / "sw.js"
    worker.write_text(worker.read_text().replace("assets.map(", '["/lost.js", ...assets].map('))
    server.kill()
    server.start(broken)
    phone.page.goto(f"{server.address}/#join={server.codes['judge']}")
    expect(phone.page.get_by_text("On this phone: 2 classes, 8 numbers")).to_be_visible()
    expect(phone.page.get_by_text("It is tried again by itself")).to_be_visible()
    server.kill()
    server.start()
    expect(phone.page.get_by_text("Ready for the day: 2 classes, 8 numbers")).to_be_visible(timeout=20_000)
    server.kill()
    phone.page.reload()
    expect(phone.page.get_by_text("Ready for the day: 2 classes, 8 numbers")).to_be_visible()


def test_on_plain_http_the_page_says_what_is_missing_and_all_else_works(phone: Phone, server: Served) -> None:
    # What a browser withholds where the address is not secure.
    phone.before_the_page(
        """
        for (const [holder, name] of [
            [Navigator.prototype, "serviceWorker"], [Navigator.prototype, "locks"],
            [Navigator.prototype, "storage"], [Crypto.prototype, "randomUUID"],
        ]) Object.defineProperty(holder, name, { get: () => undefined });
        """
    )
    phone.page.goto(f"{server.address}/#join={server.codes['judge']}")
    expect(phone.page.get_by_text("On this phone: 2 classes, 8 numbers")).to_be_visible()
    expect(phone.page.get_by_text("This address is not secure (https)")).to_be_visible()
    phone.open_class()
    phone.end("short, strong topline").tap()
    phone.expect_saved("At the office")
    (kept,) = server.notes_of("judge")
    assert len(kept["id"]) == 36
    assert kept["id"][14] == "4"
