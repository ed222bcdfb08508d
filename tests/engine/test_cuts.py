"""Scores by cuts: the published examples, the published limits, and what follows from both."""

from __future__ import annotations

from itertools import permutations, product

import pytest

from nearside.engine.cuts import CutsRefused, check_cuts, score_of


@pytest.mark.parametrize(
    ("official", "cuts", "placing", "score"),
    [
        # Univ. of Maryland Extension, scoring of contests.
        ("3-2-1-4", "2-8-2", "3-2-1-4", 50),
        ("3-2-1-4", "2-8-2", "2-3-4-1", 46),
        ("3-2-1-4", "2-8-2", "3-1-2-4", 42),
        # Univ. of Nebraska G2092.
        ("1-2-3-4", "2-5-3", "2-1-3-4", 48),
        # A published judging lesson.
        ("4-3-2-1", "2-5-3", "4-2-3-1", 45),
    ],
)
def test_published_examples(official: str, cuts: str, placing: str, score: int) -> None:
    scored = score_of(official.split("-"), [int(cut) for cut in cuts.split("-")], placing.split("-"))
    assert scored["score"] == score
    assert scored["lost"] == 50 - score == sum(pair["lost"] for pair in scored["pairs"])


def within(cuts: tuple[int, ...]) -> bool:
    try:
        check_cuts(cuts)
    except CutsRefused:
        return False
    return True


def test_the_limits_are_the_published_ones() -> None:
    """Colorado State Univ. fact sheet 1.619 and Univ. of Maryland Extension: the sum and the middle; Univ. of Nebraska
    G2092: the single cut."""
    for cuts in product(range(-1, 11), repeat=3):
        total = sum(cuts)
        published = min(cuts) >= 0 and max(cuts) <= 8 and total <= 15 and not (total == 15 and cuts[1] > 5)
        assert within(cuts) == published, cuts


def test_within_the_limits_no_placing_scores_below_0_and_reversal_loses_what_is_published() -> None:
    official = list("1234")
    for cuts in product(range(9), repeat=3):
        if within(cuts):
            scores = [score_of(official, cuts, placing) for placing in permutations(official)]
            assert min(each["score"] for each in scores) >= 0
            reversed_ = score_of(official, cuts, official[::-1])
            assert reversed_["lost"] == 3 * cuts[0] + 4 * cuts[1] + 3 * cuts[2]


def test_without_the_third_limit_a_placing_could_score_below_0() -> None:
    assert 50 - (3 * 1 + 4 * 6 + 3 * 8) < 0
    assert not within((1, 6, 8))


def test_renaming_the_horses_changes_no_score() -> None:
    names = dict(zip("1234", ["40", "A7", "103", "12"], strict=True))
    for placing in permutations("1234"):
        plain = score_of(list("3214"), [2, 5, 3], placing)
        named = score_of([names[each] for each in "3214"], [2, 5, 3], [names[each] for each in placing])
        assert [pair["lost"] for pair in plain["pairs"]] == [pair["lost"] for pair in named["pairs"]]


@pytest.mark.parametrize(
    ("cuts", "rule"),
    [
        ([9, 1, 1], "no cut is over 8"),
        ([6, 5, 5], "sum to 15 at most"),
        ([5, 6, 4], "the middle one is 5 at most"),
        ([-1, 1, 1], "no cut is below 0"),
        ([1, 1], "three cuts"),
    ],
)
def test_cuts_outside_the_limits_are_refused_with_the_rule_they_break(cuts: list[int], rule: str) -> None:
    with pytest.raises(CutsRefused, match=rule):
        score_of(list("1234"), cuts, list("1234"))
