"""A whole invented show from an empty folder to its last result, played by browsers: one laptop and eight phones.

Twelve classes with 140 entries, two judges, three stewards, two trainees, an announcer. Servers die, phones lose the
network and are closed, a number is wrong, a horse is late, one goes lame, a judge corrects a card, another's phone is
left at home. At the end every card, call and result is what the play says, on the server and on every device, and the
same again from a backup put back elsewhere.
"""

from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Iterator
from contextlib import ExitStack
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, Playwright, expect

from nearside.engine.merging import merge
from tests.browser import invented
from tests.browser.invented import FAULT, JUDGES, MERIT, STEWARDS, TRAINEES, Played
from tests.browser.phone import Phone
from tests.browser.served import Served
from tests.browser.table import Table

POINTS_CLASS, SEPARATE_CLASS = 10, 11  # of the twelve, the two with both judges


class Day:
    """The stage: the server, the table, and a phone for each seat, by the seat's name."""

    def __init__(self, playwright: Playwright, folder: Path, stack: ExitStack) -> None:
        self.playwright = playwright
        self.folder = folder
        self.stack = stack
        self.server = Served(folder / "data", {})
        stack.callback(self.server.kill)
        self.table = Table(playwright, self.server)
        stack.callback(self.table.close)
        self.phones: dict[str, Phone] = {}
        self.classes = invented.play()
        self.ids: dict[str, str] = {}

    def id_of(self, played: Played) -> str:
        return self.ids[played.title]

    def phone(self, name: str) -> Phone:
        """The phone of a seat, joined by its code when it is first asked for."""
        if name not in self.phones:
            phone = Phone(self.playwright, self.folder / name, self.server)
            self.stack.callback(phone.close)
            self.phones[name] = phone
            phone.page.goto(f"{self.server.address}/#join={self.server.codes[name]}")
            expect(phone.page.get_by_text("Ready for the day: 12 classes, 140 numbers")).to_be_visible()
        return self.phones[name]


@pytest.fixture
def day(playwright: Playwright, tmp_path: Path) -> Iterator[Day]:
    with ExitStack() as stack:
        day = Day(playwright, tmp_path, stack)
        yield day
        problems = [*day.table.problems, *(problem for each in day.phones.values() for problem in each.problems)]
    assert problems == []


def open_the_show(day: Day) -> None:
    """From the code that the server printed to seats, classes and entries: all at the table."""
    page, table = day.table.page, day.table
    page.goto(f"{day.server.address}/office#open={day.server.opening_code}")
    page.get_by_label("Title of the show").fill(invented.TITLE)
    page.get_by_role("button", name="Open the show").click()
    expect(page.get_by_role("navigation", name="Pages of the table")).to_be_visible()
    table.open("Seats")
    seats = [("judge", each) for each in JUDGES] + [("steward", each) for each in STEWARDS]
    seats += [("trainee", each) for each in TRAINEES] + [("announcer", "At the microphone")]
    for role, name in seats:
        page.get_by_label("Role").select_option(role)
        page.get_by_label("Name, as others see it").fill(name)
        if role == "trainee":
            page.get_by_label("Shadows").select_option(label=JUDGES[TRAINEES.index(name)])
        table.press("^Add the seat")
        table.expect_done(f"{name} has a seat")
    table.open("Classes")
    for place, played in enumerate(day.classes):
        make_class(day, played, "points" if place == POINTS_CLASS else "separate")
    table.open("Entries")
    paste(day, invented.as_csv(day.classes))
    state = page.evaluate("fetch('/api/office').then((answer) => answer.json())")
    day.server.codes |= {each["name"]: each["code"] for each in state["seats"]}
    day.server.codes["office"] = next(each["code"] for each in state["seats"] if each["role"] == "office")
    day.ids = {each["title"]: each["id"] for each in state["classes"]}
    assert sum(len(each["entries"]) for each in state["classes"]) == 140


