"""Judgement without a signal: placing, looks, direct calls, how firm a pair is, and the reasons, on the phone alone."""

from __future__ import annotations

import re
from itertools import pairwise
from pathlib import Path
from typing import Any

from playwright.sync_api import Page, expect

from nearside.engine.oral import oral_reasons, spoken_order
from nearside.engine.placing import place
from nearside.engine.turning import turning_steps
from nearside.show.classfile import checked_class_file, read_class_file
from nearside.show.standards import words
from nearside.show.strict_json import canonical
from tests.browser.phone import Phone, linked
from tests.browser.served import Served, note

MARKS = [
    ("7", "Profile", [(2, "short, strong topline"), (1, "long, sloping shoulder")]),
    ("12", "Profile", [(3, "short, strong topline")]),
    ("31", "Profile", [(1, "long, weak topline")]),
    ("40", "Profile", [(1, "short, steep croup")]),
    ("7", "Front", [(1, "offset (bench) knees")]),
    ("12", "Front", [(1, "straight column of bone")]),
]

PLACED = linked("""async () => {
  const { suggestion } = await import("/state/placing.js");
  const { canonical } = await import("/lib/canonical.js");
  const { placing, isCurrent } = suggestion("c4");
  return isCurrent ? canonical(placing) : null;
}""")
FILE = linked("""async () => {
  const { session } = await import("/state/session.js");
  const card = session.notebook.card("c4");
  return JSON.parse(JSON.stringify({ ...card.file, class: { ...card.file.class, standard: card.standard } }));
}""")


def mark_all(phone: Phone) -> None:
    for number, view, taps in MARKS:
        phone.view(view).tap()
        phone.horse(number).tap()
        phone.expect_horse(number)
        for count, said in taps:
            for _ in range(count):
                phone.end(said).tap()
            phone.expect_degree(said, count)


def placed(page: Page) -> str:
    """The phone's placing as canonical JSON, once it is worked out."""
    page.wait_for_function(f"async () => (await ({PLACED})()) !== null")
    found: str = page.evaluate(PLACED)
    return found


def class_file(page: Page) -> tuple[Any, Any]:
    """The class as the phone holds it, checked as a file would be."""
    file = page.evaluate(FILE)
    file["class"].pop("entries", None)
    for each in file["notes"]:
        each.pop("class", None)
    return checked_class_file({"format": "nearside-class/1", **file})


def to_placing(phone: Phone) -> None:
    phone.page.locator("thumb-bar .to-placing").tap()
    expect(phone.page.locator(".order > li").first).to_be_visible()


def seeded(phone: Phone, server: Served) -> None:
    """A class with marks of another device on the phone, and the placing open, the server gone."""
    notes = [
        note(f"s{i}", kind="mark", number=number, trait=trait, view="profile", degree=degree)
        for i, (number, trait, degree) in enumerate(
            [
                ("7", "topline", 2),
                ("12", "topline", 3),
                ("12", "sickle-hocked", -1),
                ("31", "topline", 1),
                ("31", "quarter", 2),
                ("40", "croup", -1),
            ]
        )
    ]
    server.write("judge", *notes)
    phone.join()
    phone.open_class()
    phone.expect_horse("7")
    phone.expect_degree("short, strong topline", 2)
    server.kill()
    to_placing(phone)


def test_with_the_server_dead_from_the_first_mark_on_the_phone_places_looks_and_speaks_as_the_server_would(
    phone: Phone, server: Served
) -> None:
    phone.join()
    phone.open_class()
    server.kill()
    mark_all(phone)
    to_placing(phone)
    page = phone.page
    expect(page.locator("placing-page .origin")).to_contain_text("worked out here")
    alone = placed(page)
    file, standard = class_file(page)
    by_engine = place(file, standard, words())
    assert alone == canonical(by_engine)
    assert [each.inner_text() for each in page.locator(".order .number").all()] == by_engine["placing"]
    expect(page.locator(".looks > button:not(.more-looks)")).to_have_count(3)
    with page.expect_download() as handed:
        page.get_by_role("link", name="Class file").tap()
    assert handed.value.suggested_filename == "mill-meadow-open-show-c4-judge-a.json"
    handed_file, its_standard = read_class_file(Path(handed.value.path()).read_bytes())
    assert canonical(place(handed_file, its_standard, words())) == alone
    page.locator("placing-page footer").get_by_role("button", name="Reasons").tap()
    reasons = oral_reasons(file, standard, words(), by_engine, spoken_order(by_engine)[:4])
    expect(page.locator(".spoken > li")).to_have_text([each["text"] for each in reasons["statements"]])

    server.start()
    phone.expect_saved("At the office")
    with server.device("judge") as device:
        assert canonical(device.get("/api/classes/c4/placing").json()) == placed(page) == alone


