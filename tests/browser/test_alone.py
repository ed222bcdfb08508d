"""Alone with a phone: a class made, marked and placed with no server at all, and handed to an office's show later."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

from playwright.sync_api import expect

from nearside.show.strict_json import canonical
from tests.browser.phone import Phone
from tests.browser.served import Served

TITLE = "Stock type mares, aged"
MARKS = {
    "7": [(2, "short, strong topline")],
    "12": [(3, "long, sloping shoulder"), (1, "calf knees (back at the knee)")],
    "31": [(2, "long, weak topline")],
    "99": [(1, "deep heart girth, well-sprung rib")],
}


def open_without_server(phone: Phone, server: Served) -> None:
    """The page, opened once; from here on there is no server."""
    phone.page.goto(f"{server.address}/")
    phone.page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    server.kill()


def begin_class(phone: Phone, numbers: str) -> None:
    """The page that makes a class, filled in."""
    own = phone.page.get_by_role("button", name="A class of your own on this phone")
    own.evaluate("(button) => { button.click(); button.click(); }")  # tapped twice in a hurry, it is made once
    phone.page.get_by_label("Title").fill(TITLE)
    phone.page.get_by_label("Numbers, with anything between them").fill(numbers)


def placed(file: Path) -> dict[str, Any]:
    """The placing of a class file, by the command."""
    run = subprocess.run([sys.executable, "-m", "nearside", "place", file, "--json"], capture_output=True, check=True)
    placing: dict[str, Any] = json.loads(run.stdout)
    return placing


def class_file(phone: Phone, to: Path) -> Path:
    """The class file of the open class, as the phone gives it where it has no share sheet."""
    with phone.page.expect_download() as download:
        phone.page.get_by_role("link", name="Class file").tap()
    download.value.save_as(to)
    return to


def to_placing(phone: Phone) -> None:
    phone.page.get_by_role("button", name="Placing", exact=True).tap()
    expect(phone.page.locator(".order > li").first).to_be_visible()


def test_a_class_is_made_marked_and_placed_with_no_server_and_handed_to_a_show_later(
    phone: Phone, server: Served, tmp_path: Path
) -> None:
    page = phone.page
    open_without_server(phone, server)
    begin_class(phone, "")
    assert len(phone.stored("seats")) == 1
    expect(page.get_by_role("button", name="Make an empty class")).to_be_visible()
    expect(page.get_by_label("Numbers, with anything between them")).to_be_in_viewport()
    for typed, read in [
        ("21-24 30 21", "5 numbers: 21 22 23 24 30. Typed twice: 21."),
        ("7-12-31, 24-21, 1E1-1E2", "7 numbers: 7 12 31 24 21 1E1 1E2."),
        ("1-201", "Too many numbers: 200 at most."),
        ("7, 12;31/ 1234567", "No numbers: 1234567. A number has 1 to 6 digits or letters."),
    ]:
        page.get_by_label("Numbers, with anything between them").fill(typed)
        expect(page.locator("#numbers-read")).to_have_text(read)
    expect(page.get_by_role("button", name="Make the class")).to_be_disabled()
    page.get_by_label("Numbers, with anything between them").fill("7, 12;31")
    page.get_by_label("First number").fill("99")
    page.get_by_label("How many").fill("1")
    page.get_by_role("button", name="Count up", exact=True).tap()
    expect(page.get_by_text("4 numbers: 7 12 31 99.")).to_be_visible()
    page.get_by_role("button", name="Make the class").tap()
    phone.view("Profile").tap()
    for number, taps in MARKS.items():
        phone.expect_horse(number)
        for count, words in taps:
            for _ in range(count):
                phone.end(words).tap()
            phone.expect_degree(words, count)
        phone.next.tap()
    phone.expect_saved("^Saved here$")
    phone.saved.tap()
    expect(page.locator(".now")).to_contain_text("on this phone alone")
    expect(page.get_by_role("button", name="Try now")).to_have_count(0)
    page.get_by_role("button", name="Back").tap()
    to_placing(phone)
    page.get_by_role("button", name="Reasons", exact=True).last.tap()
    expect(page.get_by_text(re.compile("12 over 7|I place"))).not_to_have_count(0)
    page.go_back()
    sign(phone, "12 7 31 99")
    alone = placed(class_file(phone, tmp_path / "alone.json"))
    assert (alone["placing"], alone["own"]) == (["12", "7", "99", "31"], ["12", "7", "31", "99"])

    # Closed, and opened cold with no server: the same class, the same marks.
    phone.close()
    phone.cold_start()
    page = phone.page
    page.goto(f"{server.address}/")
    phone.expect_saved("^Saved here$")
    page.get_by_role("button", name="All classes").tap()
    page.get_by_role("button", name=re.compile(f"^(?!Change).*{TITLE}")).tap()
    phone.view("Profile").tap()
    phone.horse("12").tap()
    phone.expect_degree("long, sloping shoulder", 3)
    expect(page.get_by_text(re.compile("^Signed .* this card is shut"))).to_be_visible()
    assert phone.stored("outbox") == []
    written = {each["id"] for each in phone.stored("notes")}

    # At a show: joined with a code, and the class brought in.
    server.start()
    page.get_by_role("button", name="All classes").tap()
    page.get_by_role("button", name="Join a show").tap()
    page.get_by_label("Code").fill(server.codes["judge"])
    page.get_by_role("button", name="Join with this code").tap()
    expect(page.get_by_text("Ready for the day: 2 classes, 8 numbers")).to_be_visible()
    bring(phone)
    expect(page.get_by_text("Not in that class, and entered with it: 99.")).to_be_visible()
    choice = page.get_by_role("group", name="Class of the show")
    expect(choice.get_by_role("button", name="C4")).to_have_attribute("aria-pressed", "true")
    choice.get_by_role("button", name="C5").tap()
    expect(page.get_by_role("alert").filter(has_text="their traits differ")).to_be_visible()
    expect(page.get_by_role("button", name=re.compile("^Bring it into"))).to_be_disabled()
    choice.get_by_role("button", name="C4").tap()
    page.get_by_role("button", name=f"Bring it into C4, {TITLE}").tap()
    phone.expect_horse("7")
    phone.expect_saved("At the office")
    kept = server.notes_of("judge")
    assert {each["id"] for each in kept if each["kind"] != "entry"} == written
    assert [each["number"] for each in kept if each["kind"] == "entry"] == ["99"]
    assert {(each["class"], each["by"]) for each in kept} == {("c4", "judge-a")}
    to_placing(phone)
    brought = placed(class_file(phone, tmp_path / "brought.json"))
    with server.device("judge") as device:
        by_server = canonical(device.get("/api/classes/c4/placing").json())
    assert by_server == canonical(brought)
    # Horses of the show that were never seen are not placed; all else is what the phone said alone.
    differ = {"class", "card", "unplaced"}
    assert {key: value for key, value in brought.items() if key not in differ} == {
        key: value for key, value in alone.items() if key not in differ
    }

    # Twice is no more than once; and both stay on the phone, side by side.
    page.get_by_role("button", name="All classes").tap()
    bring(phone)
    page.get_by_role("button", name=f"Bring it into C4, {TITLE}").tap()
    expect(page.get_by_text("Nothing new: all of it was here already.").first).to_be_visible()
    phone.expect_saved("At the office")
    assert server.notes_of("judge") == kept
    page.get_by_role("button", name="All classes").tap()
    page.get_by_role("button", name="Another seat or class").tap()
    page.get_by_role("button", name="A class of your own on this phone").tap()
    expect(page.get_by_role("heading", name="On this phone")).to_be_visible()
    page.get_by_role("button", name=re.compile(f"^(?!Change).*{TITLE}")).tap()
    expect(page.locator("horse-bar strong")).to_be_visible()
    phone.expect_saved("^Saved here$")
    page.get_by_role("button", name="All classes").tap()
    page.get_by_role("button", name="Join a show").tap()
    page.get_by_role("button", name=re.compile("^Judge A, Mill Meadow")).tap()
    expect(page.get_by_text("Ready for the day: 2 classes")).to_be_visible()
    assert server.notes_of("judge") == kept


def test_numbers_and_figures_out_of_bounds_are_refused_beside_their_field_and_none_is_shortened(
    phone: Phone, server: Served
) -> None:
    page = phone.page
    open_without_server(phone, server)
    begin_class(phone, " ".join(str(number) for number in range(1, 202)))
    make = page.get_by_role("button", name="Make the class")
    expect(page.get_by_text("Too many numbers: 200 at most.")).to_be_visible()
    expect(make).to_be_disabled()
    page.get_by_label("Numbers, with anything between them").fill("7 12")
    expect(make).to_be_enabled()
    page.get_by_label("How many").fill("61")
    expect(page.get_by_text("How many: a whole number from 1 to 60.")).to_be_visible()
    expect(page.get_by_role("button", name="Count up", exact=True)).to_be_disabled()
    page.get_by_text("Places, and what follows from lameness").tap()
    for label, typed, most in [("Places", "25", 20), ("Places", "2.5", 20), ("Lame from grade", "", 5)]:
        usual = page.get_by_label(label).input_value()
        page.get_by_label(label).fill(typed)
        expect(page.get_by_text(f"{label}: a whole number from 1 to {most}.")).to_be_visible()
        expect(make).to_be_disabled()
        page.get_by_label(label).fill(usual)
        expect(make).to_be_enabled()
    page.get_by_label("Places", exact=True).fill("20")
    make.tap()
    phone.expect_horse("7")

    # Changed from a cold start: what is in the class is known before anything is called late.
    page.get_by_role("button", name="All classes").tap()
    page.get_by_role("button", name=f"Change {TITLE}").tap()
    expect(page.get_by_role("heading", name="Change the class")).to_be_visible()
    page.evaluate("async () => { while (!location.hash.includes('make')) await new Promise(requestAnimationFrame); }")
    phone.close()
    phone.cold_start()
    page = phone.page
    page.get_by_text("Places, and what follows from lameness").tap()
    expect(page.get_by_label("Places", exact=True)).to_have_value("20")
    expect(page.get_by_text("Entered: 7 and 12. None is ever dropped")).to_be_visible()
    page.get_by_label("More numbers").fill("7, 31")
    page.get_by_role("button", name="Keep the changes").tap()
    expect(phone.horse("31")).to_be_visible()
    assert [each["note"]["number"] for each in phone.stored("notes")] == ["31"]


def sign(phone: Phone, order: str) -> None:
    """An order of one's own, signed; leads back to the placing."""
    page = phone.page
    page.get_by_role("button", name="Arrange").tap()
    page.get_by_role("button", name="Type it").tap()
    page.get_by_label("Your order, best first").fill(order)
    page.get_by_role("button", name="Set this order").tap()
    page.get_by_role("button", name="‹ Placing").tap()
    page.get_by_role("button", name="Sign", exact=True).tap()
    page.get_by_role("button", name="Sign this card").tap()
    page.get_by_role("button", name=re.compile("^Yes, sign")).tap()
    expect(page.locator("card-page .digits b")).to_have_text(order.split())
    page.get_by_role("button", name="‹ Placing").tap()


def bring(phone: Phone) -> None:
    phone.page.get_by_role("button", name="Bring in a class").tap()
    phone.page.get_by_role("button", name=TITLE, exact=True).tap()