def make_class(day: Day, played: Played, method: str) -> None:
    """One class, by the form."""
    page = day.table.page
    form = page.locator("form[data-class=new]")
    form.get_by_label("Title").fill(played.title)
    form.get_by_label("Standard").select_option(played.standard)
    for name, chosen in (("sexes", played.sexes), ("ages", played.ages)):
        for box in form.locator(f"input[name={name}]").all():
            box.set_checked(box.get_attribute("value") in chosen)
    for box in form.locator("input[name=judges]").all():
        label = box.locator("xpath=..").inner_text().strip()
        box.set_checked(len(played.judges) == 1 and label in played.judges)
    form.get_by_label("Several judges make").select_option(method)
    if method == "points":
        form.locator("select[name=call]").first.select_option(label=JUDGES[0])
    form.get_by_role("checkbox", name=re.compile("^Trainees may study")).set_checked(True)
    form.get_by_role("button", name=re.compile("class")).click()
    expect(day.table.row(re.escape(played.title))).to_be_visible()


def paste(day: Day, text: str) -> None:
    """All entries in one piece, looked at before they are taken."""
    page = day.table.page
    page.locator("textarea").fill(text)
    page.get_by_role("button", name=re.compile("^Look at")).click()
    expect(page.get_by_text("140 rows in 12 classes: 140 new")).to_be_visible()
    page.get_by_role("button", name="Take all 140 rows").click()
    day.table.expect_done("140 rows taken")


def into_the_ring(day: Day, played: Played) -> None:
    """The running list: called to the gate, then in."""
    day.table.open("The day")
    title = re.escape(played.title)
    day.table.press(f"^Call to the gate: {title}")
    day.table.press(f"^Into the ring: {title}")
    expect(day.table.row(title)).to_contain_text("In the ring")


def open_class(phone: Phone, played: Played) -> None:
    page = phone.page
    if page.get_by_role("button", name="All classes").count():
        page.get_by_role("button", name="All classes").tap()
    page.get_by_role("button", name=re.compile(re.escape(played.title))).tap()


def check_in(phone: Phone, played: Played) -> None:
    """Every number of the class through the gate, one tap each; the absent one said so."""
    open_class(phone, played)
    page = phone.page
    for horse in played.horses:
        if horse.number == played.absent:
            page.get_by_role("button", name=f"{horse.number} absent", exact=True).tap()
        else:
            page.get_by_role("button", name=re.compile(f"^{horse.number}, .*: in the ring$")).tap()
    count = f"In the ring {len(played.present)} of {len(played.horses)}"
    expect(page.locator(".count")).to_contain_text(count)


def mark(phone: Phone, number: str, degree: int) -> None:
    phone.expect_horse(number)
    words = MERIT if degree > 0 else FAULT
    for _ in range(abs(degree)):
        phone.end(words).tap()
    phone.expect_degree(words, abs(degree))


def mark_all(phone: Phone, taps: dict[str, int], numbers: list[str]) -> None:
    """One horse after the other in profile, as they stand in line."""
    for number in numbers:
        mark(phone, number, taps[number])
        phone.next.tap()


def set_order(phone: Phone, order: list[str]) -> None:
    page = phone.page
    page.locator("thumb-bar .to-placing").tap()
    page.get_by_role("button", name="Arrange").tap()
    page.get_by_role("button", name="Type it").tap()
    page.get_by_label("Your order, best first").fill(" ".join(order))
    page.get_by_role("button", name="Set this order").tap()
    expect(page.locator("ol.own > li > button > b")).to_have_text(order)
    page.get_by_role("button", name="‹ Placing").tap()


def sign(phone: Phone, order: list[str]) -> None:
    page = phone.page
    page.get_by_role("button", name=re.compile("^Sign(ed)?$")).tap()
    page.get_by_role("button", name="Sign this card").tap()
    page.get_by_role("button", name=re.compile(f"^Yes, sign: {order[0]} first")).tap()
    expect(page.locator("card-page .digits b")).to_have_text(order)


def judge_class(day: Day, played: Played, judge: str) -> None:
    """All of a judge's work in one class, on the phone."""
    phone = day.phone(judge)
    open_class(phone, played)
    phone.view("Profile").tap()
    mark_all(phone, played.taps[judge], played.present)
    set_order(phone, played.orders[judge])
    sign(phone, played.orders[judge])


