"""Lameness calls: three sources that are never mixed, live on the judge's phone, and the judge's ruling in two taps."""

from __future__ import annotations

import re
from typing import Any

from playwright.sync_api import Page, expect

from tests.browser.phone import Phone, linked
from tests.browser.served import Served
from tests.browser.test_changes import change
from tests.browser.test_gate import open_gate
from tests.browser.test_live import WATCH_NEWS

WAITING = linked("""async () => {
    const { session } = await import("/state/session.js");
    const { openCalls } = await import("/state/calls.js");
    return openCalls(session.card).length;
}""")
ASK, VETERINARIAN, JUDGE = "I ask the judge to look again", "The veterinarian says", "The judge says"
TROT, WALK = re.compile("^There every time at the trot"), re.compile("^Plain at the walk")


def say(page: Page, source: str, seen: Any) -> None:
    page.get_by_role("button", name=source, exact=True).tap()
    page.get_by_role("group", name=source).get_by_role("button", name=seen).tap()


def open_call(page: Page, number: str) -> None:
    page.get_by_role("button", name=f"More about {number}").tap()
    page.get_by_role("button", name="Lameness call").tap()
    expect(page.locator("call-page .horse")).to_contain_text(number)


def calls(server: Served, role: str) -> list[dict[str, Any]]:
    return [each for each in server.notes_of(role) if each["kind"] == "lameness"]


def test_a_call_waits_in_the_ring_without_hiding_the_marks_and_is_ruled_on_with_two_taps(
    phone: Phone, other: Phone, server: Served
) -> None:
    gate, judge = open_gate(phone), other.page
    other.join()
    other.open_class()
    other.horse("7").tap()
    other.end("short, strong topline").tap()
    mark = judge.locator(".trait").first.bounding_box()
    judge.evaluate(WATCH_NEWS)
    open_call(gate, "12")
    expect(gate.locator("call-page footer .caution")).to_contain_text("no diagnosis")
    expect(gate.locator("call-page .stop")).to_contain_text("Stop the horse first")
    say(gate, ASK, re.compile("^Look again"))
    bar = judge.locator("call-bar button")
    expect(bar).to_contain_text("The steward asks to look again")
    assert judge.locator(".trait").first.bounding_box() == mark, "the marks moved under the thumb"
    assert judge.get_by_role("dialog").count() == 0
    judge.wait_for_function("() => news.some((each) => each.startsWith('12. The steward asks to look again'))")
    # Seen, and no ruling: it waits no more, and not again when only its words are added to.
    bar.tap()
    judge.get_by_role("button", name="Seen, no ruling now").tap()
    expect(judge.locator("ring-page")).to_be_visible()
    expect(bar).to_have_count(0)
    gate.get_by_text("Add how it was seen").tap()
    gate.get_by_role("button", name="Left fore").tap()
    phone.expect_saved("At the office")
    other.horse("12").tap()
    expect(judge.locator("horse-bar .word-on")).to_contain_text("left fore")
    assert judge.evaluate(WAITING) == 0  # the bar would come once the thumb rests
    # The veterinarian's word comes in its place, and is never put away without a ruling.
    say(gate, VETERINARIAN, WALK)
    expect(gate.get_by_text("The judge is asked for a ruling.")).to_be_visible()
    expect(bar).to_contain_text("The veterinarian says: plain at the walk (grade 4)")
    expect(bar).to_contain_text("Your ruling is asked for.")
    gate.get_by_role("button", name=ASK).tap()
    expect(gate.get_by_text("You wrote down the veterinarian's word")).to_be_visible()
    bar.tap()
    expect(judge.get_by_role("button", name="Seen, no ruling now")).to_have_count(0)
    # What one is about to rule on stays on the card: excused comes first.
    assert judge.locator(".pick button").all_inner_texts()[0] == "Excused"
    judge.get_by_role("button", name="Excused").tap()
    judge.get_by_label("Reason (needed)").fill("plainly lame, sent out")
    judge.get_by_role("button", name="Disqualified").tap()
    expect(judge.get_by_label("Reason (needed)")).to_have_value("plainly lame, sent out")
    judge.get_by_label("Reason (needed)").fill("")
    judge.get_by_role("button", name="Excused").tap()
    judge.get_by_role("button", name="Excuse it: 12").tap()
    expect(judge.locator("ring-page")).to_be_visible()
    other.expect_said("^12: excused$")
    expect(bar).to_have_count(0)
    other.expect_saved("At the office")
    (ruling,) = (each for each in server.notes_of("judge") if each["kind"] == "ruling")
    assert (ruling["outcome"], ruling["reason"]) == ("excused", "lame: plain at the walk")
    asked, worded, told = calls(server, "judge")
    assert [each["observer"] for each in (asked, worded, told)] == ["steward", "steward", "veterinarian"]
    assert (worded["limb"], worded["replaces"], told["replaces"]) == ("left fore", [asked["id"]], [worded["id"]])


