"""Several judges, one result: the published rules and examples, a second way, and what never changes it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cmp_to_key
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from votelib.component.rankscore import FixedTop
from votelib.convert import RankedToPositionalVotes
from votelib.evaluate.core import Tie
from votelib.evaluate.sequential import PreferenceAddition

from nearside.engine.panel import METHODS, NoResult, PanelCard, card_result, panel_result


def cards_of(marks: Mapping[str, Sequence[int]]) -> list[PanelCard]:
    """Cards from each horse's marks, one judge a column; every judge ranks all."""
    judges = len(next(iter(marks.values())))
    return [
        {"judge": f"j{judge}", "placing": sorted(marks, key=lambda number: marks[number][judge])}
        for judge in range(judges)
    ]


def placed(result: list[Any]) -> list[tuple[int, str]]:
    return [(each["place"], " ".join(each["numbers"])) for each in result]


def test_majority_by_the_published_example_of_five_judges() -> None:
    """Skating system, rules 5 to 8: marks 1,5,1,1,2 first, 2,2,5,4,1 second, 3,3,3,2,3 third."""
    marks = {
        "11": [1, 5, 1, 1, 2],
        "12": [2, 2, 5, 4, 1],
        "13": [3, 3, 3, 2, 3],
        "14": [4, 1, 2, 3, 5],
        "15": [5, 4, 4, 5, 4],
    }
    assert placed(panel_result(cards_of(marks), "majority", []))[:3] == [(1, "11"), (2, "12"), (3, "13")]


def test_majority_looks_at_firsts_and_seconds_where_no_horse_has_a_majority_of_firsts() -> None:
    """Skating system, rule 6: nine judges, none with five firsts; seven firsts and seconds go before five."""
    marks = {
        "1": [1, 1, 1, 1, 2, 2, 2, 5, 5],
        "2": [2, 2, 3, 3, 1, 1, 1, 3, 3],
        "3": [3, 3, 2, 2, 3, 3, 3, 1, 1],
        "4": [4, 4, 4, 4, 4, 4, 4, 2, 2],
        "5": [5, 5, 5, 5, 5, 5, 5, 4, 4],
    }
    assert placed(panel_result(cards_of(marks), "majority", []))[:2] == [(1, "1"), (2, "2")]


def test_majority_by_the_rules_own_examples() -> None:
    """Skating system, examples to rules 5 and 6, from memory; that each judge's marks are a ranking speaks for it."""
    majority_at_once = {
        "51": [1, 1, 1, 2, 1],
        "52": [4, 2, 2, 1, 2],
        "53": [3, 3, 3, 5, 4],
        "54": [2, 4, 5, 4, 3],
        "55": [5, 6, 4, 3, 5],
        "56": [6, 5, 6, 6, 6],
    }
    larger_majority = {
        "61": [1, 1, 1, 4, 4],
        "62": [3, 2, 2, 1, 1],
        "63": [2, 5, 5, 2, 2],
        "64": [4, 3, 4, 5, 3],
        "65": [5, 4, 3, 3, 5],
        "66": [6, 6, 6, 6, 6],
    }
    for marks in (majority_at_once, larger_majority):
        columns = [sorted(each[judge] for each in marks.values()) for judge in range(5)]
        assert columns == [[1, 2, 3, 4, 5, 6]] * 5
        expected = [(place, number) for place, number in enumerate(marks, 1)]
        assert placed(panel_result(cards_of(marks), "majority", [])) == expected


def test_of_equal_majorities_the_lower_sum_of_the_marks_that_make_it_up_goes_first() -> None:
    """Skating system, rule 7, worked by hand: on firsts and seconds both have three of five, 1+1+2 against 1+2+2."""
    marks = {"1": [1, 1, 2, 4, 4], "2": [2, 2, 1, 3, 3], "3": [3, 3, 3, 1, 1], "4": [4, 4, 4, 2, 2]}
    assert placed(panel_result(cards_of(marks), "majority", [])) == [(1, "1"), (2, "2"), (3, "3"), (4, "4")]
    # The marks beyond the column are not in the sum: over all five it would be 12 against 11.


def test_level_in_sum_too_the_next_column_decides_for_those_alone() -> None:
    """Skating system, rule 7, worked by hand: A and B have three of five on seconds, sum 5; with thirds A has four."""
    marks = {
        "A": [1, 2, 2, 3, 5],
        "B": [2, 1, 4, 2, 4],
        "C": [3, 4, 1, 1, 3],
        "D": [4, 3, 3, 5, 1],
        "E": [5, 5, 5, 4, 2],
    }
    # C has four with thirds too, and a lower sum than A, yet is not asked: it had no majority on seconds.
    assert placed(panel_result(cards_of(marks), "majority", [])) == [
        (1, "A"),
        (2, "B"),
        (3, "C"),
        (4, "D"),
        (5, "E"),
    ]


