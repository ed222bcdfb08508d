"""Marks as a thumb gives them: one tap one degree, more taps more, one that takes back; each answered in words."""

from __future__ import annotations

import re

from playwright.sync_api import Locator, expect

from tests.browser.phone import Phone, linked
from tests.browser.served import Served, note

TOPLINE = "short, strong topline"
WEAK = "long, weak topline"
CALF_KNEES = "calf knees (back at the knee)"

ADD_QUICK = linked("""async (words) => {
    const { setQuick } = await import("/state/quick.js");
    await Promise.all(words.map((each) => setQuick(each, true)));
}""")
FELT = "window.felt = []; navigator.vibrate = (pattern) => felt.push(pattern);"


def test_a_mark_of_any_degree_is_taken_back_with_one_tap_and_one_tap_too_many_loses_nothing(phone: Phone) -> None:
    phone.before_the_page(FELT)
    phone.join()
    phone.open_class()
    expect(phone.page.get_by_role("button", name=re.compile("^Take back"))).to_have_count(0)
    for taps, said in ((1, "slight"), (2, "clear"), (3, "marked")):
        for _ in range(taps):
            phone.end(TOPLINE).tap()
        phone.expect_said(f"^7: {TOPLINE}, {said}$")
        knob = phone.take_back(TOPLINE)
        box = knob.bounding_box()
        assert box is not None
        assert min(box["width"], box["height"]) >= 48
        knob.tap()
        phone.expect_degree(TOPLINE, 0)
        phone.expect_said("^7: no mark on topline$")
        expect(knob).to_have_count(0)
    assert phone.page.evaluate("felt.length") == 9  # each tap is felt once
    phone.end(CALF_KNEES).tap()
    phone.expect_said(r"^7: calf knees \(back at the knee\), slight\. A serious fault\.$")
    for _ in range(4):
        phone.end(CALF_KNEES).tap()
    phone.expect_degree(CALF_KNEES, 3)
    phone.expect_said(r"^7: calf knees \(back at the knee\), marked, is the most")
    phone.page.locator("thumb-bar .undo").tap()
    phone.expect_degree(CALF_KNEES, 2)
    phone.expect_said("^Taken back: ")
    felt = phone.page.evaluate("felt.length")
    phone.page.evaluate(
        linked("""async () => (await import("/state/settings.js")).changeSettings({ vibrates: false })""")
    )
    phone.take_back(CALF_KNEES).tap()  # answered in words, and no more
    phone.expect_said("^7: no mark on back at the knee$")
    assert phone.page.evaluate("felt.length") == felt


def test_a_mark_is_given_and_taken_back_by_keyboard_and_answered_on_a_device_that_cannot_vibrate(
    phone: Phone,
) -> None:
    phone.before_the_page("Object.defineProperty(Navigator.prototype, 'vibrate', { value: undefined });")
    phone.join()
    phone.open_class()
    phone.end(WEAK).focus()
    for _ in range(2):
        phone.page.keyboard.press("Enter")
    phone.expect_degree(WEAK, 2)
    phone.page.keyboard.press("Tab")
    expect(phone.take_back(WEAK)).to_be_focused()
    phone.page.keyboard.press("Space")
    phone.expect_degree(WEAK, 0)
    phone.expect_said("^7: no mark on topline$")
    expect(phone.end(WEAK)).to_be_focused()  # not lost with the knob


def test_whatever_two_devices_differ_on_is_shown_where_it_stands_and_settled_there_with_one_tap(
    phone: Phone, server: Served
) -> None:
    server.write(
        "judge",
        note("j1", kind="mark", number="7", trait="stifle", view="rear", degree=1),
        note("j2", kind="ruling", number="7", outcome="last", reason=None),
        note("j3", kind="lameness", number="7", grade=1),
        note("j4", kind="over", pair=["7", "12"], winner="7"),
        note("j5", kind="presence", number="12", state="present"),
        note("j6", kind="remark", number="7", text="scar", tag="blemish"),
        note("j7", kind="entry", number="31", identification="grey, star", now=None),
    )
    server.write(
        "scribe",
        note("s1", kind="mark", number="7", trait="stifle", view="rear", degree=-3),
        note("s2", kind="ruling", number="7", outcome="excused", reason="unruly"),
        note("s3", kind="lameness", number="7", grade=3),
        note("s4", kind="over", pair=["12", "7"], winner="12"),
        note("s5", kind="presence", number="12", state="absent"),
        note("s6", kind="remark", number="7", text="scar, off fore", tag="blemish", about="j6"),
        note("s7", kind="entry", number="31", identification="grey, snip", now=None),
    )
    phone.join()
    phone.open_class()
    page = phone.page

    def settle(name: str, *, ours: str, theirs: str) -> None:
        box = page.get_by_role("group", name=f"Disputed: {name}")
        expect(box.get_by_role("button", name=re.compile(f"^{ours}.*your seat, another device.*09:00"))).to_be_visible()
        value = box.get_by_role("button", name=re.compile(f"^{theirs}.*Scribe A.*09:00"))
        value.tap()
        expect(box).to_have_count(0)

    phone.expect_horse("7")
    settle("Ruling", ours="Last", theirs="Excused: unruly")
    expect(page.get_by_text("Excused: unruly", exact=True)).to_be_visible()
    settle("Lameness call", ours="Lameness grade 1", theirs="Lameness grade 3")
    settle("Remark", ours="Blemish: scar", theirs="Blemish: scar, off fore")
    settle("Direct call", ours="7 over 12", theirs="12 over 7")
    page.get_by_role("button", name="A mark is disputed from the rear").tap()
    settle(
        "Width through the stifle from the rear",
        ours="Good width through the stifle, slight",
        theirs="Narrow stifle, marked",
    )
    phone.horse("12").tap()
    settle("Presence", ours="Present", theirs="Absent")
    phone.horse("31").tap()
    settle("Entry", ours="31 entered: grey, star", theirs="31 entered: grey, snip")
    phone.expect_saved("At the office")
    with server.device("judge") as device:
        assert device.get("/api/classes/c4/placing").json()["disputes"] == []


