"""A slip for the exhibitor: what is told in which order, and what never is."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from nearside.engine.merging import merge
from nearside.engine.placing import place
from nearside.engine.slips import Slip, slips
from nearside.show.classfile import checked_class_file
from nearside.show.standards import words
from tests.engine.cases import NUMBERS, class_file, class_files, marks, note, standard, trait


def slips_of(file: dict[str, Any], order: Sequence[str] | None = None) -> list[Slip]:
    checked, whole_standard = checked_class_file(file)
    if order is None:
        order = place(checked, whole_standard, words())["placing"]
    return slips(checked, whole_standard, words(), order)


def test_the_horses_own_good_marks_first_then_two_faults_then_where_those_above_were_better() -> None:
    """By hand: W is 25, 13, 7, 3. Of 7: neck clear 25 x 4, bone marked 13 x 8, girth slight 25 x 2; knees clear
    13 x 8, stifle marked 3 x 8, head slight 7 x 1. 12 is ahead on balance: 25 x 480 against 13 x 480 less 240.
    """
    file = class_file(
        ["12", "7"],
        marks(
            _12={"topline": 3, "shoulder": 3},
            _7={"girth": 1, "neck": 2, "bone": 3, "knees": -2, "head": -1, "stifle": -3},
        ),
    )
    first, second = slips_of(file)
    assert first == {
        "number": "12",
        "place": 1,
        "goods": ["fine topline", "fine shoulder"],
        "faults": [],
        "better": [],
        "text": ["What speaks for this horse: fine topline; fine shoulder."],
    }
    assert second["goods"] == ["fine bone", "fine neck", "fine girth"]
    assert second["faults"] == ["poor knees", "poor stifle"]
    assert second["better"] == ["Balance"]
    assert second["text"] == [
        "What speaks for this horse: fine bone; fine neck; fine girth.",
        "What speaks against it: poor knees; poor stifle.",
        "Where the horse above had the better of it: balance.",
    ]


def test_of_several_criteria_the_two_that_decide_for_most_of_those_above() -> None:
    ahead = {"topline": 1, "girth": 1}
    file = class_file(
        ["1", "2", "3", "4", "5", "6"],
        marks(_1={"bone": 2}, _2={"bone": 2}, _3=ahead, _4={"head": 3}, _5={"gaskin": 1}, _6={"stifle": -1}),
    )
    told = {each["number"]: each for each in slips_of(file)}
    assert told["6"]["better"] == ["Structure", "Balance"]  # two by structure; one each by the other three
    assert told["6"]["text"][-1] == "Where horses above had the better of it: structure; balance."


def test_level_horses_are_told_the_first_criterion_that_speaks_for_the_one_above() -> None:
    """By hand: two criteria weigh 3 and 1, so a mark of weight 1 in the first is level with one of 3 in the other."""
    two = standard([trait("topline", weight=1)], [trait("bone", weight=3)])
    noted = [
        note("mark", "a", number="12", trait="topline", view="profile", degree=1),
        note("mark", "b", number="7", trait="bone", view="profile", degree=1),
    ]
    file = class_file(["12", "7", "31"], [*noted, note("looked", "c", number="31", view="profile", done=True)], of=two)
    assert [each["better"] for each in slips_of(file, ["12", "7"])] == [[], ["Balance"]]
    assert [each["better"] for each in slips_of(file, ["7", "12"])] == [[], []]
    even = marks(_1={"topline": 1}, _2={"topline": 1})
    assert [each["better"] for each in slips_of(class_file(["1", "2"], even))] == [[], []]


def test_nothing_is_said_of_those_above_where_the_judge_placed_against_the_notes() -> None:
    noted = marks(_12={"topline": 3}, _7={"girth": 1}, _31={"girth": -1})
    told = slips_of(class_file(["12", "7", "31"], noted), ["7", "12", "31"])
    assert [each["better"] for each in told] == [[], [], ["Balance"]]
    # The same words whether or not the notes have every horse above ahead.
    part = slips_of(class_file(["12", "7", "31"], noted), ["31", "12", "7"])[2]
    assert part["text"][-1] == "Where horses above had the better of it: balance."


def test_a_horse_a_rule_placed_is_told_of_its_marks_alone() -> None:
    noted = [
        *marks(_12={"topline": 3}, _7={"girth": 1, "knees": -1}),
        note("ruling", "r", number="7", outcome="last"),
        note("lameness", "l", card="judge-a", number="7", grade=4, text="nods"),
    ]
    told = slips_of(class_file(["12", "7"], noted))[1]
    assert told["text"] == ["What speaks for this horse: fine girth.", "What speaks against it: poor knees."]


def test_a_horse_nobody_noted_has_an_empty_slip_and_places_are_those_of_the_order() -> None:
    told = slips_of(class_file(["12", "7"], marks(_12={"topline": 3})), ["7", "12"])
    assert [(each["number"], each["place"], each["text"] == []) for each in told] == [("7", 1, True), ("12", 2, False)]


NEVER = re.compile(r"\b(lame\w*|excused|disqualified|absent|ruling|rule|called?|grade|veterinarian|steward)\b")


@settings(max_examples=60)
@given(class_files(), st.data())
def test_no_other_number_no_remark_no_call_and_no_ruling_is_ever_in_a_slip(file: dict[str, Any], data: Any) -> None:
    order = data.draw(st.permutations(NUMBERS))[: data.draw(st.integers(0, len(NUMBERS)))]
    for slip in slips_of(file, order):
        said = " ".join([*slip["goods"], *slip["faults"], *slip["better"], *slip["text"]])
        assert not {*re.findall(r"[0-9A-Za-z]+", said)} & {*NUMBERS}
        assert not NEVER.search(said.lower())
        assert "kind eye" not in said
        assert "unruly" not in said
        assert "{" not in said
        assert len(slip["faults"]) <= 2


@settings(max_examples=40)
@given(class_files(), st.data())
def test_a_slip_tells_the_same_whatever_is_remarked_and_however_those_below_are_placed(
    file: dict[str, Any], data: Any
) -> None:
    order = data.draw(st.permutations(NUMBERS))
    told = slips_of(file, order)
    without = {**file, "notes": [each for each in file["notes"] if each["kind"] != "remark"]}
    assert slips_of(without, order) == told
    place_ = data.draw(st.integers(1, len(order)))
    below = data.draw(st.permutations(order[place_:]))
    assert slips_of(file, [*order[:place_], *below])[:place_] == told[:place_]


@settings(max_examples=40)
@given(class_files())
def test_what_a_slip_names_as_good_or_faulty_was_marked_so_on_that_horse(file: dict[str, Any]) -> None:
    checked, _ = checked_class_file(file)
    merged = merge(checked["entries"], checked["notes"], checked["card"])
    marked: set[tuple[str, str]] = set()
    for slot in merged["slots"]:
        used = slot["used"]
        if used["kind"] == "mark" and used["degree"] is not None:
            marked.add((str(used["number"]), f"{'fine' if used['degree'] > 0 else 'poor'} {used['trait']}"))
    for slip in slips_of(file):
        assert {(slip["number"], phrase) for phrase in slip["goods"] + slip["faults"]} <= marked
        goods = {each for number, each in marked if number == slip["number"] and each.startswith("fine")}
        assert goods == {*slip["goods"]}
