"""Standing: rulings, the gate, lameness calls against the class's rule."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from .cases import marks, note, pair_of, placed

SCALE = json.loads((Path(__file__).parents[1] / "published" / "lameness_scale.json").read_text())
BOTH = marks(_7={"topline": 3}, _12={"topline": 1})


def own(grade: int | None, number: str = "7", note_id: str = "own") -> dict[str, Any]:
    return note("lameness", note_id, number=number, grade=grade, card="judge-a")


def seen_by(observer: str, grade: int, number: str = "7", by: str = "desk") -> dict[str, Any]:
    return note("lameness", f"{observer}-{by}-{number}", number=number, grade=grade, observer=observer, by=by)


def ruling(outcome: str, number: str = "7", reason: str | None = None) -> dict[str, Any]:
    return note("ruling", f"r-{number}", number=number, outcome=outcome, reason=reason)


def absent(number: str) -> dict[str, Any]:
    return note("presence", f"p-{number}", number=number, state="absent", by="steward-1")


def test_the_lameness_scale_has_the_published_grades_0_to_5() -> None:
    assert [each["grade"] for each in SCALE["grades"]] == list(range(6))
    with pytest.raises(ValueError, match="range"):
        placed(["7"], [own(6)])


@pytest.mark.parametrize("grade", SCALE["grades"], ids=lambda each: f"grade {each['grade']}: {each['seen']}")
@pytest.mark.parametrize("whose", ["judge", "veterinarian"])
def test_seen_at_every_trot_a_horse_is_last_by_the_default_rule_which_is_common_practice(
    grade: dict[str, Any], whose: str
) -> None:
    call = own(grade["grade"]) if whose == "judge" else seen_by("veterinarian", grade["grade"])
    placing = placed(["7", "12"], [*BOTH, call])
    assert placing["last_by_rule"] == (["7"] if grade["every_trot"] else [])
    assert placing["placing"] == (["12", "7"] if grade["every_trot"] else ["7", "12"])


def test_under_the_stricter_rule_a_lame_horse_is_not_placed_and_under_none_it_stands_by_its_marks() -> None:
    strict = placed(["7", "12"], [*BOTH, own(3)], lameness={"from_grade": 3, "outcome": "not_placed"})
    assert strict["unplaced"] == [{"number": "7", "standing": "not_placed", "reason": None}]
    ignored = placed(["7", "12"], [*BOTH, own(5)], lameness={"from_grade": 1, "outcome": "ignored"})
    assert ignored["placing"] == ["7", "12"]


def test_a_stewards_own_observation_moves_nothing_and_only_asks() -> None:
    placing = placed(["7", "12"], [*BOTH, seen_by("steward", 4), seen_by("steward", 3, by="other")])
    assert (placing["placing"], placing["last_by_rule"]) == (["7", "12"], [])
    assert placing["asks"] == [{"number": "7", "grade": 4}]


@pytest.mark.parametrize("answer", [own(0), ruling("placed")])
def test_the_judges_own_call_or_ruling_answers_the_steward(answer: dict[str, Any]) -> None:
    assert placed(["7", "12"], [*BOTH, seen_by("steward", 4), answer])["asks"] == []


def test_below_the_rules_grade_a_steward_does_not_ask() -> None:
    assert placed(["7"], [*BOTH, seen_by("steward", 2)])["asks"] == []


def test_the_judges_own_call_stands_before_the_veterinarians_on_the_judges_card() -> None:
    assert placed(["7", "12"], [*BOTH, own(1), seen_by("veterinarian", 5)])["last_by_rule"] == []


def test_of_several_veterinarians_the_highest_grade_counts() -> None:
    calls = [seen_by("veterinarian", 2), seen_by("veterinarian", 3, by="other")]
    assert placed(["7", "12"], [*BOTH, *calls])["last_by_rule"] == ["7"]


def test_an_own_call_taken_back_gives_way_to_the_veterinarians() -> None:
    back = own(None, note_id="back") | {"replaces": ["own"]}
    assert placed(["7", "12"], [*BOTH, own(0), back, seen_by("veterinarian", 3)])["last_by_rule"] == ["7"]


def test_those_last_by_rule_stand_by_grade_then_by_their_marks() -> None:
    notes = [
        *marks(_7={"topline": 3}, _12={"topline": 2}, _31={"topline": 1}, _5={"topline": -3}),
        own(4, "7", "a"),
        own(3, "12", "b"),
        own(3, "31", "c"),
        ruling("last", "5"),
    ]
    placing = placed(["7", "12", "31", "5"], notes)
    assert placing["last_by_rule"] == ["5", "12", "31", "7"]  # by ruling and never called lame counts as grade 0
    assert pair_of(placing, "5", "12")["basis"] == "rule"
    assert pair_of(placing, "12", "31")["basis"] == "notes"
    assert pair_of(placing, "31", "7")["basis"] == "rule"


@pytest.mark.parametrize("outcome", ["excused", "disqualified"])
def test_an_excused_or_disqualified_horse_is_not_placed_and_the_reason_stands(outcome: str) -> None:
    placing = placed(["7", "12"], [*BOTH, ruling(outcome, reason="unruly")])
    assert placing["unplaced"] == [{"number": "7", "standing": outcome, "reason": "unruly"}]


def test_an_absent_horse_is_not_placed_and_a_card_that_speaks_of_it_is_a_conflict() -> None:
    placing = placed(["7", "12", "31"], [*BOTH, absent("7"), absent("31")])
    assert [each["standing"] for each in placing["unplaced"]] == ["absent", "absent"]
    assert placing["conflicts"] == ["7"]


def test_a_ruling_placed_stands_against_the_gate_and_any_call_and_is_a_conflict() -> None:
    placing = placed(["7", "12"], [*BOTH, absent("7"), own(5), ruling("placed")])
    assert (placing["placing"], placing["conflicts"]) == (["7", "12"], ["7"])


def test_placed_last_and_not_placed_are_different_outcomes() -> None:
    last = placed(["7"], [ruling("last")])
    assert (last["placing"], last["unplaced"]) == (["7"], [])


def test_an_own_grade_of_0_is_a_look_of_its_own() -> None:
    assert placed(["7"], [own(0)])["placing"] == ["7"]


def test_a_veterinarians_sound_horse_the_judge_never_looked_at_is_not_placed() -> None:
    assert placed(["7"], [seen_by("veterinarian", 0)])["unplaced"][0]["standing"] == "not_looked"