def test_what_the_judge_says_stands_on_that_card_and_the_gate_takes_back_only_its_own(
    phone: Phone, other: Phone, server: Served
) -> None:
    gate, judge = open_gate(phone), other.page
    other.join()
    other.open_class()
    open_call(gate, "40")
    say(gate, JUDGE, TROT)
    expect(judge.locator("call-bar button")).to_contain_text(
        "Written down for your card: there every time at the trot (grade 3)"
    )
    phone.expect_saved("At the office")
    (call,) = calls(server, "judge")
    assert (call["card"], call["by"], call.get("observer")) == ("judge-a", "steward", None)
    # Nobody is named who did not say it, and each is kept in the list of the class with who and when.
    gate.get_by_role("button", name="‹ Gate").tap()
    gate.get_by_role("button", name="Calls 1").tap()
    expect(gate.locator(".call-list li")).to_contain_text("40Judge A says: there every time at the trot (grade 3)")
    # Looked again, and changed; then taken back by Undo, out of reach of the server.
    gate.get_by_role("button", name="Gate", exact=True).tap()
    open_call(gate, "40")
    gate.get_by_role("button", name=JUDGE, exact=True).tap()
    gate.get_by_role("button", name="The whole scale").tap()
    gate.get_by_role("button", name="Hard to see and not there every time").tap()
    expect(gate.locator(".call-list li").nth(1)).to_contain_text("(changed since)")
    expect(judge.locator("call-bar button")).to_contain_text("grade 1")
    phone.expect_saved("At the office")
    server.kill()
    gate.get_by_role("button", name=re.compile("^Undo")).tap()
    gate.get_by_role("button", name=re.compile("^Undo")).tap()
    phone.expect_saved("Saved here, 2 to send")
    server.start()
    expect(judge.locator("call-bar button")).to_have_count(0)
    phone.expect_saved("At the office")
    assert [(each["card"], each["grade"]) for each in calls(server, "judge")] == [
        ("judge-a", grade) for grade in (3, 1, 3, None)
    ]
    assert phone.stored("refused") == []


def test_an_open_call_is_a_point_before_signing(phone: Phone, server: Served) -> None:
    gate = open_gate(phone)
    open_call(gate, "58")
    say(gate, ASK, WALK)
    phone.expect_saved("At the office")
    phone.page.goto(f"{server.address}/#join={server.codes['judge']}")
    phone.page.get_by_role("button", name="Join with this code").tap()
    expect(phone.page.get_by_text(re.compile("^Ready for the day"))).to_be_visible()
    phone.page.evaluate("() => { location.hash = '#/sign/c4'; }")
    point = phone.page.get_by_role("listitem").filter(has_text="58: The steward asks to look again")
    expect(point).to_contain_text("Your ruling is asked for.")
    point.get_by_role("button").tap()
    # By keys alone: the outcome, and the ruling.
    last = phone.page.get_by_role("button", name="Last by rule")
    last.focus()
    phone.page.keyboard.press("Enter")
    expect(last).to_have_attribute("aria-pressed", "true")
    phone.page.get_by_role("button", name="Place it last: 58").focus()
    phone.page.keyboard.press("Enter")
    expect(phone.page.locator("sign-page .points")).not_to_contain_text("58: The steward asks")


def test_of_several_judges_the_gate_says_whose_word_it_is_and_no_other_judge_reads_it(
    phone: Phone, other: Phone, server: Served
) -> None:
    gate, judge = open_gate(phone), other.page
    other.join()
    other.open_class()
    with server.device("office") as office:
        change(office, "seat", id=None, role="judge", name="Judge East", judge=None)
    open_call(gate, "31")
    sources = ["I ask the judge to look again", "The veterinarian says", "Judge A says", "Judge East says"]
    expect(gate.locator(".sources button")).to_have_text(sources)
    say(gate, "Judge East says", WALK)
    expect(gate.locator(".call-list li")).to_contain_text("Judge East says: plain at the walk (grade 4)")
    say(gate, "Judge A says", TROT)
    expect(gate.locator(".call-list li")).to_have_count(2)
    # One judge's call is none of the other's business, nor of the other's phone.
    expect(judge.locator("call-bar button")).to_contain_text("31Written down for your card: there every time")
    phone.expect_saved("At the office")
    other.expect_saved("At the office")
    (own,) = (each["note"] for each in other.stored("notes"))
    assert (own["card"], own["grade"]) == ("judge-a", 3)
