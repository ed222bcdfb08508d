"""A show run from its table: what the office does there is on the phones at the ringside at once."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any, cast

from playwright.sync_api import Route, expect

from nearside.show.verifying import verify_file
from tests.browser.phone import Phone
from tests.browser.served import Served, note
from tests.browser.table import Table


def test_the_running_list_leads_each_class_from_the_gate_to_the_announcer(table: Table, server: Served) -> None:
    table.sit()
    page = table.page
    first, second = table.row("Stock type mares"), table.row("Hunter type geldings")
    expect(first).to_contain_text("6 horses")
    expect(first).to_contain_text("To come")
    table.press("^Call to the gate: Stock type mares")
    expect(first).to_contain_text("At the gate")
    table.press("^Into the ring: Stock type mares")
    expect(first).to_contain_text("In the ring")
    expect(page.get_by_text("In the ring: Stock type mares, aged. 1 class to come.")).to_be_visible()
    table.press("^Back to the gate")
    expect(first).to_contain_text("At the gate")

    # The order of the day, by buttons, for everybody.
    table.press("^Later: Stock type mares")
    expect(page.locator(".running > li").first).to_contain_text("Hunter type geldings")
    with server.device("judge") as device:
        assert [each["id"] for each in device.get("/api/day").json()["classes"]] == ["c5", "c4"]
    expect(second).to_contain_text("2 horses")

    # What the gate says is told at once.
    server.write("steward", {**_presence("7", "absent"), "id": "g1"})
    expect(first).to_contain_text("5 horses · absent 7")

    # A server that is away is said, with what is shown meanwhile; nothing is taken for done.
    server.kill()
    table.press("^Into the ring: Stock type mares")
    table.expect_trouble("Look whether it was done")
    expect(page.get_by_text(re.compile("Not reached: .*It is tried again by itself"))).to_be_visible()
    table.open("Entries")
    page.get_by_label("Number", exact=True).fill("23")
    page.get_by_label("Identification marks").fill("roan")
    page.keyboard.press("Enter")
    table.expect_trouble("Look whether it was done")
    server.start()
    expect(page.get_by_text("Up to date")).to_be_visible()
    expect(page.get_by_label("Identification marks")).to_have_value("roan")
    page.keyboard.press("Enter")
    table.expect_done("23 is entered in “Hunter type geldings, three and over”.")
    table.open("The day")
    expect(first).to_contain_text("At the gate")


def test_entries_typed_late_scratched_and_put_right_are_on_the_judge_s_phone_at_once(
    table: Table, phone: Phone, server: Served
) -> None:
    phone.join()
    phone.open_class()
    table.sit()
    table.open("Entries")
    page = table.page
    # By the keyboard alone: Enter enters the horse, and the next number can follow.
    page.get_by_label("Number", exact=True).fill("201")
    page.get_by_label("Identification marks").fill("chestnut, flaxen mane")
    page.keyboard.press("Tab")
    page.keyboard.type("Windmill")
    page.keyboard.press("Enter")
    table.expect_done("201 is entered")
    expect(page.get_by_label("Number", exact=True)).to_be_focused()
    page.keyboard.type("12")
    page.keyboard.press("Enter")
    table.expect_trouble("12 is entered already")
    expect(page.get_by_label("Number", exact=True)).to_have_value("12")
    phone.horse("201").tap()
    expect(phone.page.locator("horse-bar")).to_contain_text("chestnut, flaxen mane")
    with server.device("judge") as device:
        assert "Windmill" not in device.get("/api/day").text

    table.press("^31: absent")
    table.expect_done("31 is absent.")
    expect(table.row("31")).to_contain_text("absent")
    expect(phone.horse("31")).to_have_accessible_name(re.compile("absent"))
    table.press("^31: here after all")
    table.expect_done("31 is here after all.")
    expect(phone.horse("31")).not_to_have_accessible_name(re.compile("absent"))

    # A wrong number, put right with its reason, is another horse's on no device.
    table.press("^40: change")
    page.get_by_label("Right number").fill("12")
    page.get_by_label("Reason").first.fill("misread at the gate")
    table.press("^Correct the number")
    table.expect_trouble("12 is another horse of this class")
    page.get_by_label("Right number").fill("41")
    table.press("^Correct the number")
    expect(table.row("was 40")).to_contain_text("41")
    table.expect_done("40 is now 41, on every phone and card.")
    expect(phone.horse("41")).to_be_visible()
    expect(phone.horse("40")).to_have_count(0)

    # Struck from the result, and back; a reason is asked for.
    table.press("^7: change")
    table.press("^Strike from the result")
    table.expect_trouble("A strike needs a reason")
    page.get_by_placeholder("as not eligible").fill("papers not in order")
    table.press("^Strike from the result")
    expect(table.row(r"Struck from the result by the office: 7 \(papers not in order\)")).to_be_visible()
    table.expect_done("7 is struck from the result.")
    table.press("^Take the strike back")
    table.expect_done("The strike is taken back: 7 has its place again.")
    expect(table.row(r"Struck from the result by the office: 7 \(papers not in order\)")).to_have_count(0)


def test_nothing_written_at_the_table_counts_as_done_unless_the_server_names_it(table: Table) -> None:
    table.sit()
    table.open("Entries")
    page = table.page
    notes = re.compile("/api/notes$")
    refused = "number: not here: tell the office"
    for answer, said in (
        (lambda _: [], "The server did not say that it keeps this. Look whether it was done before you try again."),
        (lambda _: [{"id": "another", "status": "kept", "reason": None}], "The server did not say that it keeps this."),
        (lambda sent: [{"id": sent, "status": "refused", "reason": refused}], "Not here: tell the office"),
        (lambda sent: [{"id": sent, "status": "kept", "reason": "late: it changes nothing"}], "It changes nothing"),
        (None, "Look whether it was done before you try again."),
    ):
        page.route(notes, _answering(answer))
        table.press("^31: absent")
        table.expect_trouble(said)
        page.unroute(notes)
    table.press("^31: absent")
    expect(table.row("31")).to_contain_text("absent")
    expect(page.locator(".trouble")).to_have_count(0)


def test_a_seat_without_a_page_at_the_table_is_left_only_when_it_was_asked_once_more(
    table: Table, server: Served
) -> None:
    page = table.page
    page.goto(f"{server.address}/office")
    page.get_by_label("Code of the office").fill(server.codes["judge"])
    page.keyboard.press("Enter")
    expect(page.get_by_text("This device sits as Judge A (judge)")).to_be_visible()
    table.press("^Give that seat up")
    expect(page.get_by_role("group", name="Give that seat up")).to_contain_text(
        "This browser gives up the seat of Judge A."
    )
    table.press("^No, leave it")
    table.press("^Give that seat up")
    server.kill()
    table.press("^Yes, give it up")
    expect(page.get_by_role("status").filter(has_text="Not done: ")).to_be_visible()
    expect(page.get_by_text("This device sits as Judge A (judge)")).to_be_visible()
    server.start()
    table.press("^Yes, give it up")
    expect(page.get_by_label("Code of the office")).to_be_visible()


def test_the_copy_of_the_show_holds_the_judges_notes_sealed_and_proves_itself(
    table: Table, server: Served, tmp_path: Path
) -> None:
    server.write("judge", note("m1", kind="looked", number="7", view="profile", done=True))
    server.write("judge", note("s1", kind="sign", numbers=["7", "12"]))
    table.sit()
    with table.page.expect_download() as download:
        table.page.get_by_role("link", name="Copy of the show").click()
    download.value.save_as(tmp_path / "copy.json")
    found = verify_file(tmp_path / "copy.json")
    assert (found.is_whole, found.classes["c4"].notes, len(found.classes["c4"].spans)) == (True, 2, 1)
    assert "looked" not in (tmp_path / "copy.json").read_text()


def _presence(number: str, state: str) -> dict[str, object]:
    return {
        "class": "c4",
        "kind": "presence",
        "number": number,
        "state": state,
        "by": "steward",
        "at": 1764061200000,
        "replaces": [],
    }


def _answering(receipts: Callable[[str], list[dict[str, Any]]] | None) -> Callable[[Route], None]:
    """A server that answers the only note sent with these receipts, or nothing at all."""

    def answer(route: Route) -> None:
        if receipts is None:
            route.abort()
        else:
            (sent,) = cast("dict[str, Any]", route.request.post_data_json)["notes"]
            route.fulfill(json={"receipts": receipts(sent["id"])})

    return answer
