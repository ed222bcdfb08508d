"""The engine's figures a second way, by general-purpose libraries that know nothing of horses."""

from __future__ import annotations

from itertools import pairwise

import numpy
import pytest
from numpy.polynomial.legendre import leggauss
from pymcdm.methods import WSM
from scipy.interpolate import BSpline

from nearside.engine.weighing import order_weights, part_above

from . import cases


def spline_part_above(corners: numpy.ndarray) -> float:
    """The part of a simplex on which a linear function is above 0, as a distribution.

    Curry and Schoenberg 1966 (On Polya frequency functions IV, Journal d'Analyse Mathematique 17): the values of a
    linear function over a simplex are distributed as the B-spline whose knots are its values at the corners.
    """
    knots = numpy.sort(corners)
    degree = len(knots) - 2
    basis = BSpline.basis_element(knots, extrapolate=False)
    points, weights = leggauss(degree + 1)  # exact for the polynomial between two knots
    above = 0.0
    ends = [0.0, *(float(knot) for knot in knots if knot > 0)]
    for start, end in pairwise(ends):
        middle, half = (start + end) / 2, (end - start) / 2
        above += half * float(weights @ numpy.nan_to_num(basis(middle + half * points)))
    # The basis element integrates to (last - first) / (degree + 1); its density integrates to one.
    return above * (degree + 1) / float(knots[-1] - knots[0])


@pytest.mark.parametrize("seed", range(500))
def test_share_of_weighings_is_the_b_spline_distribution_of_curry_and_schoenberg_1966(seed: int) -> None:
    draw = numpy.random.default_rng(seed)
    n = int(draw.integers(2, 9))
    corners = draw.integers(-1000, 1001, n) / numpy.arange(1, n + 1)
    if corners.min() >= 0 or corners.max() <= 0:
        corners[0], corners[-1] = -abs(corners[0]) - 1, abs(corners[-1]) + 1
    ours = part_above(sorted(float(each) for each in corners))
    assert ours == pytest.approx(spline_part_above(corners), abs=1e-9)


@pytest.mark.parametrize("n", range(2, 9))
def test_the_mean_over_the_corners_is_the_margin_by_the_order_weights(n: int) -> None:
    figures = numpy.random.default_rng(n).integers(-1000, 1001, n)
    corners = figures.cumsum() / numpy.arange(1, n + 1)
    weights = numpy.array(order_weights(n))
    assert corners.mean() == pytest.approx(float(weights @ figures) / weights.sum())


def _as_it_is(column: numpy.ndarray, *, cost: bool) -> numpy.ndarray:
    """Scores stand on one scale already: nothing is normalized."""
    assert not cost
    return column


@pytest.mark.parametrize("seed", range(200))
def test_without_calls_or_rules_the_placing_is_the_ranking_by_pymcdms_weighted_sum(seed: int) -> None:
    draw = numpy.random.default_rng(seed)
    numbers = ["7", "12", "31", "103", "45", "9"]
    traits = [(trait, view) for part in cases.PLAIN["criteria"] for trait in part["traits"] for view in trait["views"]]
    notes = [
        cases.note(
            "mark",
            f"{number} {trait['key']} {view}",
            number=number,
            trait=trait["key"],
            view=view,
            degree=-int(draw.integers(1, 4)) if "good" not in trait else int(draw.choice([-3, -2, -1, 1, 2, 3])),
        )
        for number in numbers
        for trait, view in traits
        if draw.random() < 0.6
    ]
    placing = cases.placed(numbers, notes)
    scores = numpy.array([[c["score"] for c in each["criteria"]] for each in placing["totals"]], dtype=float)
    weights = numpy.array(order_weights(scores.shape[1]), dtype=float)
    preferences = WSM(_as_it_is)(scores, weights / weights.sum(), numpy.ones(len(weights)), validation=False)
    assert len(scores) >= 5
    assert list(preferences) == pytest.approx(sorted(preferences, reverse=True), abs=1e-9)
    totals = numpy.array([each["total"] for each in placing["totals"]])
    assert preferences * weights.sum() == pytest.approx(totals)
