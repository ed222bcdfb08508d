"""The commonest error of the trade, the wrong number: moved or swapped in one, undone in one, or refused."""

from __future__ import annotations

import re
from typing import Any, cast

import pytest
from playwright.sync_api import Locator, expect

from nearside.engine.merging import KINDS, is_empty, merge
from nearside.engine.shapes import Note
from tests.browser.phone import Phone
from tests.browser.served import Served, note

Held = dict[tuple[str, ...], list[Any]]

OF_12: list[dict[str, Any]] = [
    {"kind": "mark", "number": "12", "trait": "topline", "view": "profile", "degree": 2},
    {"kind": "mark", "number": "12", "trait": "cow-hocked", "view": "rear", "degree": -1},
    {"kind": "looked", "number": "12", "view": "profile", "done": True},
    {"kind": "looked", "number": "12", "view": "rear", "done": True},
    {"kind": "remark", "number": "12", "text": "wire scar", "tag": "blemish"},
    {"kind": "ruling", "number": "12", "outcome": "last", "reason": None},
    {"kind": "lameness", "number": "12", "grade": 2},
    {"kind": "over", "pair": ["12", "31"], "winner": "31"},
    {"kind": "over", "pair": ["12", "40"], "winner": "12"},
]
OF_40: list[dict[str, Any]] = [
    {"kind": "mark", "number": "40", "trait": "topline", "view": "profile", "degree": -3},
    {"kind": "mark", "number": "40", "trait": "croup", "view": "profile", "degree": 1},
    {"kind": "looked", "number": "40", "view": "profile", "done": True},
]
# Others' words on 12 stay with 12.
OF_OTHERS: list[tuple[str, dict[str, Any]]] = [
    ("steward", {"kind": "lameness", "card": None, "observer": "steward", "number": "12", "grade": 1}),
    ("steward", {"kind": "entry", "number": "12", "identification": "bay, star and snip", "now": None}),
]
CHANGED = {"12": "40", "40": "12"}


def write(server: Served, notes: list[dict[str, Any]], role: str = "judge", prefix: str = "n") -> None:
    server.write(role, *(note(f"{prefix}{place}", **each) for place, each in enumerate(notes)))


def held(server: Served) -> Held:
    """What stands on the card, by slot, as the server's engine merges it."""
    merged = merge([], cast("list[Note]", server.notes_of("judge")), "judge-a")
    assert merged["disputes"] == []
    return {
        tuple(slot["slot"]): [slot["used"].get(field) for field in KINDS[slot["used"]["kind"]].value]
        for slot in merged["slots"]
        if not is_empty(slot["used"])
    }


def renumbered(before: Held, exchange: dict[str, str]) -> Held:
    """The same with numbers exchanged wherever the card speaks of a horse."""

    def new(value: Any) -> Any:
        return exchange.get(value, value) if isinstance(value, str) else value

    after: Held = {}
    for slot, value in before.items():
        if "judge-a" not in slot:
            after[slot] = value
            continue
        kind, card, *rest = slot
        rest = rest if kind == "remark" else [new(each) for each in rest]
        rest = sorted(rest, key=int) if kind == "over" else rest
        after[(kind, card, *rest)] = [new(each) for each in value]
    return after


def pad_of(phone: Phone, number: str) -> Locator:
    phone.horse(number).tap()
    phone.expect_horse(number)
    phone.page.get_by_role("button", name=f"Note on {number}").tap()
    pad = phone.page.get_by_role("dialog", name=f"More about {number}")
    pad.get_by_role("button", name="Wrong number").tap()
    expect(pad.get_by_label(re.compile("belongs to number"))).to_be_focused()  # two taps, then the number
    return pad


def undo(phone: Phone) -> None:
    phone.page.locator("thumb-bar .undo").tap()


@pytest.fixture
def noted(phone: Phone, server: Served) -> Phone:
    write(server, OF_12)
    for place, (role, each) in enumerate(OF_OTHERS):
        server.write(role, note(f"o{place}", **each) | {"by": role})
    phone.join()
    phone.open_class()
    return phone


def test_all_of_a_card_on_one_number_moves_to_another_in_one_and_is_undone_in_one(noted: Phone, server: Served) -> None:
    server.write("judge", note("c1", kind="over", pair=["58", "12"], winner="58"))
    phone, before = noted, held(server)
    pad = pad_of(phone, "12")
    phone.page.keyboard.type("58")
    expect(pad.locator("wrong-number").get_by_role("status")).to_have_text(
        "12 holds 2 marks, 2 looks, 1 remark, 3 direct calls, 1 ruling and 1 lameness call; "
        "58, buckskin, black points, holds 1 direct call."
    )
    pad.get_by_role("button", name="Move it to 58").tap()
    phone.expect_horse("58")
    phone.expect_degree("short, strong topline", 2)
    phone.expect_said("^2 marks, 2 looks, 1 remark, .* moved from 12 to 58. The call between 12 and 58 is taken back.$")
    phone.expect_saved("At the office")
    after = renumbered(before, {"12": "58"})
    del after["over", "judge-a", "58", "58"]  # no horse stands over itself
    assert held(server) == after
    phone.horse("12").tap()
    phone.expect_degree("short, strong topline", 0)
    undo(phone)
    phone.expect_horse("12")
    phone.expect_degree("short, strong topline", 2)
    phone.expect_saved("At the office")
    assert held(server) == before
    expect(phone.page.locator("thumb-bar .undo")).to_be_disabled()