def test_a_settled_dispute_opened_again_says_whose_each_value_was_and_may_be_settled_the_other_way(
    phone: Phone, server: Served
) -> None:
    phone.join()
    phone.open_class()
    phone.end(TOPLINE).tap()
    phone.expect_saved("At the office")
    server.write("scribe", note("s1", kind="mark", number="7", trait="topline", view="profile", degree=-1))
    dispute = phone.page.get_by_role("group", name="Disputed: Topline")
    mine = dispute.get_by_role("button", name=re.compile(f"^{TOPLINE}, slight.*this phone", re.I))
    theirs = dispute.get_by_role("button", name=re.compile(f"^{WEAK}, slight.*Scribe A", re.I))
    for value in (theirs, mine):  # opened again more than once
        value.tap()
        expect(dispute).to_have_count(0)
        phone.page.locator("thumb-bar .undo").tap()
        phone.expect_said("^Taken back: settled: .*Both values stand, disputed again")
        expect(mine).to_be_visible()
        expect(theirs).to_be_visible()
    phone.expect_saved("At the office")
    with server.device("judge") as device:
        assert len(device.get("/api/classes/c4/placing").json()["disputes"]) == 1
    mine.tap()
    phone.expect_degree(TOPLINE, 1)
    # A mark given anew where another device's stood before is one's own, not that device's.
    phone.end(WEAK).tap()
    phone.expect_degree(WEAK, 1)
    phone.expect_saved("At the office")
    server.write("scribe", note("s2", kind="mark", number="7", trait="topline", view="profile", degree=3))
    expect(dispute.get_by_role("button", name=re.compile(f"^{WEAK}, slight.*this phone", re.I))).to_be_visible()


def test_ones_own_quick_words_are_added_given_with_a_tap_kept_over_a_cold_start_and_removed(
    phone: Phone, server: Served
) -> None:
    phone.join()
    phone.open_class()

    def pad() -> Locator:
        phone.page.get_by_role("button", name="Note on 7").tap()
        return phone.page.get_by_role("dialog", name="More about 7")

    open_pad = pad()
    quick = open_pad.get_by_role("group", name="Quick words")
    expect(quick).to_have_count(0)
    field = open_pad.get_by_label("Remark", exact=True)
    expect(field).to_have_attribute("autocapitalize", "sentences")
    expect(field).to_have_accessible_description(re.compile("microphone"))
    for words in ("stands square", "walks out well"):
        field.fill(f" {words} ")
        open_pad.get_by_role("button", name="Add to my quick words").tap()
        expect(quick.get_by_role("button", name=words, exact=True)).to_be_visible()
        expect(open_pad.get_by_role("button", name="Add to my quick words")).to_have_count(0)  # there already
    field.fill("so much that no thumb would find it again among the rest of the list")
    expect(open_pad.get_by_role("button", name="Add to my quick words")).to_have_count(0)
    expect(open_pad.get_by_text("Quick words have at most 60 letters.")).to_be_visible()
    field.fill("")
    for words in ("walks out well", "stands square"):
        quick.get_by_role("button", name=words, exact=True).tap()
    expect(field).to_have_value("walks out well, stands square")
    open_pad.get_by_role("button", name="Keep the remark").tap()
    expect(open_pad.get_by_role("listitem")).to_contain_text("walks out well, stands square")
    expect(open_pad.get_by_role("status")).to_have_text("7: remark, walks out well, stands square")
    phone.expect_saved("At the office")
    (remark,) = (each for each in server.notes_of("judge") if each["kind"] == "remark")
    assert (remark["text"], remark["tag"]) == ("walks out well, stands square", None)
    phone.close()

    phone.cold_start()
    phone.expect_horse("7")
    # Before the list was read, what is added goes to what is in it, and what is in it is not taken out.
    phone.page.evaluate(ADD_QUICK, ["moves straight", "walks out well"])
    open_pad = pad()
    quick = open_pad.get_by_role("group", name="Quick words")
    quick.get_by_role("button", name="Change list").tap()
    quick.get_by_role("button", name="Remove the quick words stands square").tap()
    quick.get_by_role("button", name="Change list").tap()
    expect(quick.get_by_role("button")).to_have_text(["walks out well", "moves straight", "Change list"])
    assert ["walks out well", "moves straight"] in phone.stored("keep")
    phone.page.evaluate(ADD_QUICK, [f"word {count}" for count in range(22)])
    open_pad.get_by_label("Remark", exact=True).fill("one more")
    expect(open_pad.get_by_text("The list of quick words is full, with 24: change it first.")).to_be_visible()
    expect(open_pad.get_by_role("button", name="Add to my quick words")).to_have_count(0)