def test_a_tap_never_works_the_placing_out_itself(phone: Phone) -> None:
    phone.join()
    phone.open_class()
    end = phone.end("short, strong topline")
    expect(end).to_be_visible()
    is_current = end.evaluate(
        linked("""async (end) => {
            const { suggestion } = await import("/state/placing.js");
            end.click();
            return suggestion("c4").isCurrent;
        }""")
    )
    assert is_current is False
    assert '"placing":["7"]' in placed(phone.page)


def test_two_horses_are_compared_marked_and_called_and_a_call_is_taken_back(phone: Phone, server: Served) -> None:
    seeded(phone, server)
    page = phone.page
    page.locator(".pair > button").first.tap()
    page.get_by_role("button", name="Compare").tap()
    left, right = page.get_by_label("Horse on the left"), page.get_by_label("Horse on the right")
    assert {left.input_value(), right.input_value()} == {"12", "7"}
    left.select_option("31")
    right.select_option("40")
    page.get_by_role("button", name=re.compile("^40: short, strong topline")).tap()
    expect(page.get_by_role("button", name=re.compile("^40: short, strong topline"))).to_have_attribute(
        "aria-label", re.compile("marked 1 of 3$")
    )
    call = page.get_by_role("group", name="Direct call").get_by_role("button", name="40 over 31")
    call.press("Enter")  # by keyboard
    expect(call).to_have_attribute("aria-pressed", "true")
    page.get_by_role("button", name="Placing").tap()
    order = [each.inner_text() for each in page.locator(".order .number").all()]
    assert order.index("40") + 1 == order.index("31")
    expect(page.get_by_text("40 over 31 by direct call", exact=True)).to_be_visible()
    page.go_back()
    call.tap()
    expect(call).to_have_attribute("aria-pressed", "false")
    page.get_by_role("button", name="Undo").tap()
    expect(call).to_have_attribute("aria-pressed", "true")


def test_from_the_ring_a_horse_is_put_beside_its_neighbor_and_the_ring_opens_where_one_left_it(phone: Phone) -> None:
    phone.join()
    phone.open_class()
    phone.horse("12").tap()
    phone.expect_horse("12")
    phone.page.get_by_role("button", name="Note on 12").tap()
    phone.page.get_by_role("button", name="Compare").tap()
    expect(phone.page.get_by_label("Horse on the left")).to_have_value("12")
    expect(phone.page.get_by_label("Horse on the right")).to_have_value("7")
    phone.page.get_by_label("Horse on the left").select_option("58")
    phone.page.get_by_role("button", name="‹ Ring").tap()
    phone.expect_horse("12")


def test_a_circle_of_calls_is_drawn_said_and_settled_with_one_tap(phone: Phone, server: Served) -> None:
    seeded(phone, server)
    page = phone.page
    for left, right in [("7", "12"), ("12", "31"), ("31", "7")]:
        page.goto(f"{server.address}/#/compare/c4//profile/{left}-{right}")
        page.get_by_role("button", name=re.compile(f"^{left} over {right}")).tap()
    circle = page.get_by_role("region", name="Circle of calls: 7, 12 and 31")
    expect(circle).to_contain_text("You said 7 over 12, 12 over 31 and 31 over 7.")
    expect(circle.locator("svg .head")).to_have_count(3)
    expect(circle.locator("svg text")).to_have_text(["7", "12", "31"])
    page.get_by_role("button", name="Placing").tap()
    expect(circle).to_be_visible()
    circle.get_by_role("button", name="Not 31 over 7").tap()
    expect(circle).to_have_count(0)
    expect(page.locator(".order .number").first).to_have_text("7")
    assert '"circles":[]' in placed(page)


def test_a_call_with_a_horse_that_does_not_stand_by_its_marks_is_said_to_be_set_aside(
    phone: Phone, server: Served
) -> None:
    server.write(
        "judge",
        note("r1", kind="ruling", number="40", outcome="last", reason=None),
        note("o1", kind="over", pair=["40", "7"], winner="40"),
    )
    seeded(phone, server)
    expect(phone.page.get_by_text("Your call 40 over 7 is set aside: 40 is not placed by the marks.")).to_be_visible()


