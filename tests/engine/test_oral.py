"""Oral reasons: the form of spoken reasons, nothing that was not noted, the notes behind it, within two minutes."""

from __future__ import annotations

import re
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given

from nearside.engine.oral import oral_reasons, spoken_order, words_spoken
from nearside.engine.placing import place
from nearside.show.classfile import checked_class_file
from nearside.show.standards import words

from . import cases
from .cases import marks, note

Reasons = dict[str, Any]


def reasons_of(file: dict[str, Any], most: int = 4) -> Reasons | None:
    checked, standard = checked_class_file(file)
    placing = place(checked, standard, words())
    order = spoken_order(placing)
    return oral_reasons(checked, standard, words(), placing, order[:most]) if order else None


def given_for(entries: list[str], notes: list[dict[str, Any]], most: int = 4) -> Reasons:
    reasons = reasons_of(cases.class_file(entries, notes), most)
    assert reasons is not None
    return reasons


def texts(reasons: Reasons, part: str) -> list[str]:
    return [each["text"] for each in reasons["statements"] if each["part"] == part]


FOUR = marks(
    _7={"topline": 3, "girth": 2, "bone": 2, "gaskin": -1},
    _12={"topline": 2, "bone": 3, "gaskin": 1},
    _31={"topline": 1, "knees": -1, "gaskin": 2},
    _103={"topline": -2, "girth": -1, "knees": -2, "head": 1},
)


def test_the_form_is_opening_pairs_with_deciding_fact_grant_and_criticism_last_horse_closing() -> None:
    reasons = given_for(["7", "12", "31", "103"], FOUR)
    parts = [each["part"] for each in reasons["statements"]]
    assert parts[:2] == ["opening", "winner"]
    assert parts[-2:] == ["last", "closing"]
    pairs = "".join(part[0] for part in parts[2:-2])
    assert re.fullmatch("(pa?g?c?u{0,2}){3}", pairs), parts
    assert [each["pair"] for each in reasons["statements"] if each["part"] == "pair"] == [
        ["7", "12"],
        ["12", "31"],
        ["31", "103"],
    ]


def test_the_text_of_a_class_by_hand() -> None:
    reasons = given_for(["7", "12"], marks(_7={"topline": 3}, _12={"topline": -1, "bone": 1}))
    assert [each["text"] for each in reasons["statements"]] == [
        "I place mares, in this order: 7 and 12.",
        "What I like most about 7 is its fine topline.",
        "Now, placing 7 over 12, I go by balance: 7 is finer in the topline.",
        "I grant that 12 is finer in the bone.",
        "I missed seeing 7 from the front.",
        "For these reasons I place them 7 and 12.",
    ]


@given(cases.class_files())
def test_every_statement_names_only_traits_whose_marks_are_among_its_notes(file: dict[str, Any]) -> None:
    reasons = reasons_of(file, most=9)
    if reasons is None:
        return
    by_id = {each["id"]: each for each in file["notes"]}
    for statement in [*reasons["statements"], *reasons["short"]]:
        behind = [by_id[note_id] for note_id in statement["notes"]]
        marked = {each["trait"] for each in behind if each["kind"] == "mark" and each["degree"]}
        for criterion in file["class"]["standard"]["criteria"]:
            for trait in criterion["traits"]:
                said = [trait.get("more"), trait.get("good"), trait["faulty"]]
                if any(p and re.search(rf"{re.escape(p)}(?!\w)", statement["text"]) for p in said):
                    assert trait["key"] in marked


@given(cases.class_files())
def test_no_phrase_comes_twice_running(file: dict[str, Any]) -> None:
    reasons = reasons_of(file, most=9)
    if reasons is None:
        return

    def phrase(text: str) -> str:
        return re.sub(r"\b(?=\w*\d)\w+\b|\b(A1|T1|9Z9)\b", "#", text)

    said = [phrase(each["text"]) for each in reasons["statements"]]
    for before, after in pairwise(said):
        assert before.split(" is ")[0].split(" its ")[0] != after.split(" is ")[0].split(" its ")[0]


@given(cases.class_files())
def test_four_horses_take_two_minutes_at_most_at_150_words_a_minute(file: dict[str, Any]) -> None:
    reasons = reasons_of(file)
    if reasons is not None:
        assert reasons["words"] == sum(words_spoken(each["text"]) for each in reasons["statements"])
        assert reasons["seconds"] == -(-reasons["words"] * 60 // 150)
        assert reasons["seconds"] <= 120


def test_a_view_from_which_a_horse_was_not_seen_is_said() -> None:
    reasons = given_for(["7", "12"], marks(_7={"topline": 2, "bone": 1}, _12={"topline": 1}))
    assert texts(reasons, "unseen") == ["I missed seeing 12 from the front."]


def test_a_fault_is_criticised_in_the_lower_horse_and_not_said_twice() -> None:
    notes = marks(_7={"topline": 3}, _12={"topline": 1, "knees": -1}, _31={"topline": -3, "knees": -1})
    reasons = given_for(["7", "12", "31"], notes)
    text = " ".join(each["text"] for each in reasons["statements"])
    assert "I fault 12 for its poor knees." in text
    assert texts(reasons, "last") == ["I leave 31 last of these and fault it for its poor knees."]


def test_a_horse_last_for_lameness_is_said_to_be_so_without_a_diagnosis() -> None:
    notes = [*marks(_7={"topline": 1}, _12={"topline": 3}), note("lameness", "l", number="12", grade=3, card="judge-a")]
    reasons = given_for(["7", "12"], notes)
    assert texts(reasons, "rule") == ["I saw 12 lame at grade three, and say so as an observation, not a diagnosis."]
    assert next(each["notes"] for each in reasons["statements"] if each["part"] == "rule") == ["l"]


TURNED = {
    "notes": ([], ["12", "7"], "I place 12 over 7 by eye, though my notes put 7 ahead."),
    "call": (
        [note("over", "o", pair=["7", "12"], winner="7")],
        ["12", "7"],
        "I place 12 over 7 in the end, though side by side I had it the other way.",
    ),
    "rule": (
        [note("ruling", "r", number="12", outcome="last")],
        ["12", "7"],
        "I place 12 over 7, although by rule 12 belongs below.",
    ),
    "unnoted": ([], ["7", "99"], "I place 7 over 99 by eye, as I noted too little to compare them."),
}


@pytest.mark.parametrize("case", TURNED)
def test_reasons_follow_the_judges_own_order_and_say_where_it_goes_against_the_notes(case: str) -> None:
    more, own, said = TURNED[case]
    notes = [*marks(_7={"topline": 3}, _12={"topline": 1}), *more, note("order", "own", numbers=own)]
    reasons = given_for(["7", "12"], notes)
    assert reasons["numbers"] == own
    assert texts(reasons, "pair") == [said]


def test_the_short_form_is_one_sentence_a_pair() -> None:
    reasons = given_for(["7", "12", "31", "103"], FOUR)
    assert [each["text"] for each in reasons["short"]][:2] == [
        "I place 7 over 12, because 7 is finer in the topline and finer in the girth.",
        "Then 12 goes over 31, as 12 is finer in the bone.",
    ]


def test_numbers_are_counted_as_they_are_said() -> None:
    said = {"7": 1, "20": 1, "21": 2, "100": 2, "103": 4, "999": 5, "1234": 4, "007": 3, "12A": 2, "don't stop": 2}
    assert {text: words_spoken(text) for text in said} == said
