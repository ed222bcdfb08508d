"""The judge's own order: moved, dragged, typed, taken from the notes; what it says beside the notes; two devices."""

from __future__ import annotations

import re
from typing import Any

from playwright.sync_api import Locator, Page, expect

from tests.browser.phone import Phone
from tests.browser.served import Served, note

LEAST, APART = 47.5, 7.5  # 48 and 8 pixels, less what rounding takes

MARKS = [("7", "topline", 3), ("12", "topline", 2), ("31", "topline", 1), ("40", "topline", -1), ("58", "topline", -1)]


def seed(server: Served) -> None:
    """Five of six horses marked so that the notes place them in the order of their numbers; 40 and 58 are even."""
    server.write(
        "judge",
        *(
            note(f"m{number}", kind="mark", number=number, trait=trait, view="profile", degree=degree)
            for number, trait, degree in MARKS
        ),
    )


def to_placing(phone: Phone) -> None:
    phone.open_class()
    phone.expect_degree("short, strong topline", 3)
    phone.page.locator("thumb-bar .to-placing").tap()
    expect(phone.page.locator(".order > li")).to_have_count(5)


def shown(page: Page) -> list[str]:
    return [each.inner_text() for each in page.locator("ol.own > li > button > b").all()]


def expect_order(page: Page, order: str) -> None:
    expect(page.locator("ol.own")).to_be_visible()
    expect(page.locator("ol.own > li > button > b")).to_have_text(order.split())


def orders(phone: Phone) -> list[Any]:
    """Every own order noted on this phone, oldest first."""
    kept = [each["note"] for each in phone.stored("notes") if each["note"]["kind"] == "order"]
    return [each["numbers"] for each in sorted(kept, key=lambda each: each["at"])]


def expect_room(targets: Locator) -> None:
    """Every target is large enough, and none so near another that a thumb takes both."""
    boxes = [box for each in targets.all() if (box := each.bounding_box()) is not None]
    assert len(boxes) > 3
    for box in boxes:
        assert min(box["width"], box["height"]) >= LEAST, box
    for at, one in enumerate(boxes):
        for other in boxes[at + 1 :]:
            across = max(one["x"], other["x"]) - min(one["x"] + one["width"], other["x"] + other["width"])
            down = max(one["y"], other["y"]) - min(one["y"] + one["height"], other["y"] + other["height"])
            assert max(across, down) >= APART, (one, other)


def test_an_order_is_moved_dragged_typed_and_taken_back_one_note_a_change(phone: Phone, server: Served) -> None:
    seed(server)
    phone.join()
    to_placing(phone)
    page = phone.page
    server.kill()
    page.get_by_role("button", name="Arrange").tap()
    expect(page.locator("order-page .origin")).to_have_text("Not your own order yet: this is the suggestion.")
    expect_order(page, "7 12 31 40 58")
    page.get_by_role("button", name="Nothing to undo").press("Enter")
    phone.expect_said("^Nothing to undo: ")
    expect_room(page.locator("order-page button:visible"))

    page.get_by_role("button", name=re.compile("^3rd 31")).tap()
    up, down = page.get_by_role("button", name=re.compile("^Up")), page.get_by_role("button", name=re.compile("^Down"))
    up.tap()
    up.tap()
    expect_order(page, "31 7 12 40 58")
    expect(up).to_be_disabled()
    down.tap()
    expect_order(page, "7 31 12 40 58")
    expect(page.get_by_role("button", name="2nd 31 grey notes: 3rd")).to_have_attribute("aria-pressed", "true")

    # Dragged by its handle, past two others; dropped where it was, nothing is noted.
    drag(page, 4, 1)
    expect_order(page, "7 58 31 12 40")
    drag(page, 0, 0)
    expect_order(page, "7 58 31 12 40")

    # A tap sooner after a finger was lifted than any thumb could be is no tap to the browser: by key, then.
    page.get_by_role("button", name="Leave out 7").press("Enter")
    expect_order(page, "58 31 12 40")
    page.get_by_role("button", name=re.compile("^ ?103 bay roan")).tap()
    page.get_by_role("button", name="Put in 103").tap()
    expect_order(page, "58 31 12 40 103")

    page.get_by_role("button", name="Type it").tap()
    field = page.get_by_label("Your order, best first")
    expect(field).to_have_value("58 31 12 40 103")
    field.fill("12, 99 7; 12 T9")
    expect(page.get_by_text("99 and T9 are not in this class. 12 stands twice.")).to_be_visible()
    expect(page.get_by_role("button", name="Set this order")).to_be_disabled()
    field.fill("12,7 31.40")
    expect(page.get_by_text("Leaves out 58 and 103.")).to_be_visible()
    field.press("Enter")
    expect_order(page, "12 7 31 40")

    page.get_by_role("button", name="Take the suggestion").tap()
    expect_order(page, "7 12 31 40 58")
    expect(page.locator("order-page .origin")).to_have_text(re.compile("as the notes have it"))
    page.get_by_role("button", name="Undo suggestion taken").tap()
    expect_order(page, "12 7 31 40")
    page.get_by_role("button", name=re.compile("^Undo own order 12, 7")).tap()
    expect_order(page, "58 31 12 40 103")

    phone.expect_saved("Saved here")
    steps = [
        ["7", "31", "12", "40", "58"],
        ["7", "58", "31", "12", "40"],
        ["58", "31", "12", "40"],
        ["58", "31", "12", "40", "103"],
    ]
    steps += [
        ["12", "7", "31", "40"],
        ["7", "12", "31", "40", "58"],
        ["12", "7", "31", "40"],
        ["58", "31", "12", "40", "103"],
    ]
    assert orders(phone)[2:] == steps


