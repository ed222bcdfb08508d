"""The whole job, as a judge does it on one day: join, mark, lose the server, mark on, come back, read the placing."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

from playwright.sync_api import expect

from tests.browser.phone import Phone
from tests.browser.served import Served

NUMBERS = ["7", "12", "31", "40", "58", "103"]
Taps = list[tuple[str, list[tuple[int, str]]]]
# For each horse in line, taps on an end of a trait: how often, and on which words.
PROFILE: Taps = [
    ("7", [(2, "short, strong topline")]),
    ("12", [(3, "short, strong topline"), (1, "long, sloping shoulder")]),
    ("31", [(1, "long, weak topline")]),
    ("40", [(1, "short, strong topline"), (2, "short, steep croup")]),
    ("58", [(3, "long, weak topline")]),
    ("103", []),
]
FRONT: Taps = [
    ("7", [(1, "straight column of bone")]),
    ("12", []),
    ("31", [(2, "straight column of bone")]),
    ("40", [(1, "offset (bench) knees")]),
    ("58", []),
    ("103", [(1, "crooked column of bone")]),
]
REAR: Taps = [
    ("7", []),
    ("12", [(1, "straight column of bone")]),
    ("31", []),
    ("40", []),
    ("58", [(2, "straight column of bone")]),
    ("103", [(3, "straight column of bone")]),
]


def mark(phone: Phone, number: str, taps: list[tuple[int, str]]) -> None:
    phone.expect_horse(number)
    for count, words in taps:
        for _ in range(count):
            phone.end(words).tap()
        phone.expect_degree(words, count)


def test_a_class_is_marked_through_a_dead_server_and_a_closed_browser_and_placed(
    phone: Phone, server: Served, tmp_path: Path
) -> None:
    phone.join()
    phone.open_class()
    for number, taps in PROFILE:
        mark(phone, number, taps)
        phone.next.tap()
    # After the last horse the line begins anew, in the next view.
    expect(phone.view("Front")).to_have_attribute("aria-current", "true")
    phone.expect_saved("At the office")

    server.kill()
    for number, taps in FRONT[:3]:
        mark(phone, number, taps)
        phone.next.tap()
    phone.expect_horse("40")
    phone.expect_saved("Saved here, 6 to send")  # three taps, three looks
    phone.close()

    phone.cold_start()
    phone.expect_horse("40")
    expect(phone.view("Front")).to_have_attribute("aria-current", "true")
    for number, taps in FRONT[:3]:
        phone.horse(number).tap()
        for count, words in taps:
            phone.expect_degree(words, count)
    phone.view("Profile").tap()
    for number, taps in PROFILE:
        phone.horse(number).tap()
        for count, words in taps:
            phone.expect_degree(words, count)
    phone.horse("40").tap()
    phone.view("Front").tap()
    for number, taps in [*FRONT[3:], *REAR]:
        mark(phone, number, taps)
        phone.next.tap()
    phone.expect_saved(r"Saved here, \d+ to send")
    sent_later = [each["id"] for each in phone.stored("outbox")]
    assert len(sent_later) == len(set(sent_later)) > 0

    server.start()
    phone.expect_saved("At the office")
    assert phone.stored("outbox") == []
    kept = [each["note"] for each in phone.stored("notes")]
    ids = [each["id"] for each in server.notes_of("judge")]
    assert len(ids) == len(set(ids))
    assert set(ids) == {each["id"] for each in kept} >= set(sent_later)
    tapped = sum(count for _, ends in PROFILE + FRONT + REAR for count, _ in ends)
    looks = 3 * len(NUMBERS)
    assert len(ids) == tapped + looks

    phone.page.get_by_role("button", name="Placing", exact=True).tap()
    expect(phone.page.locator(".order > li").first).to_be_visible()
    shown = [each.inner_text() for each in phone.page.locator(".order .number").all()]
    pair = phone.page.locator(".pair button").first
    pair.tap()
    sentence = phone.page.locator(".pair .sentence").first.inner_text()

    with phone.page.expect_download() as download:
        phone.page.get_by_role("link", name="Class file").tap()
    file = tmp_path / "class.json"
    download.value.save_as(file)
    with server.device("judge") as device:
        by_server = device.get("/api/classes/c4/placing").json()
    run = subprocess.run(
        [sys.executable, "-m", "nearside", "place", str(file), "--json"], capture_output=True, text=True, check=True
    )
    by_command = json.loads(run.stdout)
    assert by_command == by_server
    assert by_command["placing"] == shown
    assert sorted(shown) == sorted(NUMBERS)
    assert sentence.startswith(by_command["pairs"][0]["sentence"])
