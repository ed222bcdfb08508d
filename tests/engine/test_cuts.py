"""Scores by cuts: the published examples, the published limits, and what follows from both."""

from __future__ import annotations

from itertools import permutations, product

import pytest

from nearside.engine import cuts
from nearside.engine.cuts import CutsRefused, check_cuts, score_of


@pytest.mark.parametrize(
    ("official", "given", "placing", "score"),
    [
        # Univ. of Maryland Extension, scoring of contests.
        ("3-2-1-4", "2-8-2", "3-2-1-4", 50),
        ("3-2-1-4", "2-8-2", "2-3-4-1", 46),
        ("3-2-1-4", "2-8-2", "3-1-2-4", 42),
        # Univ. of Nebraska G2092.
        ("1-2-3-4", "2-5-3", "2-1-3-4", 48),
        # A judging lesson, publication not at hand [memory].
        ("4-3-2-1", "2-5-3", "4-2-3-1", 45),
    ],
)
def test_published_examples(official: str, given: str, placing: str, score: int) -> None:
    scored = score_of(official.split("-"), [int(cut) for cut in given.split("-")], placing.split("-"))
    assert scored["score"] == score
    assert scored["lost"] == 50 - score == sum(pair["lost"] for pair in scored["pairs"])


def within(given: tuple[int, ...]) -> bool:
    try:
        check_cuts(given)
    except CutsRefused:
        return False
    return True


def test_the_limits_are_the_published_ones() -> None:
    """Colorado State Univ. fact sheet 1.619 and Univ. of Maryland Extension: the sum and the middle; Univ. of Nebraska
    G2092: the single cut."""
    for given in product(range(-1, 11), repeat=3):
        total = sum(given)
        published = min(given) >= 0 and max(given) <= 8 and total <= 15 and not (total == 15 and given[1] > 5)
        assert within(given) == published, given


def test_within_the_limits_no_placing_scores_below_0_and_reversal_loses_what_is_published() -> None:
    official = list("1234")
    for given in product(range(9), repeat=3):
        if within(given):
            scores = [score_of(official, given, placing) for placing in permutations(official)]
            assert min(each["score"] for each in scores) >= 0
            reversed_ = score_of(official, given, official[::-1])
            assert reversed_["lost"] == 3 * given[0] + 4 * given[1] + 3 * given[2]


def test_without_the_limit_on_the_middle_cut_a_placing_could_score_below_0(monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(CutsRefused, match="the middle one is 5 at most"):
        score_of(list("1234"), [1, 6, 8], list("4321"))
    monkeypatch.setattr(cuts, "MIDDLE_AT_MOST", 8)
    assert score_of(list("1234"), [1, 6, 8], list("4321"))["score"] < 0


def test_renaming_the_horses_changes_no_score() -> None:
    names = dict(zip("1234", ["40", "A7", "103", "12"], strict=True))
    for placing in permutations("1234"):
        plain = score_of(list("3214"), [2, 5, 3], placing)
        named = score_of([names[each] for each in "3214"], [2, 5, 3], [names[each] for each in placing])
        assert [pair["lost"] for pair in plain["pairs"]] == [pair["lost"] for pair in named["pairs"]]


@pytest.mark.parametrize(
    ("given", "rule"),
    [
        ([9, 1, 1], "no cut is over 8"),
        ([6, 5, 5], "sum to 15 at most"),
        ([5, 6, 4], "the middle one is 5 at most"),
        ([-1, 1, 1], "no cut is below 0"),
        ([1, 1], "three cuts"),
    ],
)
def test_cuts_outside_the_limits_are_refused_with_the_rule_they_break(given: list[int], rule: str) -> None:
    with pytest.raises(CutsRefused, match=rule):
        score_of(list("1234"), given, list("1234"))