def test_all_of_a_card_on_two_numbers_is_swapped_in_one_and_undone_in_one_after_a_cold_start(
    noted: Phone, server: Served
) -> None:
    write(server, OF_40, prefix="m")
    phone, before = noted, held(server)
    phone.horse("40").tap()
    phone.expect_degree("long, weak topline", 3)
    pad = pad_of(phone, "12")
    phone.page.keyboard.type("40")
    expect(pad.get_by_role("button", name="Move it to 40")).to_be_disabled()
    expect(pad.get_by_text("Both hold topline in profile: moving would lose one of the two.")).to_be_visible()
    pad.get_by_role("button", name="Swap 12 and 40").tap()
    phone.expect_horse("12")
    phone.expect_degree("long, weak topline", 3)
    phone.expect_saved("At the office")
    assert held(server) == renumbered(before, CHANGED)
    phone.close()
    phone.cold_start()
    phone.expect_horse("12")
    undo(phone)
    phone.expect_degree("short, strong topline", 2)
    phone.expect_saved("At the office")
    assert held(server) == before


def test_one_view_alone_moves_and_what_both_hold_alike_is_no_hindrance(noted: Phone, server: Served) -> None:
    write(server, [{"kind": "looked", "number": "40", "view": "rear", "done": True}], prefix="m")
    phone, before = noted, held(server)
    phone.view("Rear").tap()
    pad = pad_of(phone, "12")
    phone.page.keyboard.type("40")
    pad.get_by_role("button", name="Rear only").tap()
    expect(pad.locator("wrong-number").get_by_role("status")).to_contain_text(
        "12 holds 1 mark and 1 look from the rear; 40, brown, holds 1 look"
    )
    pad.get_by_role("button", name="Move it to 40").tap()
    phone.expect_horse("40")
    phone.expect_degree("cow hocks", 1)
    phone.expect_saved("At the office")
    after = dict(before)
    after["mark", "judge-a", "40", "cow-hocked", "rear"] = after.pop(("mark", "judge-a", "12", "cow-hocked", "rear"))
    del after["looked", "judge-a", "12", "rear"]
    assert held(server) == after


def test_what_has_no_place_to_go_is_refused_with_the_reason_and_nothing_is_written(
    noted: Phone, server: Served
) -> None:
    server.write("steward", note("g1", kind="presence", number="7", state="absent"))
    server.write("scribe", note("s1", kind="mark", number="103", trait="croup", view="profile", degree=1))
    server.write("judge", note("s2", kind="mark", number="103", trait="croup", view="profile", degree=-1))
    phone, count = noted, len(server.notes_of("judge"))
    expect(phone.horse("103")).to_have_attribute("aria-label", re.compile("disputed"))
    pad = pad_of(phone, "12")
    field = pad.get_by_label(re.compile("belongs to number"))
    moving, swapping = (pad.get_by_role("button", name=re.compile(f"^{each}")) for each in ("Move it", "Swap"))
    field.fill("12")
    expect(pad.locator("wrong-number").get_by_role("status")).to_have_text("12 is this horse.")
    expect(moving).to_have_count(0)
    field.fill("99")
    expect(pad.locator("wrong-number").get_by_role("status")).to_have_text("99 is not in this class.")
    expect(moving).to_have_count(0)
    for number, why in (("7", "7 is absent: say first"), ("103", "Two devices differ about croup in profile")):
        field.fill(number)
        expect(moving).to_be_disabled()
        expect(swapping).to_be_disabled()
        expect(pad.get_by_text(re.compile(f"^{why}")).first).to_be_visible()
    pad.get_by_role("button", name="Done").tap()
    pad = pad_of(phone, "58")
    phone.page.keyboard.type("31")
    expect(pad.get_by_text("Nothing is noted of 58.").first).to_be_visible()
    expect(pad.get_by_role("button", name="Move it")).to_be_disabled()
    pad.get_by_role("button", name="Done").tap()
    # Away from an absent horse it may go: it was noted of another.
    server.write("steward", note("g2", kind="presence", number="12", state="absent"))
    expect(phone.horse("12")).to_have_attribute("aria-label", "12, absent")
    pad = pad_of(phone, "12")
    phone.page.keyboard.type("31")
    expect(pad.get_by_role("button", name="Swap")).to_be_disabled()
    expect(pad.get_by_text("Both hold")).to_have_count(0)
    assert len(server.notes_of("judge")) == count + 1
    server.write("judge", note("x1", kind="sign", numbers=["12", "31"]))
    expect(pad.get_by_text(re.compile("this card is shut. To change it, take")).first).to_be_visible()


def test_an_undo_of_a_move_says_how_much_another_device_changed_since(noted: Phone, server: Served) -> None:
    phone = noted
    pad_of(phone, "12")
    phone.page.keyboard.type("58")
    phone.page.get_by_role("button", name="Move it to 58").tap()
    phone.expect_degree("short, strong topline", 2)
    phone.expect_saved("At the office")
    (moved,) = (
        n for n in server.notes_of("judge") if n["kind"] == "mark" and n["number"] == "58" and n["trait"] == "topline"
    )
    server.write(
        "scribe",
        note("s1", kind="mark", number="58", trait="topline", view="profile", degree=3, replaces=[moved["id"]]),
    )
    phone.expect_degree("short, strong topline", 3)
    undo(phone)
    phone.expect_horse("12")
    phone.expect_degree("short, strong topline", 2)
    phone.expect_said("^Taken back: .*; 1 of 17 notes was changed since on another device, and left")
    phone.horse("58").tap()
    phone.expect_degree("short, strong topline", 3)