def take_back(phone: Phone, reason: str, initials: str) -> None:
    """The signature of the open class, with its reason and initials, from the signed card."""
    page = phone.page
    page.get_by_role("button", name="Take the signature back").tap()
    page.get_by_label("Why is it taken back?").fill(reason)
    page.get_by_label("Your initials").fill(initials)
    page.get_by_role("button", name="Take it back").tap()


def announce(day: Day, played: Played) -> None:
    day.table.open("The day")
    day.table.press(f"^Mark as announced: {re.escape(played.title)}")
    expect(day.table.row(re.escape(played.title))).to_contain_text("Announced")


# What happens, class by class. Each begins with all numbers through the gate.


def shadowed(day: Day, played: Played) -> None:
    """A trainee places the same class, sealed both ways until both have signed and the judge allows study."""
    (judge,) = played.judges
    trainee = day.phone(TRAINEES[JUDGES.index(judge)])
    open_class(trainee, played)
    trainee.view("Profile").tap()
    seen = played.present[:4]
    mark_all(trainee, dict.fromkeys(seen, 1), seen)
    judge_class(day, played, judge)
    set_order(trainee, played.present)
    assert cards_on(trainee) == {trainee_card(day, judge)}
    sign(trainee, played.present)
    trainee.expect_saved("At the office")
    page = day.phone(judge).page
    page.get_by_role("button", name="Slips for exhibitors, and study").tap()
    assert cards_on(trainee) == {trainee_card(day, judge)}
    page.get_by_role("button", name="Trainees may study this card").tap()
    expect(page.get_by_role("button", name="Trainees may study this card")).to_have_attribute("aria-pressed", "true")
    trainee.page.wait_for_function(NOTES_OF, arg=seat_of(day.server, judge))


def with_a_power_cut(day: Day, played: Played) -> None:
    """The server dies while the judge marks, the phone is closed; the card is signed out of reach of everything."""
    (judge,) = played.judges
    phone = day.phone(judge)
    open_class(phone, played)
    phone.view("Profile").tap()
    half = len(played.present) // 2
    mark_all(phone, played.taps[judge], played.present[:half])
    day.server.kill()
    mark(phone, played.present[half], played.taps[judge][played.present[half]])
    phone.close()
    phone.cold_start()
    phone.expect_horse(played.present[half])
    phone.next.tap()
    mark_all(phone, played.taps[judge], played.present[half + 1 :])
    set_order(phone, played.orders[judge])
    sign(phone, played.orders[judge])
    phone.expect_saved("Saved here")
    day.server.start()
    phone.expect_saved("At the office")


def with_a_wrong_number_and_a_late_horse(day: Day, played: Played) -> None:
    """The gate puts a number right, with a reason; the office enters a late horse; the judge has both at once."""
    (judge,) = played.judges
    gate, phone, table = (
        day.phone(STEWARDS[day.classes.index(played) % len(STEWARDS)]).page,
        day.phone(judge),
        day.table,
    )
    open_class(phone, played)
    wrong = played.present[2]
    gate.get_by_role("button", name=f"More about {wrong}", exact=True).tap()
    gate.get_by_role("button", name="Wrong number").tap()
    gate.get_by_label(f"What is noted of {wrong} belongs to number").fill("501")
    gate.get_by_label("Why is the number corrected?").fill("read upside down")
    gate.get_by_role("button", name=f"{wrong} is really 501").tap()
    expect(phone.horse("501")).to_be_visible()
    played.rename(wrong, "501")
    late = invented.Horse("502", "liver chestnut, no white", "Late Harvest", "I. Glover")
    table.page.goto(f"{day.server.address}/office#/entries/{day.id_of(played)}")
    for label, text in (("Number", "502"), ("Identification marks", late.identification), ("Horse", late.name)):
        table.page.get_by_label(label, exact=True).fill(text)
    table.page.get_by_label("Exhibitor", exact=True).fill(late.exhibitor)
    table.page.keyboard.press("Enter")
    table.expect_done("502 is entered")
    played.enter(late, judge, 2)
    gate.get_by_role("button", name=re.compile("^502, .*: in the ring$")).tap()
    expect(phone.horse("502")).to_be_visible()
    phone.view("Profile").tap()
    for number in played.present:
        phone.horse(number).tap()
        mark(phone, number, played.taps[judge][number])
    set_order(phone, played.orders[judge])
    sign(phone, played.orders[judge])


