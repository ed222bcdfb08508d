"""A placing scored as it is typed."""

from __future__ import annotations

import pytest

from nearside.show.scoring import read_score, score_account
from nearside.show.strict_json import Refused


def test_a_typed_placing_is_scored_and_told() -> None:
    score = read_score("3-2-1-4", "2-8-2", "3-1-2-4")  # Univ. of Maryland Extension, scoring of contests
    assert (score["score"], score["lost"]) == (42, 8)
    assert score["pairs"][3] == {"upper": "2", "lower": "1", "cut": 8, "lost": 8}
    assert score_account(score) == "42 of 50\n  2 over 1: lost 8\n"
    assert read_score("A7-12-40-103", "2-5-3", "A7-12-40-103")["score"] == 50


def test_no_placing_given_scores_0() -> None:
    for placing in (None, ""):
        score = read_score("1-2-3-4", "2-5-3", placing)
        assert score == {"score": 0, "lost": 50, "pairs": []}
        assert score_account(score) == "0 of 50: no placing was given\n"


@pytest.mark.parametrize(
    ("official", "cuts", "placing", "says"),
    [
        ("1-2-3", "2-5-3", "1-2-3-4", "--official: needs four numbers"),
        ("1-2-2-4", "2-5-3", "1-2-3-4", '--official: "2" is named twice'),
        ("1-2-3-4", "2-5-3", "1-2-3-5", '--placing: "5" is not among the official four, 1-2-3-4'),
        ("1-2-3-4", "2-5-3", "1-2-x-4", '--placing: "x" is no number'),
        ("1-2-3-4", "2-5", "1-2-3-4", "--cuts: a class of four has three cuts; these are 2"),
        ("1-2-3-4", "2-a-3", "1-2-3-4", "--cuts: needs three whole numbers"),
        ("1-2-3-4", "9-1-1", "1-2-3-4", "--cuts: no cut is over 8; this is 9"),
    ],
)
def test_what_cannot_be_scored_is_refused(official: str, cuts: str, placing: str, says: str) -> None:
    with pytest.raises(Refused) as refusal:
        read_score(official, cuts, placing)
    assert says in str(refusal.value)