def test_with_no_majority_in_a_column_the_next_is_added_for_all() -> None:
    """Skating system, rule 8, worked by hand: nobody has two of three firsts, on seconds 2 alone has; then thirds."""
    marks = {"1": [1, 4, 3], "2": [2, 2, 4], "3": [3, 1, 5], "4": [4, 5, 1], "5": [5, 3, 2]}
    # Seconds: 2 has two. Thirds: 1 has 1+3, 3 has 3+1, 5 has 3+2: the lower sums first, 1 and 3 level;
    # fourths: 1 has all three, 3 has two.
    assert placed(panel_result(cards_of(marks), "majority", [])) == [
        (1, "2"),
        (2, "1"),
        (3, "3"),
        (4, "5"),
        (5, "4"),
    ]


def test_methods_disagree_on_the_same_marks() -> None:
    """By arithmetic: 1,1,1,5,5 wins by majority; by points 2,2,2,1,1 does, 47 to 42."""
    marks = {
        "1": [1, 1, 1, 5, 5],
        "2": [2, 2, 2, 1, 1],
        "3": [3, 3, 3, 2, 2],
        "4": [4, 4, 4, 3, 3],
        "5": [5, 5, 5, 4, 4],
    }
    cards = cards_of(marks)
    assert placed(panel_result(cards, "majority", []))[:2] == [(1, "1"), (2, "2")]
    assert placed(panel_result(cards, "points", []))[:2] == [(1, "2"), (2, "1 3")]
    assert placed(panel_result(cards, "points", ["j0"]))[:3] == [(1, "2"), (2, "1"), (3, "3")]


def test_places_skip_after_a_tie_and_the_call_judge_breaks_it() -> None:
    marks = {"7": [1, 2], "12": [2, 1], "31": [3, 3]}
    cards = cards_of(marks)
    assert placed(panel_result(cards, "points", [])) == [(1, "7 12"), (3, "31")]
    assert placed(panel_result(cards, "points", ["j1"])) == [(1, "12"), (2, "7"), (3, "31")]
    with pytest.raises(NoResult, match="odd number of judges; these are 2"):
        panel_result(cards, "majority", [])


def test_a_horse_a_card_leaves_out_ranks_below_all_it_lists_and_gets_no_points() -> None:
    cards: list[PanelCard] = [
        {"judge": "a", "placing": ["1", "2"]},
        {"judge": "b", "placing": ["2", "1"]},
        {"judge": "c", "placing": ["3", "1", "2"]},
    ]
    assert placed(panel_result(cards, "points", [])) == [(1, "1"), (2, "2"), (3, "3")]  # 28, 27, 10
    assert placed(panel_result(cards, "majority", [])) == [(1, "1"), (2, "2"), (3, "3")]
    many: list[PanelCard] = [{"judge": "a", "placing": [str(n) for n in range(1, 13)]}]
    assert placed(panel_result(many, "points", []))[-1] == (11, "11 12")  # none after the tenth


def test_level_after_the_last_column_is_a_tie() -> None:
    marks = {"1": [1, 2, 3], "2": [2, 3, 1], "3": [3, 1, 2]}
    assert placed(panel_result(cards_of(marks), "majority", [])) == [(1, "1 2 3")]


def test_extremes_dropped_need_three_judges_and_leave_out_the_best_and_worst_of_each_horse() -> None:
    marks = {"1": [1, 1, 3, 3, 3], "2": [2, 2, 2, 2, 1], "3": [3, 3, 1, 1, 2]}
    # Points kept: 10 + 8 + 8, 9 + 9 + 9, 10 + 9 + 8.
    assert placed(panel_result(cards_of(marks), "dropped_points", [])) == [(1, "2 3"), (3, "1")]
    # Marks kept: 1 3 3, 2 2 2, 1 2 3; on firsts and seconds 2 has three of three, 3 has two.
    assert placed(panel_result(cards_of(marks), "dropped_majority", [])) == [(1, "2"), (2, "3"), (3, "1")]
    with pytest.raises(NoResult, match="3 judges; these are 2"):
        panel_result(cards_of({"1": [1, 2], "2": [2, 1]}), "dropped_points", [])


def test_separate_cards_have_no_result_of_the_panel() -> None:
    cards = cards_of({"1": [1, 2], "2": [2, 1]})
    with pytest.raises(NoResult, match="own result"):
        panel_result(cards, "separate", [])
    assert placed(card_result(cards[1])) == [(1, "2"), (2, "1")]