def corrected_after_it_was_announced(day: Day, played: Played) -> None:
    """The judge takes an announced card back with reason and initials and signs another order."""
    (judge,) = played.judges
    phone = day.phone(judge)
    judge_class(day, played, judge)
    phone.expect_saved("At the office")
    announce(day, played)
    take_back(phone, "second and first called the wrong way round", "EB")
    expect(day.table.row(re.escape(played.title))).to_contain_text("Being corrected")
    order = played.orders[judge]
    order[0], order[1] = order[1], order[0]
    open_class(phone, played)
    set_order(phone, order)
    sign(phone, order)
    expect(day.table.row(re.escape(played.title))).to_contain_text("Changed since it was announced")
    day.table.press(f"^Mark the correction as announced: {re.escape(played.title)}")


def with_lameness_calls(day: Day, played: Played) -> None:
    """The steward writes down what the judge says of one horse and the veterinarian of another; the judge rules."""
    (judge,) = played.judges
    gate, phone = day.phone(STEWARDS[day.classes.index(played) % len(STEWARDS)]).page, day.phone(judge)
    lame, lamer = played.orders[judge][3], played.orders[judge][4]
    call(gate, lame, "The judge says", re.compile("^There every time at the trot"))
    call(gate, lamer, "The veterinarian says", re.compile("^Plain at the walk"))
    open_class(phone, played)
    bar = phone.page.locator("call-bar button")
    expect(bar).to_contain_text("The veterinarian says: plain at the walk (grade 4)")
    bar.tap()
    phone.page.get_by_role("button", name="Excused").tap()
    phone.page.get_by_role("button", name=f"Excuse it: {lamer}").tap()
    phone.view("Profile").tap()
    mark_all(phone, played.taps[judge], played.present)
    order = played.orders[judge]
    order.remove(lamer)
    order.remove(lame)
    order.append(lame)
    set_order(phone, order)
    sign(phone, order)


def call(gate: Page, number: str, source: str, seen: re.Pattern[str]) -> None:
    gate.get_by_role("button", name=f"More about {number}", exact=True).tap()
    gate.get_by_role("button", name="Lameness call").tap()
    gate.get_by_role("button", name=source, exact=True).tap()
    gate.get_by_role("group", name=source).get_by_role("button", name=seen).tap()
    gate.get_by_role("button", name="‹ Gate").tap()


def on_paper(day: Day, played: Played) -> None:
    """The judge's phone lies at home: the office enters the card from paper."""
    (judge,) = played.judges
    page = day.table.page
    page.goto(f"{day.server.address}/office#/paper/{day.id_of(played)}")
    page.get_by_label("1st").fill(" ".join(played.orders[judge]))
    page.get_by_role("button", name="Put it there").click()
    page.get_by_role("button", name="Read it back").click()
    page.get_by_role("button", name=re.compile("^It is so")).click()
    expect(page.get_by_text(re.compile("^Entered: the card of"))).to_be_visible()
    played.taps[judge] = {}
    played.is_on_paper = True


def out_of_reach(day: Day, played: Played) -> None:
    """The judge's phone loses the network in the class and signs all the same."""
    (judge,) = played.judges
    phone = day.phone(judge)
    open_class(phone, played)
    phone.view("Profile").tap()
    phone.context.set_offline(True)
    mark_all(phone, played.taps[judge], played.present)
    set_order(phone, played.orders[judge])
    sign(phone, played.orders[judge])
    phone.expect_saved("Saved here")
    phone.context.set_offline(False)
    phone.expect_saved("At the office")


def with_a_strike(day: Day, played: Played) -> None:
    """The office strikes the second from the result with a reason; the card stays as it was signed."""
    (judge,) = played.judges
    judge_class(day, played, judge)
    day.phone(judge).expect_saved("At the office")
    second = played.orders[judge][1]
    table = day.table
    table.page.goto(f"{day.server.address}/office#/entries/{day.id_of(played)}")
    table.press(f"^{second}: change")
    table.page.get_by_placeholder("as not eligible").fill("not eligible for this class")
    table.press("^Strike from the result")
    expect(table.row("Struck from the result by the office: .*not eligible for this class")).to_be_visible()
    played.stricken.append(second)


