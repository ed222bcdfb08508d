"""Walking the line: the two passes of the ring, the two ways to go on, and the taps a horse takes."""

from __future__ import annotations

import re

from playwright.sync_api import expect

from tests.browser.phone import Phone
from tests.browser.served import Served, note
from tests.browser.walking import PASSES, TAPS_AT_MOST, tap_in_sight, walk_round

LINE = ["7", "12", "31", "40", "58", "103"]


def seen_of(server: Served, number: str) -> set[str]:
    """The views of a horse that hold a look."""
    looks = [each for each in server.notes_of("judge") if each["kind"] == "looked" and each["number"] == number]
    return {each["view"] for each in looks if each["done"]}


def test_a_class_of_eight_is_walked_horse_by_horse_in_fourteen_taps_each_and_no_scrolling(
    phone: Phone, server: Served
) -> None:
    phone.join()
    late = [note(f"e{each}", kind="entry", number=each, identification=None, now=None) for each in ("71", "88")]
    server.write("judge", *late)
    phone.open_class(view=None)
    expect(phone.horse("88")).to_be_attached()
    for number in [*LINE, "71", "88"]:
        phone.expect_horse(number)
        assert walk_round(phone) <= TAPS_AT_MOST
    # After the last horse's last view the placing opens.
    expect(phone.page.locator(".order > li")).to_have_count(8)
    phone.expect_saved("At the office")
    assert all(seen_of(server, number) == {"profile", "front", "rear", "head", "walk", "trot"} for number in LINE)


def test_coming_and_going_shows_the_way_of_going_first_and_each_mark_carries_its_own_view(
    phone: Phone, server: Served
) -> None:
    phone.join()
    phone.open_class(view=None)
    page = phone.page
    expect(phone.view("Coming and going")).to_have_attribute("aria-current", "true")
    expect(page.locator("trait-lines h2")).to_have_text(["At the walk", "From the front", "From the rear"])
    assert page.locator(".trait").count() == 8
    phone.end("feet swinging in (winging)").tap()
    phone.end("straight column of bone").tap()
    phone.end("hocks bowed out").tap()
    page.get_by_role("button", name=re.compile("more traits$")).tap()
    trot = page.get_by_role("button", name=re.compile("^straight, clean tracking, at the trot,"))
    trot.tap()
    expect(trot).to_have_attribute("aria-pressed", "true")
    expect(page.get_by_role("button", name=re.compile("^straight, clean tracking, at the walk,"))).to_have_attribute(
        "aria-pressed", "false"
    )
    phone.expect_saved("At the office")
    marks = [(each["trait"], each["view"]) for each in server.notes_of("judge") if each["kind"] == "mark"]
    assert marks == [
        ("winging", "walk"),
        ("column-of-bone", "front"),
        ("bowed-hocks", "rear"),
        ("tracking", "trot"),
    ]
    # What was marked coming and going stands on the horse in the standing view too, and undo leaves one where one is.
    phone.view("Front").tap()
    phone.expect_degree("straight column of bone", 1)
    phone.view("Coming and going").tap()
    page.locator("thumb-bar .undo").tap()
    expect(phone.view("Coming and going")).to_have_attribute("aria-current", "true")
    expect(trot).to_have_attribute("aria-pressed", "false")


def test_the_line_is_walked_by_views_and_going_on_notes_all_that_was_in_sight_as_looked_at(
    phone: Phone, server: Served
) -> None:
    phone.join()
    phone.open_class(view=None)
    for title in PASSES[:2]:
        expect(phone.view(title)).to_have_attribute("aria-current", "true")
        for number in LINE:
            phone.expect_horse(number)
            tap_in_sight(phone, phone.next)
    # After the last horse the line begins anew in the next pass.
    phone.expect_horse("7")
    expect(phone.view("Front")).to_have_attribute("aria-current", "true")
    expect(phone.view("Profile")).to_have_accessible_name("Profile, seen")
    expect(phone.view("Head")).to_have_accessible_name("Head")
    # The next horse is named by its number and the marks to know it by; the other way on keeps the horse.
    expect(phone.next).to_have_accessible_name("Next horse, 12, bay, star")
    expect(phone.next_view).to_have_accessible_name("Next view of 7: Rear")
    # Opening a view by hand says nothing of it.
    phone.view("Head").tap()
    phone.horse("12").tap()
    phone.expect_saved("At the office")
    for number in LINE:
        assert seen_of(server, number) == {"front", "rear", "walk", "trot", "profile"}
    looked = phone.page.get_by_role("button", name="Looked at, Coming and going")
    phone.view("Coming and going").tap()
    expect(looked).to_have_attribute("aria-pressed", "true")
    looked.tap()
    expect(looked).to_have_attribute("aria-pressed", "false")
    phone.expect_saved("At the office")
    taken_back = [each for each in server.notes_of("judge") if each["kind"] == "looked" and not each["done"]]
    assert {each["view"] for each in taken_back} == {"front", "rear", "walk", "trot"}