def _by_rule(marks: Mapping[str, Sequence[int]]) -> list[tuple[int, str]]:
    """A second way, horse against horse: the column where either first has a majority, then its size, its sum, and the
    same of each column after; a total order, for every step compares the same two lists.
    """
    last = max(mark for each in marks.values() for mark in each)

    def told(number: str, column: int) -> tuple[int, int]:
        within = [mark for mark in marks[number] if mark <= column]
        return (-len(within), sum(within)) if 2 * len(within) > len(marks[number]) else (0, 0)

    def compare(a: str, b: str) -> int:
        for column in range(1, last + 1):
            if told(a, column) != told(b, column):
                return -1 if told(a, column) < told(b, column) else 1
        return 0

    order = sorted(sorted(marks, key=int), key=cmp_to_key(compare))
    groups: list[list[str]] = []
    for number in order:
        if groups and compare(groups[-1][0], number) == 0:
            groups[-1].append(number)
        else:
            groups.append([number])
    placed_: list[tuple[int, str]] = []
    for group in groups:
        placed_.append((1 + sum(len(each.split()) for _, each in placed_), " ".join(group)))
    return placed_


@st.composite
def panels(draw: st.DrawFn) -> list[PanelCard]:
    horses = [str(number) for number in range(1, draw(st.integers(1, 8)) + 1)]
    judges = draw(st.sampled_from([1, 3, 5, 7]))
    cards: list[PanelCard] = []
    for judge in range(judges):
        order = draw(st.permutations(horses))
        cards.append({"judge": f"j{judge}", "placing": list(order[: draw(st.integers(0, len(order)))])})
    return cards


@given(panels())
def test_majority_is_what_comparing_horse_with_horse_gives(cards: list[PanelCard]) -> None:
    marks: dict[str, Sequence[int]] = {}
    for number in sorted({each for card in cards for each in card["placing"]}):
        marks[number] = [
            card["placing"].index(number) + 1 if number in card["placing"] else len(card["placing"]) + 1
            for card in cards
        ]
    expected = _by_rule(marks) if marks else []
    assert placed(panel_result(cards, "majority", [])) == expected


@given(
    panels(), st.sampled_from([method for method in METHODS if method != "separate"]), st.randoms(use_true_random=False)
)
def test_the_order_of_the_cards_changes_nothing_and_every_horse_has_one_place(
    cards: list[PanelCard], method: str, chance: Any
) -> None:
    if method.startswith("dropped") and len(cards) < 3:
        return
    calling = [cards[0]["judge"]]
    result = panel_result(cards, method, calling)
    numbers = [number for each in result for number in each["numbers"]]
    assert sorted(numbers) == sorted({number for card in cards for number in card["placing"]})
    assert [each["place"] for each in result] == [
        1 + sum(len(before["numbers"]) for before in result[:place]) for place in range(len(result))
    ]
    shuffled = list(cards)
    chance.shuffle(shuffled)
    assert panel_result(shuffled, method, calling) == result
    if cards and all(card["placing"] == cards[0]["placing"] for card in cards) and method == "majority":
        assert numbers == cards[0]["placing"]


def ballots(cards: Sequence[PanelCard]) -> dict[tuple[int, ...], int]:
    """The cards as votelib counts them: how often each ranking was given."""
    counted: dict[tuple[int, ...], int] = {}
    for card in cards:
        ranking = tuple(int(number) for number in card["placing"])
        counted[ranking] = counted.get(ranking, 0) + 1
    return counted


@given(panels())
def test_points_are_those_a_general_voting_library_adds_up(cards: list[PanelCard]) -> None:
    """votelib: a positional count with 10 for the top rank, one less a rank, nothing for the unranked."""
    given_ = {ranking: count for ranking, count in ballots(cards).items() if ranking}
    added: dict[int, int] = RankedToPositionalVotes(FixedTop(10)).convert(given_) if given_ else {}
    expected: list[tuple[int, str]] = []
    for points in sorted(set(added.values()), reverse=True):
        level = sorted(number for number, each in added.items() if each == points)
        expected.append((1 + sum(each > points for each in added.values()), " ".join(map(str, level))))
    assert placed(panel_result(cards, "points", [])) == expected


@given(st.integers(1, 8).flatmap(lambda n: st.lists(st.permutations(range(1, n + 1)), min_size=1, max_size=9)))
def test_the_first_by_majority_is_the_one_a_general_voting_library_elects(orders: list[list[int]]) -> None:
    """votelib: adding lower preferences until one has a majority, the larger majority first (Bucklin's rule), is the
    first step of the majority placing on whole rankings; of equal majorities it knows only that they are tied.
    """
    orders = orders if len(orders) % 2 else orders[1:] or orders * 3
    cards: list[PanelCard] = [
        {"judge": f"j{judge}", "placing": [str(number) for number in order]} for judge, order in enumerate(orders)
    ]
    (elected,) = PreferenceAddition().evaluate(ballots(cards), 1)
    elected_ = {str(number) for number in elected} if isinstance(elected, Tie) else {str(elected)}
    assert set(panel_result(cards, "majority", [])[0]["numbers"]) <= elected_