def as_usual(day: Day, played: Played) -> None:
    for judge in played.judges:
        judge_class(day, played, judge)


def name_the_champion(day: Day) -> None:
    """The firsts of four classes come back; then the second of the champion's class for reserve."""
    table, page = day.table, day.phone(JUDGES[0]).page
    table.open("Championships")
    form = table.page.locator("section form").last
    form.get_by_label("Title").fill("Champion of the stock type")
    for played in day.classes[:4]:
        form.get_by_role("checkbox", name=played.title).check()
    form.get_by_role("button", name="Make the championship").click()
    table.expect_done("is made")
    page.get_by_role("button", name="All classes").tap()
    page.get_by_role("button", name="Champion and reserve").tap()
    firsts, seconds = zip(*(each.orders[JUDGES[0]][:2] for each in day.classes[:4]), strict=True)
    contenders = page.locator(".contender b")
    expect(contenders).to_have_text(list(firsts))
    page.locator(".contender").nth(1).tap()
    expect(contenders).to_have_text([firsts[0], seconds[1], *firsts[2:]])
    page.locator(".contender").nth(1).tap()
    page.get_by_role("button", name=f"Keep champion {firsts[1]}, reserve {seconds[1]}").tap()
    expect(page.locator(".named dd b")).to_have_text([firsts[1], seconds[1]])
    page.get_by_role("button", name="Back").tap()
    (told,) = asked(day.server, "At the microphone", "/api/results")["championships"]
    assert (told["champion"]["number"], told["reserve"]["number"]) == (firsts[1], seconds[1])


def expect_calls(day: Day) -> None:
    """The record of calls names who said what, for the office as for the judge; only the judge's has the ruling."""
    played = day.classes[8]
    (judge,) = played.judges
    order = played.orders[judge]
    (lamer,) = set(played.present) - set(order)
    lame = order[-1]
    for name, expected in (
        (judge, {lame: [3], lamer: [4]}),
        ("Ring", {lame: [3], lamer: [4]}),
        ("office", {lamer: [4]}),
    ):
        (told,) = asked(day.server, name, "/api/calls")["classes"]
        grades = {
            horse["number"]: [said["grade"] for call in horse["calls"] for said in call["said"]]
            for horse in told["horses"]
        }
        assert grades == expected, name
        rulings = [ruling["said"][-1]["outcome"] for horse in told["horses"] for ruling in horse["rulings"]]
        assert rulings == (["excused"] if name == judge else []), name


WHAT_HAPPENS = {
    0: shadowed,
    1: with_a_power_cut,
    2: with_a_wrong_number_and_a_late_horse,
    3: corrected_after_it_was_announced,
    4: shadowed,
    5: on_paper,
    6: out_of_reach,
    7: with_a_strike,
    8: with_lameness_calls,
}

# Whether the phone holds a note of a card, asked past the page's own code.
NOTES_OF = """(card) => new Promise((resolve) => {
    const request = indexedDB.open("nearside");
    request.onsuccess = () => {
        const all = request.result.transaction("notes").objectStore("notes").getAll();
        all.onsuccess = () => { request.result.close(); resolve(all.result.some(({ note }) => note.card === card)); };
    };
})"""


def cards_on(phone: Phone) -> set[str]:
    """The cards of which the phone holds marks."""
    return {each["note"]["card"] for each in phone.stored("notes") if each["note"]["kind"] == "mark"}


def trainee_card(day: Day, judge: str) -> str:
    return seat_of(day.server, TRAINEES[JUDGES.index(judge)])


