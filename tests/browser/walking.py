"""A horse walked round whole, as a thumb does it, with every tap counted and none allowed to need a scroll."""

from __future__ import annotations

from playwright.sync_api import Locator, expect

from tests.browser.phone import Phone

# Six marks on a stock type mare, one of them marked and five slight, a mark in every pass: (pass, taps, words).
MARKS = [
    ("Coming and going", 1, "long, free, elastic stride"),
    ("Profile", 3, "short, strong topline"),
    ("Profile", 1, "short, steep croup"),
    ("Front", 1, "long, bulging, low-tied forearm"),
    ("Rear", 1, "cow hocks"),
    ("Head", 1, "large, soft, wide-set eye"),
]
PASSES = ["Coming and going", "Profile", "Front", "Rear", "Head"]
TAPS_AT_MOST = 14


def walk_round(phone: Phone) -> int:
    """Mark the horse that is open in its first pass from all sides and go on to the next; returns the taps it took."""
    taps = 0
    for title in PASSES:
        expect(phone.view(title)).to_have_attribute("aria-current", "true")
        for where, count, words in MARKS:
            if where != title:
                continue
            for _ in range(count):
                tap_in_sight(phone, phone.end(words))
            phone.expect_degree(words, count)
            taps += count
        tap_in_sight(phone, phone.next_view)
        taps += 1
    return taps


def tap_in_sight(phone: Phone, button: Locator) -> None:
    """Touch a button where it is; it must be on the screen, uncovered, and large enough for a thumb."""
    expect(button).to_be_visible()
    box, screen = button.bounding_box(), phone.page.viewport_size
    assert box is not None
    assert screen is not None
    assert min(box["width"], box["height"]) >= 48
    assert box["x"] >= 0
    assert box["y"] >= 0
    assert box["x"] + box["width"] <= screen["width"]
    assert box["y"] + box["height"] <= screen["height"]
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    assert button.evaluate("(button, [x, y]) => button.contains(document.elementFromPoint(x, y))", [x, y])
    phone.page.touchscreen.tap(x, y)
