"""Classes too large, too small, or judged on paper: moved, split, merged, combined, and cards entered at the table."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import expect

from tests.browser.served import CLASSES, Classes, Served, note, open_show
from tests.browser.table import Table
from tests.js.asking import asked

LINK = """
import { linkOf, signedCard } from "./state/cardlink.js";
answer((card) => linkOf(signedCard(card), "https://ringside.show.example"));
"""
SHOW: Classes = [
    *CLASSES,
    ("c6", "Stock type mares, three", "stock-type", ["mare"], [("60", "bay"), ("61", "grey")]),
    ("c7", "Stock type geldings, aged", "stock-type", ["gelding"], [("70", "dun"), ("71", "black")]),
]


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Served]:
    served = Served(tmp_path / "data", open_show(tmp_path / "data", SHOW))
    yield served
    served.kill()


def entries(server: Served, role: str = "judge") -> dict[str, list[str]]:
    """The numbers of each class, as a seat is told them."""
    with server.device(role) as device:
        classes = device.get("/api/day").json()["classes"]
    return {each["title"]: [entry["number"] for entry in each["entries"]] for each in classes}


def test_classes_are_moved_split_merged_and_combined_once_what_will_happen_is_said(
    table: Table, server: Served
) -> None:
    table.sit()
    page = table.page
    table.open("Classes")
    page.get_by_role("link", name="Stock type mares, aged", exact=True).click()
    some, whole = page.locator(".some"), page.locator(".whole")
    expect(some.get_by_role("button", name="Move them")).to_be_disabled()
    some.get_by_label("12", exact=True).check()
    some.get_by_role("combobox", name="To the class").select_option(label="Stock type mares, three")
    some.get_by_role("button", name="Move them").click()
    asked_first = some.get_by_role("group", name="Move them")
    expect(asked_first).to_contain_text(
        "12 leaves “Stock type mares, aged” for “Stock type mares, three”, on every phone"
    )
    asked_first.get_by_role("button", name="No, leave it").click()
    assert entries(server)["Stock type mares, three"] == ["60", "61"]
    some.get_by_role("button", name="Move them").click()
    asked_first.get_by_role("button", name="Yes, move 12").click()
    table.expect_done("12 moved to “Stock type mares, three”.")
    assert entries(server)["Stock type mares, three"] == ["60", "61", "12"]

    for number in ("58", "103"):
        some.get_by_label(number, exact=True).check()
    some.get_by_label("Or to a new class called").fill("Stock type mares, section B")
    some.get_by_role("button", name="Split them off").click()
    expect(some).to_contain_text("58 and 103 go into a new class “Stock type mares, section B” right behind this one")
    expect(some).to_contain_text("3 horses stay here")
    some.get_by_role("button", name="Yes, split 58 and 103 off").click()
    table.expect_done("58 and 103 are in “Stock type mares, section B” now.")
    assert list(entries(server))[:2] == ["Stock type mares, aged", "Stock type mares, section B"]

    # Another standard is refused where it was asked, in the server's words.
    whole.get_by_role("combobox", name="Too few?").select_option(label="Hunter type geldings, three and over")
    whole.get_by_role("button", name="Merge it").click()
    whole.get_by_role("button", name="Yes, merge it").click()
    expect(whole.locator(".trouble")).to_contain_text("Not done: The two classes have different standards")
    whole.get_by_role("button", name="No, leave it").click()
    whole.get_by_role("combobox", name="Too few?").select_option(label="Stock type mares, section B")
    whole.get_by_role("button", name="Merge it").click()
    expect(whole).to_contain_text("3 horses of “Stock type mares, aged” come into “Stock type mares, section B”")
    whole.get_by_role("button", name="Yes, merge it").click()
    expect(page.get_by_text("It is no longer judged by itself")).to_be_visible()
    assert "Stock type mares, aged" not in entries(server)

    # Judged together, placed apart.
    table.open("Classes")
    page.get_by_role("link", name="Stock type mares, three", exact=True).click()
    whole.get_by_role("checkbox", name="Stock type geldings, aged").check()
    whole.get_by_label("Called").fill("Stock type, three and geldings")
    whole.get_by_role("button", name="Judge them together").click()
    expect(whole).to_contain_text("each of “Stock type mares, three” and “Stock type geldings, aged” gets a placing")
    whole.get_by_role("button", name="Yes, judge them together").click()
    expect(page.get_by_text("It is no longer judged by itself")).to_be_visible()
    page.get_by_role("main").get_by_role("link", name="Stock type, three and geldings").click()
    page.get_by_role("main").get_by_role("link", name="Entries").click()
    expect(table.row("^70")).to_contain_text("Stock type geldings, aged")
    expect(page.get_by_role("combobox", name="Placed in")).to_be_visible()
    assert sorted(entries(server)["Stock type, three and geldings"]) == ["12", "60", "61", "70", "71"]


def test_a_paper_card_is_read_back_before_it_counts_and_then_the_class_is_announced(
    table: Table, server: Served
) -> None:
    table.sit()
    page = table.page
    table.open("Paper card")
    page.get_by_role("combobox", name="Class").select_option(label="Hunter type geldings, three and over")
    first = page.get_by_role("textbox", name="1st")
    first.fill("23")
    page.keyboard.press("Enter")
    table.expect_trouble("23 is not entered in this class.")
    first.fill("22 21")
    page.keyboard.press("Enter")
    expect(page.locator(".order > li")).to_have_text([re.compile("1st.*22.*chestnut"), re.compile("2nd.*21.*bay")])
    expect(page.get_by_text("Every horse that is not absent is in the order.")).to_be_visible()
    table.press("^Read it back")
    heading = page.get_by_role("heading", name="Read back: Hunter type geldings, three and over, card of Judge A")
    expect(heading).to_be_focused()
    with server.device("office") as device:
        assert device.get("/api/results").json()["classes"] == []
    table.press("^It is so: enter the card of Judge A")
    table.expect_done("Entered: the card of Judge A")
    expect(page.get_by_text("This card is signed, from paper, entered by the office")).to_contain_text("22 and 21")

    table.open("The day")
    hunters = table.row("Hunter type geldings")
    expect(hunters).to_contain_text("Signed")
    table.press("^Mark as announced: Hunter type geldings")
    expect(hunters).to_contain_text(re.compile("Announced, .*"))
    with page.expect_download() as download:
        hunters.get_by_role("link", name="Result of Hunter type geldings").click()
    assert b"22" in Path(download.value.path()).read_bytes()
    with server.device("office") as device:
        (result,) = device.get("/api/results").json()["classes"]
    assert [each["number"] for each in result["result"]] == ["22", "21"]
    assert result["judges"][0]["from_paper"] is True

    # A card signed on a phone that has no network comes as its link; one that was lost a part of does not.
    with server.device("office") as device:
        show = device.get("/api/office").json()["show"]["id"]
    card = {"show": show, "class": "c6", "title": "Stock type mares, three", "card": "judge-a", "order": ["61", "60"]}
    (link,) = asked(LINK, [{**card, "unplaced": [], "signed_at": 1764061200000}])
    table.open("Paper card")
    page.get_by_label("Link of a signed card").fill(link.replace("61.60", "60.61"))
    page.keyboard.press("Enter")
    table.expect_trouble("Something was lost or changed on the way")
    page.get_by_label("Link of a signed card").fill(link)
    page.keyboard.press("Enter")
    expect(page.get_by_role("combobox", name="Class")).to_have_value("c6")
    expect(page.locator(".order > li")).to_have_text([re.compile("1st.*61.*grey"), re.compile("2nd.*60.*bay")])
    table.press("^Read it back")
    table.press("^It is so: enter the card of Judge A")
    expect(page.get_by_text("This card is signed, from paper, entered by the office")).to_contain_text("61 and 60")


def test_a_mistyped_paper_card_is_taken_back_with_a_reason_and_entered_anew(table: Table, server: Served) -> None:
    with server.device("office") as device:
        sees = {"role": "trainee", "name": "Learner", "judge": "judge-a"}
        seats = device.post("/api/office/seat", json={"id": None, **sees}).json()["seats"]
        show = device.get("/api/office").json()["show"]["id"]
    (trainee,) = (each["id"] for each in seats if each["role"] == "trainee")
    table.sit()
    page = table.page
    table.go("paper/c7")
    first = page.get_by_role("textbox", name="1st")

    def enter(order: str) -> None:
        first.fill(order)
        page.keyboard.press("Enter")
        table.press("^Read it back")
        table.press("^It is so: enter the card of Judge A")
        table.expect_done("Entered: the card of Judge A")

    # The card of somebody who judges nothing is nobody's card, and leaves the order alone.
    first.fill("71")
    page.keyboard.press("Enter")
    card = {"show": show, "class": "c7", "title": "Stock type geldings, aged", "card": trainee, "order": ["70", "71"]}
    (link,) = asked(LINK, [{**card, "unplaced": [], "signed_at": 1764061200000}])
    page.get_by_label("Link of a signed card").fill(link)
    page.keyboard.press("Enter")
    table.expect_trouble("That is the card of Learner, who does not judge “Stock type geldings, aged”.")
    expect(page.locator(".order > li")).to_have_text([re.compile("1st.*71")])

    # The page stays with the class it was opened for; another class, and the order begins anew.
    with server.device("office") as device:
        device.post("/api/office/stage", json={"class": "c6", "stage": "ring"})
    table.open("Paper card")
    which = page.get_by_role("combobox", name="Class")
    expect(which).to_have_value("c6")
    page.get_by_role("textbox", name="1st").fill("60")
    page.keyboard.press("Enter")
    with server.device("office") as device:
        device.post("/api/office/stage", json={"class": "c6", "stage": "gate"})
        device.post("/api/office/stage", json={"class": "c7", "stage": "ring"})
        device.post("/api/office/show", json={"title": "Changed meanwhile"})
    expect(page.get_by_text("Changed meanwhile")).to_be_visible()
    expect(which).to_have_value("c6")
    which.select_option(value="c7")
    table.expect_done("The order put in so far is cleared: it was for the card of Judge A, “Stock type mares, three”.")
    expect(page.locator(".order > li")).to_have_count(0)

    # Mistyped, taken back with a reason and initials, entered anew.
    enter("70 71")
    expect(page.get_by_text("This card is signed, from paper, entered by the office")).to_contain_text("70 and 71")
    expect(first).to_have_count(0)
    table.press("^Take the paper card back")
    table.expect_trouble("Type the reason it is taken back.")
    page.get_by_label("Reason").fill("two numbers turned round")
    table.press("^Take the paper card back")
    table.expect_trouble("Type your initials.")
    page.get_by_label("Your initials").fill("o.c.")
    table.press("^Take the paper card back")
    table.expect_done("Taken back: the paper card of Judge A.")
    table.open("The day")
    row = table.row("Stock type geldings, aged")
    expect(row).to_contain_text("Being corrected")
    expect(row.locator(".steps button")).to_have_count(0)
    expect(page.get_by_text("Being corrected: Stock type geldings, aged.")).to_be_visible()
    row.get_by_role("link", name="Paper card for Stock type geldings, aged").click()
    enter("71 70")
    expect(page.get_by_text("This card is signed, from paper, entered by the office")).to_contain_text("71 and 70")
    with server.device("office") as device:
        (result,) = device.get("/api/results").json()["classes"]
    assert [each["number"] for each in result["result"]] == ["71", "70"]
    assert [each.get("reason") for each in server.notes_of("office") if each["kind"] == "sign"] == [
        None,
        "two numbers turned round (initials OC)",
        None,
    ]

    # What the judge signed, the judge takes back.
    server.write("judge", note("s6", kind="sign", numbers=["60", "61"], **{"class": "c6"}))
    which.select_option(value="c6")
    expect(page.get_by_text("Judge A takes the signature back on the signed card")).to_contain_text("60 and 61")
    expect(first).to_have_count(0)
    expect(page.get_by_role("button", name="Take the paper card back")).to_have_count(0)
    table.go("paper/c99")
    expect(page.get_by_text("No such class")).to_be_visible()
    expect(first).to_have_count(0)


def test_a_class_that_goes_under_the_hand_is_said_to_be_gone_and_what_was_typed_is_kept(
    table: Table, server: Served
) -> None:
    table.sit()
    page = table.page
    table.open("Entries")
    expect(page.get_by_role("heading", name="Entries of Stock type mares, aged")).to_be_visible()
    page.get_by_label("Number", exact=True).fill("19")
    page.get_by_label("Pasted rows").fill("20, bay\n21, grey")
    with server.device("office") as device:
        # In another order first: the page stays with its class.
        order = {"ids": ["c7", "c6", "c5", "c4"]}
        device.post("/api/office/classes-order", json=order)
        device.post("/api/office/show", json={"title": "In another order"})
        expect(page.get_by_text("In another order")).to_be_visible()
        expect(page.get_by_role("heading", name="Entries of Stock type mares, aged")).to_be_visible()
        device.post("/api/office/class-gone", json={"id": "c4"})
    expect(page.get_by_text("No such class: it was taken away.")).to_be_visible()
    expect(page.get_by_label("What was being typed here")).to_have_value("19\n20, bay\n21, grey")
    page.get_by_role("main").get_by_role("link", name="Stock type geldings, aged").click()
    expect(page.get_by_role("heading", name="Entries of Stock type geldings, aged")).to_be_visible()


def test_of_a_panel_s_paper_cards_none_is_out_before_all_are_in_and_a_device_can_be_turned_away(
    table: Table, server: Served
) -> None:
    table.sit()
    page = table.page
    table.open("Seats")
    page.get_by_label("Name, as others see it").fill("Judge B")
    page.keyboard.press("Enter")
    table.expect_done("Judge B has a seat")
    table.expect_done("no judge, so Judge B judges there too: tick who judges under Classes")
    table.open("Paper card")

    def enter(judge: str, order: str) -> None:
        page.get_by_role("combobox", name="Class").select_option(value="c7")
        page.get_by_role("combobox", name="Card of").select_option(label=judge)
        page.get_by_role("textbox", name="1st").fill(order)
        page.keyboard.press("Enter")
        table.press("^Read it back")
        table.press(f"^It is so: enter the card of {judge}")
        table.expect_done(f"Entered: the card of {judge}")

    enter("Judge A", "71 70")
    expect(page.get_by_text("The office entered this card from paper")).to_contain_text("71 and 70")
    with server.device("steward") as device:
        assert device.get("/api/results").json()["classes"] == []
    enter("Judge B", "70 71")
    expect(page.get_by_text("This card is signed, from paper, entered by the office")).to_contain_text("70 and 71")
    table.open("The day")
    expect(table.row("Stock type geldings")).to_contain_text("2 cards signed")

    with server.device("steward") as steward:
        table.open("Devices")
        expect(table.row("Steward")).to_have_count(2)
        row = table.row("Steward").last
        row.get_by_role("button", name="Turn away").click()
        expect(row).to_contain_text("can no longer read or write in the show")
        row.get_by_role("button", name="Yes, turn it away").click()
        expect(page.get_by_text(re.compile("turned away"))).to_be_visible()
        assert steward.get("/api/day").status_code == 401

    # Its own place at the table can be taken as well; then it says so at the door.
    with server.device("office") as office:
        for each in office.get("/api/office").json()["devices"]:
            if each["seat"] == "office" and not each["revoked"]:
                office.post(f"/api/devices/{each['id']}/revoke", json={})
    expect(page.get_by_label("Code of the office")).to_be_visible()
    table.expect_trouble("What was typed into the show stays there.")