def test_a_whole_show_is_played_and_comes_out_right_here_and_from_its_backup(day: Day, tmp_path: Path) -> None:
    open_the_show(day)
    for name in (*JUDGES, *STEWARDS, *TRAINEES):
        day.phone(name)
    for place, played in enumerate(day.classes):
        into_the_ring(day, played)
        check_in(day.phone(STEWARDS[place % len(STEWARDS)]), played)
        WHAT_HAPPENS.get(place, as_usual)(day, played)
    name_the_champion(day)
    expect_calls(day)
    for phone in day.phones.values():
        phone.expect_saved("At the office")
        assert phone.stored("outbox") == phone.stored("refused") == []
    expect_right(day, day.server)
    for name, phone in day.phones.items():
        there = {each["id"] for each in day.server.notes_of(name)}
        assert {each["note"]["id"] for each in phone.stored("notes")} == there, name
    before = all_that_is_told(day.server)

    command("backup", "--data", str(day.server.data), str(tmp_path / "evening.backup"))
    command("restore", str(tmp_path / "evening.backup"), "--data", str(tmp_path / "elsewhere"))
    elsewhere = Served(tmp_path / "elsewhere", day.server.codes)
    day.stack.callback(elsewhere.kill)
    expect_right(day, elsewhere)
    assert all_that_is_told(elsewhere) == before
    elsewhere.kill()
    command("verify", "--data", str(tmp_path / "elsewhere"))


def all_that_is_told(server: Served) -> dict[str, Any]:
    """By seat: every note, and the results and calls it is told of."""
    told: dict[str, Any] = {}
    for name in [*JUDGES, *STEWARDS, *TRAINEES, "At the microphone", "office"]:
        told[name] = sorted(server.notes_of(name), key=lambda each: str(each["id"]))
        told[f"{name}, results"] = asked(server, name, "/api/results")
        told[f"{name}, calls"] = asked(server, name, "/api/calls")
    return told


def command(*words: str) -> None:
    run = subprocess.run([sys.executable, "-m", "nearside", *words], capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stdout + run.stderr


def expect_right(day: Day, server: Served) -> None:
    """Every mark, signature and result on the server is the play's."""
    cards = {name: seat_of(server, name) for name in JUDGES}
    for played in day.classes:
        for judge in played.judges:
            with server.device(judge) as device:
                file = device.get(f"/api/classes/{day.id_of(played)}/file").json()
            merged = merge(file["entries"], file["notes"], cards[judge])
            slots = {tuple(slot["slot"]): slot["used"] for slot in merged["slots"]}
            seen = {str(used["number"]): used["degree"] for slot, used in slots.items() if slot[0] == "mark"}
            assert seen == played.taps[judge], played.title
            assert slots["sign", cards[judge]]["numbers"] == played.orders[judge], played.title
    results = asked(server, "At the microphone", "/api/results")
    for played, result in zip(day.classes, results["classes"], strict=True):
        expect_result(played, result)


def expect_result(played: Played, result: dict[str, Any]) -> None:
    """The result of a class is the order its judges signed, put together by the method of the class."""
    assert (result["title"], result["shown"]) == (played.title, len(played.present)), result
    assert [each["from_paper"] for each in result["judges"]] == [played.is_on_paper] * len(played.judges)
    names = {horse.number: (horse.identification, horse.name, horse.exhibitor) for horse in played.horses}
    if len(played.judges) == 1:
        told = {played.judges[0]: result["result"]}
        expected = played.orders
    elif result["method"] == "points":
        told = {"": result["result"]}
        expected = {"": invented.by_points(played.orders, JUDGES[0])}
    else:
        judges = {each["card"]: each["name"] for each in result["judges"]}
        told = {judges[card["judge"]]: card["result"] for card in result["cards"]}
        expected = played.orders
    assert told.keys() == expected.keys()
    for judge, order in expected.items():
        standing = [number for number in order if number not in played.stricken]
        assert [each["number"] for each in told[judge]] == standing
        assert [each["place"] for each in told[judge]] == list(range(1, len(standing) + 1))
        for each in told[judge]:
            assert (each["identification"], each["horse"], each["exhibitor"]) == names[each["number"]]


def seat_of(server: Served, name: str) -> str:
    """The card of a seat, by the seat's name."""
    return str(asked(server, name, "/api/day")["seat"]["card"])


def asked(server: Served, name: str, path: str) -> Any:
    """What the server answers a device of the seat."""
    with server.device(name) as device:
        return device.get(path).raise_for_status().json()
