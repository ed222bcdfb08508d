"""Sentences: they name what the comparison holds, and nothing else."""

from __future__ import annotations

import re
from typing import Any

from hypothesis import given

from nearside.engine.reasons import fill, listed, spoken
from nearside.show.standards import words

from . import cases
from .cases import marks, note, pair_of, placed


def sentence(placing: dict[str, Any], upper: str, lower: str) -> str:
    text: str = pair_of(placing, upper, lower)["sentence"]
    return text


def traits_of(file: dict[str, Any]) -> list[dict[str, Any]]:
    return [trait for criterion in file["class"]["standard"]["criteria"] for trait in criterion["traits"]]


@given(cases.class_files())
def test_a_trait_is_only_named_where_the_two_horses_own_marks_differ_that_way(file: dict[str, Any]) -> None:
    for pair in cases.place_file(file)["pairs"]:
        differing = {each["trait"] for each in [*pair["for"], *pair["grants"]]}
        for trait in traits_of(file):
            phrase = trait.get("more") or trait["faulty"]
            named = re.search(rf"{re.escape(phrase)}(?![\w])", pair["sentence"]) is not None
            assert not named or trait["key"] in differing


@given(cases.class_files())
def test_numbers_in_a_sentence_are_numbers_of_the_result_and_both_horses_are_named(file: dict[str, Any]) -> None:
    # Only the made-up words of these standards hold digits; real ones hold none.
    made_up = {word for trait in traits_of(file) for word in (trait["key"],)}
    for pair in cases.place_file(file)["pairs"]:
        said = set(re.findall(r"\b[0-9A-Z]*[0-9][0-9A-Z]*\b", pair["sentence"])) - made_up
        assert {pair["upper"], pair["lower"]} <= said | set(re.findall(r"\w+", pair["sentence"]))
        assert said <= {pair["upper"], pair["lower"], *(pair["chain"] or [])}


@given(cases.class_files())
def test_a_view_one_horse_was_not_seen_from_is_said_and_only_then(file: dict[str, Any]) -> None:
    placing = cases.place_file(file)
    unseen = {each["number"]: set(each["views"]) for each in placing["unseen"]}
    for pair in placing["pairs"]:
        upper, lower = unseen.get(pair["upper"], set()), unseen.get(pair["lower"], set())
        said = set(re.findall(r"(\w+) was not seen", pair["sentence"]))
        expected = [
            number for number, views in ((pair["lower"], lower - upper), (pair["upper"], upper - lower)) if views
        ]
        assert said == set(expected)


def test_a_pair_on_the_notes_names_the_criterion_the_traits_the_grant_and_how_firm_it_is() -> None:
    notes = marks(
        _7={"topline": 3, "girth": 3, "neck": 2, "bone": -1, "gaskin": -2},
        _12={"topline": -3, "girth": -1, "neck": 1, "bone": 2, "gaskin": 2},
    )
    assert sentence(placed(["7", "12"], notes), "7", "12") == (
        "7 over 12 on balance: 7 is finer in the topline, finer in the girth, and finer in the neck. "
        "Grant that 12 is finer in the bone. It holds however far balance outweighs the rest."
    )


def test_a_fault_is_said_as_less_of_it_in_the_better_horse() -> None:
    text = sentence(placed(["7", "12"], marks(_7={"neck": 1}, _12={"neck": 1, "knees": -2})), "7", "12")
    assert text.startswith("7 over 12 on structure: 7 is less faulted for poor knees.")


def test_a_direct_call_is_said_with_what_the_notes_alone_would_have() -> None:
    call = note("over", "o", pair=["7", "12"], winner="12")
    text = sentence(placed(["7", "12"], [*marks(_7={"topline": 2}, _12={"topline": 1}), call]), "12", "7")
    assert text == (
        "12 over 7 by direct call. Grant that 7 is finer in the topline. The notes alone would have 7 above."
    )


def test_a_chain_of_calls_is_spelled_out() -> None:
    calls = [note("over", "o", pair=["7", "12"], winner="12"), note("over", "p", pair=["31", "12"], winner="31")]
    notes = [*marks(_7={"topline": 2}, _12={"topline": 1}, _31={"topline": -1}), *calls]
    text = sentence(placed(["7", "12", "31"], notes), "31", "7")
    assert text.startswith("31 over 7 by direct calls: 31 over 12, 12 over 7.")


def test_a_horse_last_by_rule_is_said_to_be_so_with_the_grade_and_whose_it_is() -> None:
    both = marks(_7={"topline": 2}, _12={"topline": 2})
    own = note("lameness", "l", number="7", grade=3, card="judge-a")
    vet = note("lameness", "l", number="7", grade=4, observer="veterinarian")
    ruling = note("ruling", "l", number="7", outcome="last")
    told = [sentence(placed(["7", "12"], [*both, call]), "12", "7") for call in (own, vet, ruling)]
    assert told == [
        "12 over 7 by rule: 7 is last for lameness, grade three.",
        "12 over 7 by rule: 7 is last for lameness, grade four by the veterinarian.",
        "12 over 7 by rule: 7 is placed last by ruling.",
    ]


def test_even_horses_are_said_to_be_even() -> None:
    text = sentence(placed(["7", "12"], marks(_7={"topline": 2}, _12={"topline": 2})), "7", "12")
    assert text == "7 and 12 are even on the notes; nothing noted separates them. One step on one trait could turn it."


def test_how_firm_a_pair_is_is_said_margin_first_then_weighing() -> None:
    close = marks(_7={"topline": 2}, _12={"bone": 2, "gaskin": 3, "stifle": 3, "head": 3})
    placing = placed(["7", "12"], close)
    pair = placing["pairs"][0]
    assert pair["one_step"]
    assert 0 < pair["share"] < 1000
    turns = "It turns on how far balance outweighs the rest."
    other = "Most weighings would have it the other way round."
    weighing = turns if pair["share"] >= 500 else other
    assert f"One step on one trait could turn it. {weighing}" in pair["sentence"]


def test_a_sentence_is_never_read_as_a_pattern_itself() -> None:
    of = cases.standard([cases.trait("a") | {"more": "{lower} {nonsense}"}], [cases.trait("b")])
    mark = note("mark", "m", number="7", trait="a", view="profile", degree=1)
    look = note("looked", "l", number="12", view="profile", done=True)
    assert "7 is {lower} {nonsense}." in sentence(placed(["7", "12"], [mark, look], of=of), "7", "12")


def test_lists_and_titles_read_as_they_are_said() -> None:
    assert [listed(list("abc")[:n], words()) for n in range(4)] == ["", "a", "a and b", "a, b, and c"]
    assert [spoken("Balance"), spoken("Éclat"), spoken("")] == ["balance", "Éclat", ""]
    assert fill("{a}{b}", {"a": "}", "b": "{a}"}) == "}{a}"


@given(cases.class_files())
def test_every_pair_has_a_sentence_that_ends(file: dict[str, Any]) -> None:
    assert all(pair["sentence"].endswith(".") for pair in cases.place_file(file)["pairs"])