def test_a_look_opens_its_horse_in_its_view_and_the_rest_come_on_request(phone: Phone, server: Served) -> None:
    faulty = [("58", "topline", -2), ("103", "topline", -2), ("103", "croup", -1)]
    server.write(
        "judge",
        *(
            note(f"b{i}", kind="mark", number=number, trait=trait, view="profile", degree=degree)
            for i, (number, trait, degree) in enumerate(faulty)
        ),
    )
    seeded(phone, server)
    page = phone.page
    page.goto(f"{server.address}/#/placing/c4/31/rear")  # one stands at 31, behind it
    looks = page.locator(".looks > button:not(.more-looks)")
    expect(looks.first).to_be_hidden()  # one line, until one asks
    page.locator(".looks > summary").tap()
    expect(looks).to_have_count(3)
    page.locator(".more-looks").tap()
    expect(looks.first).to_contain_text("31 from the rear")
    told = looks.all_inner_texts()
    assert all(
        re.search(r"could settle \w+ over \w+ \((level now|one step apart|a clear mark apart)\)", each) for each in told
    )
    assert [each.split("\n")[0] for each in told] == walked(page)

    look = page.get_by_role("button", name=re.compile("^31 from the front"))
    look.tap()
    phone.expect_horse("31")
    expect(phone.view("Front")).to_have_attribute("aria-current", "true")
    phone.end("straight column of bone").tap()
    to_placing(phone)
    page.locator(".looks > summary").tap()
    expect(look).to_have_count(0)


def walked(page: Page) -> list[str]:
    """The looks as one comes to them from 31 and behind, those that touch the four places first."""
    file, standard = class_file(page)
    placing = place(file, standard, words())
    line = [each["number"] for each in file["entries"]]
    assert {"walk", "trot"} <= set(standard["views"])
    passes = ["going", *(view for view in standard["views"] if view not in ("walk", "trot"))]
    assert placing["placing"][-2:] == ["58", "103"]
    places: dict[tuple[str, str], bool] = {}
    for look in placing["look_again"]:
        stop = (look["number"], look["view"])
        touches = look["pair"][0] in placing["placing"][:4]
        places[stop] = places.get(stop, False) or touches
    assert set(places.values()) == {True, False}
    start, whole = passes.index("rear") * len(line) + line.index("31"), len(passes) * len(line)

    def order(stop: tuple[str, str]) -> tuple[bool, int]:
        seen_in = "going" if stop[1] in ("walk", "trot") else stop[1]
        at = passes.index(seen_in) * len(line) + line.index(stop[0])
        return (not places[stop], (at - start) % whole)

    return [f"{number} {words()['views'][view]['from']}" for number, view in sorted(places, key=order)]


def test_what_would_turn_a_pair_stands_on_a_page_of_its_own_the_worst_first(phone: Phone, server: Served) -> None:
    seeded(phone, server)
    page = phone.page
    file, standard = class_file(page)
    placing = place(file, standard, words())
    pair = next(each for each in placing["pairs"] if each["adjacent"] and 0 < each["share"] < 1000)
    page.goto(f"{server.address}/#/pair/c4///{pair['upper']}-{pair['lower']}")
    expect(page.get_by_text("It is no advice to mark otherwise")).to_be_visible()
    share = round(pair["share"] / 10)
    expect(page.get_by_text(f"{pair['upper']} leads under {share} of 100 weighings")).to_be_visible()
    expect(page.locator(".picture")).to_contain_text(f"{pair['upper']} leads in {share} of 100")
    turns = turning_steps(file, standard, pair["upper"], pair["lower"])
    expect(page.locator(".steps > li")).to_have_count(5)
    page.get_by_role("button", name=f"{len(turns) - 5} more step").tap()
    shown = page.locator(".steps > li")
    expect(shown).to_have_count(len(turns))
    titles = {trait["key"]: trait["title"] for each in standard["criteria"] for trait in each["traits"]}
    for told, turn in zip(shown.all_inner_texts(), turns, strict=True):
        assert told.startswith(f"{turn['number']}, ")
        assert titles[turn["trait"]] in told
        assert step(standard, turn) in told
        assert ("turns it" if turn["margin"] < 0 else "makes it level") in told
    expect(page.locator("pair-page .trait")).to_have_count(0)  # nothing to mark here