def in_line(phone: Phone) -> list[str]:
    return phone.page.locator("horse-line li .number").all_inner_texts()


def wait_until_kept(phone: Phone, field: str, value: object) -> None:
    """Until the phone's own database has this of the line: it is written behind the tap that says it."""
    for _ in range(1000):
        if any(isinstance(each, dict) and each.get(field) == value for each in phone.stored("places")):
            return
    raise AssertionError(f"{field} is not kept as {value}")


def open_line(phone: Phone, sheet: str) -> None:
    phone.page.get_by_role("button", name=re.compile("^The whole line: ")).tap()
    phone.page.get_by_role("button", name=sheet, exact=True).tap()


def test_the_line_stands_as_first_opened_and_then_as_the_judge_arranges_it_also_after_a_cold_start(
    phone: Phone, server: Served
) -> None:
    phone.join()
    phone.open_class(view=None)
    page = phone.page
    phone.type_number("40")
    # Nothing moves under the thumb, and the next horse is the one that stands next.
    assert in_line(phone) == LINE
    expect(phone.next).to_have_accessible_name(re.compile("^Next horse, 58"))
    page.get_by_role("button", name="All classes").tap()
    phone.open_class(view=None)
    assert in_line(phone) == ["40", "7", "12", "31", "58", "103"]
    phone.type_number("103")
    assert in_line(phone) == ["40", "7", "12", "31", "58", "103"]
    expect(phone.next).to_have_accessible_name("Next: 40, Profile")
    tap_in_sight(phone, phone.next)
    phone.expect_horse("40")
    assert in_line(phone) == ["40", "103", "7", "12", "31", "58"]
    for number in ("103", "7"):
        tap_in_sight(phone, phone.next)
        phone.expect_horse(number)
    page.get_by_role("button", name="Back to 103").tap()
    phone.expect_horse("103")

    open_line(phone, "Line-up")
    rows = page.locator("line-page ol b")
    as_opened = page.get_by_role("button", name="As first opened")
    expect(as_opened).to_be_disabled()
    up = page.get_by_role("button", name="31 up")
    up.focus()
    for _ in range(4):
        page.keyboard.press("Enter")  # the focus goes along with the horse
    expect(rows).to_have_text(["31", "40", "103", "7", "12", "58"])
    expect(page.get_by_role("button", name="31 down")).to_be_focused()
    expect(page.get_by_role("status").last).to_have_text("31 is 1st in line.")
    handle = page.locator("line-page ol > li").filter(has_text="58").locator(".handle").bounding_box()
    first = page.locator("line-page ol > li").first.bounding_box()
    assert handle is not None
    assert first is not None
    page.mouse.move(handle["x"] + 20, handle["y"] + 20)
    page.mouse.down()
    page.mouse.move(handle["x"] + 20, first["y"] + first["height"] * 1.8, steps=8)
    expect(rows).to_have_text(["31", "40", "58", "103", "7", "12"])
    page.mouse.move(handle["x"] + 20, first["y"] + 4, steps=4)
    page.mouse.up()
    expect(rows).to_have_text(["58", "31", "40", "103", "7", "12"])
    typed = page.get_by_label("Or typed, from the head of the line")
    typed.fill("12, 88")
    typed.press("Enter")
    expect(page.get_by_role("status").last).to_have_text("88 is not in this class. The line stays as it is.")
    expect(rows.first).to_have_text("58")
    typed.fill("12 7")
    typed.press("Enter")
    expect(rows).to_have_text(["12", "7", "58", "31", "40", "103"])
    wait_until_kept(phone, "arranged", ["12", "7", "58", "31", "40", "103"])

    phone.close()
    phone.cold_start()
    page = phone.page
    page.get_by_role("button", name="‹ Ring").tap()
    phone.expect_horse("103")
    assert in_line(phone) == ["12", "7", "58", "31", "40", "103"]
    # After the last horse the line begins anew with its own first.
    expect(phone.next).to_have_accessible_name("Next: 12, Front")
    open_line(phone, "Line-up")
    page.get_by_role("button", name="As first opened").tap()
    expect(page.locator("line-page ol b")).to_have_text(["40", "103", "7", "12", "31", "58"])
    assert [each for each in server.notes_of("judge") if each["kind"] != "looked"] == []


