"""Weighing: order weights against published values, the share of weighings against integration."""

from __future__ import annotations

import json
from fractions import Fraction
from math import lcm
from pathlib import Path

import numpy
import pytest
from hypothesis import given
from hypothesis import strategies as st

from nearside.engine.weighing import (
    impression,
    impression_after,
    order_weights,
    plainest,
    share_of_weighings,
    weighing_scale,
)

PUBLISHED = json.loads((Path(__file__).parents[1] / "published" / "rank_order_centroid.json").read_text())
differences = st.lists(st.integers(-2000, 2000), min_size=2, max_size=8)
strengths = st.lists(st.integers(0, 36), max_size=12)


@pytest.mark.parametrize("n", range(PUBLISHED["formula_from_n"], PUBLISHED["formula_to_n"] + 1))
def test_order_weights_are_the_rank_order_centroid_weights_of_barron_and_barrett_1996(n: int) -> None:
    weights = order_weights(n)
    whole = n * lcm(*range(1, n + 1))
    assert sum(weights) == whole
    for i, weight in enumerate(weights, start=1):
        assert Fraction(weight, whole) == sum((Fraction(1, k) for k in range(i, n + 1)), Fraction()) / n


def test_order_weights_of_four_criteria_are_those_printed_by_barron_and_barrett_1996() -> None:
    for n, printed in PUBLISHED["printed"].items():
        weights = order_weights(int(n))
        assert [round(weight / sum(weights), PUBLISHED["printed_places"]) for weight in weights] == printed


@pytest.mark.parametrize("n", range(2, 11))
def test_order_weights_are_the_centroid_of_all_weightings_that_keep_the_order(n: int) -> None:
    corners = numpy.array([[1 / k] * k + [0.0] * (n - k) for k in range(1, n + 1)])
    weights = numpy.array(order_weights(n))
    numpy.testing.assert_allclose(corners.mean(axis=0), weights / weights.sum(), rtol=1e-12)


def test_scale_is_what_one_slight_mark_of_weight_one_everywhere_would_come_to() -> None:
    for n in range(2, 9):
        assert sum(order_weights(n)) * 60 == weighing_scale(n)


@pytest.mark.parametrize("seed", range(200))
def test_share_of_weighings_agrees_with_numerical_integration_over_sorted_uniform_weights(seed: int) -> None:
    draw = numpy.random.default_rng(seed)
    n = int(draw.integers(2, 9))
    figures = [int(each) for each in draw.integers(-1000, 1001, n)]
    # Uniform on the simplex, sorted descending, is uniform on the weightings that keep the order.
    weights = -numpy.sort(-draw.dirichlet(numpy.ones(n), 40_000), axis=1)
    above = float((weights @ numpy.array(figures) > 0).mean())
    # Four standard errors of a share from 40,000 draws, and the rounding to per mille.
    assert abs(share_of_weighings(figures) / 1000 - above) < 4 * 0.5 / 200 + 0.0005


@given(st.integers(-500, 500), st.integers(-500, 500))
def test_share_of_two_criteria_is_that_worked_by_hand(first: int, second: int) -> None:
    """w_1 runs evenly from 1/2 to 1: the upper horse leads where w_1 first + (1 - w_1) second > 0."""
    at_half, at_one = Fraction(first + second, 2), Fraction(first)
    if at_half == at_one == 0:
        part = Fraction(1, 2)
    elif min(at_half, at_one) >= 0:
        part = Fraction(1)
    elif max(at_half, at_one) <= 0:
        part = Fraction(0)
    else:
        part = max(at_half, at_one) / (max(at_half, at_one) - min(at_half, at_one))
    assert abs(share_of_weighings([first, second]) - 1000 * part) <= Fraction(1, 2) + Fraction(1, 10**6)


@given(differences)
def test_share_and_its_mirror_make_the_whole(figures: list[int]) -> None:
    mirrored = share_of_weighings([-figure for figure in figures])
    assert abs(share_of_weighings(figures) + mirrored - 1000) <= 1


@given(differences, st.integers(1, 9))
def test_share_depends_only_on_the_proportions(figures: list[int], times: int) -> None:
    assert abs(share_of_weighings([figure * times for figure in figures]) - share_of_weighings(figures)) <= 1


def test_no_difference_is_half() -> None:
    assert share_of_weighings([0, 0, 0]) == 500


def test_the_plainest_of_several_views_counts_at_each_end() -> None:
    assert plainest([1, 3, -2], [1, 2, 4]) == (4, 2)
    assert plainest([], [1, 2, 4]) == (0, 0)


def test_four_clear_merits_outweigh_one_marked_and_six_slight_ones_never_do() -> None:
    slight, clear, marked = 1, 2, 4
    assert impression([clear] * 4) > impression([marked]) > impression([slight] * 6)
    assert impression([slight] * 40) == impression([slight] * 6)


@given(strengths, st.integers(0, 36), st.integers(0, 36))
def test_a_changed_strength_is_as_if_it_had_been_marked_so(others: list[int], old: int, new: int) -> None:
    held = [each for each in [*others, old] if each > 0]
    assert impression_after(held, old, new) == impression([*others, new])


@given(strengths, st.integers(0, 36), st.integers(0, 36))
def test_a_better_mark_never_lowers_an_impression(others: list[int], old: int, more: int) -> None:
    assert impression([*others, old + more]) >= impression([*others, old])