def test_the_reasons_tell_their_time_copy_and_open_on_the_marks_behind_them(phone: Phone, server: Served) -> None:
    seeded(phone, server)
    page = phone.page
    file, standard = class_file(page)
    placing = place(file, standard, words())
    numbers = spoken_order(placing)[:4]
    reasons = oral_reasons(file, standard, words(), placing, numbers)
    page.locator("placing-page footer").get_by_role("button", name="Reasons").tap()
    expect(page.locator(".time")).to_contain_text(about(reasons["seconds"]))
    statement = next(each for each in reasons["statements"] if each["part"] == "pair")
    assert statement["notes"]
    spoken = page.get_by_role("button", name=statement["text"])
    spoken.tap()
    expect(spoken).to_have_attribute("aria-expanded", "true")
    expect(page.get_by_role("list", name="The marks behind it").get_by_role("listitem")).to_have_count(
        len(statement["notes"])
    )

    phone.context.grant_permissions(["clipboard-read", "clipboard-write"])
    page.get_by_role("button", name="Copy").tap()
    expect(page.get_by_text("Copied.", exact=True)).to_be_visible()
    text: str = page.evaluate("navigator.clipboard.readText()")
    assert text == " ".join(each["text"] for each in reasons["statements"])

    page.get_by_role("button", name=re.compile("^Short")).tap()
    expect(page.locator(".spoken > li > button")).to_have_text([each["text"] for each in reasons["short"]])
    page.get_by_role("button", name="A pair").tap()
    page.get_by_label("Second horse of the pair").select_option(numbers[2])
    expect(page.locator(".spoken > li > button")).to_have_text(
        [each["text"] for each in oral_reasons(file, standard, words(), placing, [numbers[0], numbers[2]])["short"]]
    )


def test_without_a_clipboard_the_older_way_is_tried_and_then_the_text_stands_ready(
    phone: Phone, server: Served
) -> None:
    seeded(phone, server)
    page = phone.page
    page.evaluate("Object.defineProperty(navigator, 'clipboard', { value: undefined })")
    page.locator("placing-page footer").get_by_role("button", name="Reasons").tap()
    page.get_by_role("button", name="Copy").tap()
    expect(page.get_by_text("Copied.", exact=True)).to_be_visible()
    page.evaluate("document.execCommand = () => false")
    page.get_by_role("button", name="Copy").tap()
    field = page.get_by_label("Text to copy")
    expect(field).to_be_focused()
    expect(field).to_have_value(re.compile("^I place "))


def test_every_page_of_judgement_fits_a_narrow_phone_and_its_buttons_a_thumb(phone: Phone, server: Served) -> None:
    seeded(phone, server)
    page = phone.page
    page.set_viewport_size({"width": 320, "height": 640})
    for at in ("placing/c4", "compare/c4//profile/7-12", "pair/c4///12-7", "reasons/c4///12-7", "how"):
        page.goto(f"{server.address}/#/{at}")
        expect(page.locator("footer").first).to_be_visible()
        small = page.evaluate(
            """() => [...document.querySelectorAll("button, select, a.button")]
                .map((each) => [each.textContent.trim(), each.getBoundingClientRect()])
                .filter(([, { width, height }]) => height > 0 && (height < 47.5 || width < 43.5))
                .map(([text, { width, height }]) => `${text}: ${width} by ${height}`)"""
        )
        assert small == [], at
        wide = page.evaluate("[...document.querySelectorAll('main')].map((m) => m.scrollWidth - m.clientWidth)")
        assert wide == [0], at


def step(standard: Any, turn: Any) -> str:
    """A step in the words of the trade: from slight to clear, and the words of the end it is at."""
    trait = next(trait for each in standard["criteria"] for trait in each["traits"] if trait["key"] == turn["trait"])
    said = ["no mark", "slight", "clear", "marked"]
    end = "faulty" if turn["before"] + turn["after"] < 0 else "good"
    return f"from {said[abs(turn['before'])]} to {said[abs(turn['after'])]}: {trait[end]}"


def about(seconds: int) -> str:
    """`about 1 min 50 s`, to the next ten seconds."""
    minutes, rest = divmod(-(-seconds // 10) * 10, 60)
    parts = [f"{minutes} min"] * (minutes > 0) + [f"{rest} s"] * (rest > 0)
    return f"bout {' '.join(parts)}"


def test_the_pairs_next_to_one_another_follow_one_another_on_their_page(phone: Phone, server: Served) -> None:
    seeded(phone, server)
    page = phone.page
    order = [each.inner_text() for each in page.locator(".order .number").all()]
    page.locator(".pair > button").first.tap()
    page.get_by_role("button", name="How firm?").tap()
    for upper, lower in pairwise(order):
        expect(page.locator("pair-page .title").last).to_have_text(f"{upper} over {lower}")
        if lower != order[-1]:
            page.get_by_role("button", name=re.compile("^Next pair")).tap()
    expect(page.get_by_role("button", name="Last pair")).to_be_disabled()