def test_the_line_at_a_glance_is_looked_at_with_one_tap_and_taken_back_with_one(phone: Phone, server: Served) -> None:
    phone.join()
    server.write("steward", note("g1", kind="presence", number="58", state="absent"))
    phone.open_class()
    phone.end("short, strong topline").tap()
    page = phone.page
    expect(page.get_by_role("button", name=re.compile("^The whole line: 1 of 5 seen, Profile"))).to_be_visible()
    open_line(phone, "Seen")
    cells = page.locator("line-page tbody tr").filter(has_text="sorrel").locator("td")
    assert cells.all_text_contents() == ["not seen", "not seen", "not seen", "not seen", "✓seen", "not seen"]
    expect(page.locator("line-page tbody tr").filter(has_text="58")).to_contain_text("absent")
    page.get_by_role("navigation", name="Views").get_by_role("button", name="Coming and going").tap()
    whole = page.get_by_role("button", name="Whole line looked at")
    tap_in_sight(phone, whole)
    expect(page.get_by_role("button", name="All looked at")).to_be_disabled()
    expect(page.get_by_role("columnheader", name="Trot")).to_contain_text("5/5")
    phone.expect_saved("At the office")
    present = [number for number in LINE if number != "58"]
    assert all(seen_of(server, number) == {"walk", "trot", "front", "rear"} for number in present)
    assert seen_of(server, "58") == set()
    tap_in_sight(phone, page.get_by_role("button", name="Undo whole line looked at, coming and going"))
    expect(page.get_by_role("columnheader", name="Trot")).to_contain_text("0/5")
    expect(whole).to_be_enabled()

    # The judge counts heads, and says who is here and who is not.
    page.get_by_role("button", name="Head count", exact=True).tap()
    said = page.locator("line-page .count")
    expect(said).to_have_text("The list says 5 present. How many do you count?")
    page.get_by_role("button", name="One more").tap()
    expect(said).to_have_text("You count 6; the list says 5 present: 1 horse more.")
    wait_until_kept(phone, "count", 6)
    phone.close()
    phone.cold_start()
    page = phone.page
    page.get_by_role("button", name="Head count", exact=True).tap()
    page.get_by_role("button", name="58 present").tap()
    expect(page.locator("line-page .count")).to_have_text("You count 6, as the list says.")
    phone.expect_saved("At the office")
    assert [each["state"] for each in server.notes_of("judge") if each["kind"] == "presence"] == ["absent", "present"]
    # From the line a horse opens in the view one is in.
    page.get_by_role("button", name="Seen", exact=True).tap()
    page.get_by_role("button", name="31 grey").tap()
    phone.expect_horse("31")
    expect(phone.view("Coming and going")).to_have_attribute("aria-current", "true")


def test_a_horse_noted_before_its_number_is_read_is_named_from_its_own_bar(phone: Phone, server: Served) -> None:
    phone.join()
    phone.open_class()
    page = phone.page

    def unread(number: str) -> None:
        page.get_by_role("button", name="No. type a number").tap()
        page.get_by_role("button", name="Number not read yet").tap()
        phone.expect_horse(number)
        phone.end("short, strong topline").tap()
        page.get_by_role("button", name="Give its number").tap()

    unread("T1")
    pad = page.get_by_role("dialog", name="The number of T1")
    for key in "66":
        pad.get_by_role("button", name=key, exact=True).tap()
    expect(pad.get_by_text("66 is not in this class. Look again, or it is entered so.")).to_be_visible()
    pad.get_by_role("button", name="T1 is 66").tap()
    phone.expect_horse("66")
    phone.expect_degree("short, strong topline", 1)
    expect(page.get_by_role("button", name="Give its number")).to_have_count(0)
    # T1 is spoken for. The next one turns out to be a horse of the list.
    unread("T2")
    pad = page.get_by_role("dialog", name="The number of T2")
    pad.get_by_label("T2 is really number").fill("12")
    expect(pad.get_by_text("bay, star. What is noted of both meets on one horse")).to_be_visible()
    pad.get_by_role("button", name="T2 is 12").tap()
    phone.expect_horse("12")
    phone.expect_degree("short, strong topline", 1)
    assert in_line(phone).count("12") == 1
    phone.expect_saved("At the office")
    with server.device("judge") as device:
        placing = device.get("/api/classes/c4/placing").json()
    assert (sorted(placing["placing"]), placing["strangers"]) == (["12", "66"], [])


def test_a_small_phone_shows_four_traits_and_all_ways_on(phone: Phone) -> None:
    phone.join()
    phone.page.set_viewport_size({"width": 320, "height": 568})
    phone.open_class()
    phone.next.tap()
    foot = phone.page.locator("thumb-bar").bounding_box()
    assert foot is not None
    shown = [each.bounding_box() for each in phone.page.locator(".trait").all()]
    assert sum(box is not None and box["y"] + box["height"] <= foot["y"] for box in shown) >= 4
    for button in phone.page.locator("thumb-bar button:visible, horse-line nav > button").all():
        tapped = button.bounding_box()
        assert tapped is not None
        assert min(tapped["width"], tapped["height"]) >= 48
    # The horse before stands beside the open one.
    tap_in_sight(phone, phone.horse("7"))
    phone.expect_horse("7")
