"""Champion and reserve: who comes back by practice, and what is warned of; worked by hand and by properties."""

from __future__ import annotations

from collections.abc import Sequence

from hypothesis import given
from hypothesis import strategies as st

from nearside.engine.champions import Horse, Warned, contenders, reserve_contenders, warnings


def order(class_id: str, *levels: str) -> list[list[Horse]]:
    """An order of a class; tied numbers with a space between."""
    return [[(class_id, number) for number in level.split()] for level in levels]


MARES = order("mares", "12", "7", "31")
FILLIES = order("fillies", "50", "51")
YEARLINGS = order("yearlings", "12")  # a number met before: another horse
FIRSTS = [("mares", "12"), ("fillies", "50"), ("yearlings", "12")]


def test_the_firsts_come_back_known_by_class_and_number() -> None:
    assert contenders([MARES, FILLIES, YEARLINGS]) == FIRSTS


def test_the_second_of_the_champions_class_comes_in_for_reserve_in_the_place_of_its_class() -> None:
    """Common practice of open shows, from memory: champion 12 of the mares, so 7 joins 50 and 12 of the yearlings."""
    left = reserve_contenders([MARES, FILLIES, YEARLINGS], ("mares", "12"))
    assert left == [("mares", "7"), ("fillies", "50"), ("yearlings", "12")]
    alone = reserve_contenders([MARES, FILLIES, YEARLINGS], ("yearlings", "12"))
    assert alone == [("mares", "12"), ("fillies", "50")]  # nobody was second to it


def test_tied_firsts_both_come_back_and_the_third_is_second_to_neither() -> None:
    tied = order("c1", "1 2", "3")
    assert contenders([tied]) == [("c1", "1"), ("c1", "2")]
    assert reserve_contenders([tied], ("c1", "1")) == [("c1", "2")]
    assert reserve_contenders([order("c1", "1", "2 3")], ("c1", "1")) == [("c1", "2"), ("c1", "3")]


def test_a_horse_last_by_rule_does_not_come_back_nor_the_next_for_it() -> None:
    assert contenders([order("c1", "1"), FILLIES], {("c1", "1")}) == [("fillies", "50")]
    # For reserve it is passed over: the next that may come back stood second.
    three = order("c1", "1", "2", "3")
    assert reserve_contenders([three], ("c1", "1"), {("c1", "2")}) == [("c1", "3")]
    assert reserve_contenders([three], ("c1", "1"), {("c1", "2"), ("c1", "3")}) == []


def test_junior_and_senior_feed_a_grand() -> None:
    junior = [[("fillies", "50")], [("yearlings", "12")]]
    senior = [[("mares", "12")], [("mares", "7")]]
    assert contenders([junior, senior]) == [("fillies", "50"), ("mares", "12")]
    assert reserve_contenders([junior, senior], ("mares", "12")) == [("fillies", "50"), ("mares", "7")]


def test_an_order_with_nobody_in_it_brings_nobody() -> None:
    assert contenders([[], MARES]) == [("mares", "12")]
    assert reserve_contenders([[], MARES], ("mares", "12")) == [("mares", "7")]
    assert contenders([]) == []


def test_nothing_is_warned_of_where_practice_is_followed() -> None:
    orders = [MARES, FILLIES]
    assert warnings(orders, orders, ("mares", "12"), ("mares", "7")) == []
    assert warnings(orders, orders, ("mares", "12"), ("fillies", "50")) == []
    assert warnings(orders, orders, ("mares", "12"), None) == []
    assert warnings(orders, orders, None, None) == []


def test_warned_of_a_horse_put_above_the_one_that_beat_it() -> None:
    orders = [MARES, FILLIES]
    assert warnings(orders, orders, ("mares", "7"), None) == [
        Warned("champion", ("mares", "7"), []),
        Warned("champion", ("mares", "7"), [("mares", "12")]),
    ]
    # 31 was third: 7 stood above it and could have come in; the champion is above both, and no news.
    assert warnings(orders, orders, ("mares", "12"), ("mares", "31")) == [
        Warned("reserve", ("mares", "31"), []),
        Warned("reserve", ("mares", "31"), [("mares", "7")]),
    ]
    # 51 was second in a class whose first is not champion: it never came back, and 50 beat it.
    assert [each.beaten_by for each in warnings(orders, orders, ("mares", "12"), ("fillies", "51"))] == [
        [],
        [("fillies", "50")],
    ]


def test_under_another_judge_only_its_never_having_come_back_is_warned_of() -> None:
    orders = [MARES, FILLIES]
    assert warnings(orders, [FILLIES], ("mares", "7"), None) == [Warned("champion", ("mares", "7"), [])]


def test_of_a_panel_only_those_that_came_back_are_warned_of() -> None:
    """The panel had 12 first; this judge had 7 above it, but 7 is not in the ring until 12 is champion."""
    own = order("mares", "7", "12", "31")
    assert warnings([MARES, FILLIES], [own], ("fillies", "50"), ("mares", "12")) == []
    assert warnings([MARES], [own], ("mares", "12"), ("mares", "7")) == [
        Warned("champion", ("mares", "12"), [("mares", "7")])
    ]


@st.composite
def shows(draw: st.DrawFn) -> list[list[list[Horse]]]:
    orders: list[list[list[Horse]]] = []
    for serial in range(draw(st.integers(1, 5))):
        numbers = draw(st.lists(st.sampled_from(["1", "2", "7", "007", "A1"]), unique=True, max_size=5))
        levels: list[list[Horse]] = []
        for number in numbers:
            if draw(st.booleans()) and levels:
                levels[-1].append((f"c{serial}", number))
            else:
                levels.append([(f"c{serial}", number)])
        orders.append(levels)
    return orders


def _tails_turned(orders: Sequence[list[list[Horse]]]) -> list[list[list[Horse]]]:
    return [[*each[:1], *reversed(each[1:])] for each in orders]


@given(shows())
def test_contenders_are_a_function_of_the_firsts_alone(orders: list[list[list[Horse]]]) -> None:
    assert contenders(orders) == contenders([each[:1] for each in orders]) == contenders(_tails_turned(orders))


@given(shows())
def test_for_reserve_the_firsts_left_and_whoever_is_first_without_the_champion(orders: list[list[list[Horse]]]) -> None:
    for champion in contenders(orders):
        without = [[[each for each in level if each != champion] for level in order] for order in orders]
        expected = contenders([[level for level in order if level] for order in without])
        assert reserve_contenders(orders, champion) == expected
        for reserve in expected:
            assert warnings(orders, orders, champion, reserve) == []