def drag(page: Page, start: int, end: int) -> None:
    """With a finger: what the browser tells of it are pointer events."""
    rows = page.locator("ol.own > li")
    handle, target = rows.nth(start).locator(".handle").bounding_box(), rows.nth(end).bounding_box()
    assert handle is not None
    assert target is not None
    x, y = handle["x"] + handle["width"] / 2, handle["y"] + handle["height"] / 2
    to = target["y"] + 4 if end < start else target["y"] + target["height"] - 4
    finger = page.context.new_cdp_session(page)
    touch = "Input.dispatchTouchEvent"
    finger.send(touch, {"type": "touchStart", "touchPoints": [{"x": x, "y": y}]})
    for step in range(1, 11):
        finger.send(touch, {"type": "touchMove", "touchPoints": [{"x": x, "y": y + (to - y) * step / 10}]})
    finger.send(touch, {"type": "touchEnd", "touchPoints": []})
    expect(page.locator(".own > .dragged")).to_have_count(0)


def test_the_placing_shows_the_own_order_beside_the_notes_and_says_when_these_changed(
    phone: Phone, server: Served
) -> None:
    seed(server)
    phone.join()
    to_placing(phone)
    page = phone.page
    order = page.locator(".order > li")
    # Thin evidence, ties and what a triangle means are said in words.
    expect(order.nth(0)).to_contain_text("1 of 6 views seen")
    expect(order.nth(3).locator(".tag")).to_have_text("tie")
    expect(order.nth(0).locator(".pair")).to_contain_text("7 over 12 on balance")
    expect(page.locator(".legend")).to_have_text("filled as weighings agree, dashed where close")
    expect(page.locator("details.looks summary")).to_contain_text("Worth another look: 12 from the front")

    # By keyboard alone: 103, which nobody looked at, goes in and up over 58.
    page.get_by_role("button", name="Arrange").press("Enter")
    page.get_by_role("button", name=re.compile("103 bay roan")).press("Enter")
    page.get_by_role("button", name="Put in 103").press("Enter")
    page.get_by_role("button", name="Up: 103 to 5th").press("Enter")
    page.get_by_role("button", name=re.compile("^2nd 12")).press("Space")
    page.get_by_role("button", name="Up: 12 to 1st").press("Enter")
    expect_order(page, "12 7 31 40 103 58")
    page.get_by_role("button", name="‹ Placing").press("Enter")

    expect(page.locator("placing-page .origin")).to_have_text(re.compile(r"^Your own order, set \d"))
    expect(order).to_have_count(6)
    expect(order.nth(0)).to_contain_text("notes: 2nd")
    expect(order.nth(0).locator(".pair")).to_contain_text("Notes: 7 over 12 on balance")
    expect(order.nth(0).locator(".tag")).to_have_text("against")
    expect(order.nth(3).locator(".pair")).to_have_text("40 over 103 by your order: 103 is not placed by the notes.")
    expect(order.nth(3).locator(".places-end")).to_be_visible()
    against = page.locator(".against li")
    expect(against).to_have_count(1)
    expect(against).to_have_text(re.compile("^You have 12 over 7. 7 over 12 on balance: 7 is "))

    # A mark later than the order: the order stands, and the page says so.
    page.get_by_role("button", name="‹ Ring").tap()
    phone.horse("31").tap()
    phone.end("short, strong topline").tap()
    page.locator("thumb-bar .to-placing").tap()
    expect(page.locator("placing-page .origin")).to_contain_text("Notes changed since: 31.")
    expect(page.locator(".order .number")).to_have_text(["12", "7", "31", "40", "103", "58"])

    # The scribe wrote another order without knowing of this one: a dispute like any other, settled with one tap.
    phone.expect_saved("At the office")
    server.write("scribe", note("scribes", kind="order", by="scribe-a", numbers=["58", "7"], at=1764061200000))
    dispute = page.get_by_role("group", name="Disputed: Own order. Which one stands?")
    expect(dispute.get_by_role("button")).to_have_count(2)
    dispute.get_by_role("button", name=re.compile("^Own order 58 and 7")).tap()
    expect(dispute).to_have_count(0)
    expect(page.locator(".order .number")).to_have_text(["58", "7"])
    expect(page.locator(".unplaced")).to_contain_text("left out of your order")
