"""A placing of four scored against the officials' by cuts: what reversing a pair costs.

The officials give an order and three cuts, one for each adjacent pair, small where the pair is close and large where it
is easy. Whoever has a pair the other way round loses the cuts that lie between its two horses.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations
from typing import TypedDict

WHOLE = 50
HORSES = 4
CUT_AT_MOST = 8  # Univ. of Nebraska G2092
SUM_AT_MOST = 15  # Colorado State Univ. fact sheet 1.619; Univ. of Maryland Extension, scoring of contests
MIDDLE_AT_MOST = 5  # where the cuts sum to 15: the same two; with it no placing scores below 0


class CutPair(TypedDict):
    """A pair of the official order, what it costs, and what was lost on it."""

    upper: str
    lower: str
    cut: int
    lost: int


class Score(TypedDict):
    """What is kept of 50, what is lost, and where; no pairs where no placing was given."""

    score: int
    lost: int
    pairs: list[CutPair]


class CutsRefused(ValueError):
    """Cuts outside the published limits; its text names the rule they break."""


def check_cuts(cuts: Sequence[int]) -> None:
    """Passes cuts within the limits, under which no placing scores below 0: 3 c1 + 4 c2 + 3 c3 <= 50. (The published
    limit of 8 on the middle cut where they sum to 14 is that of any cut.)

    Raises: CutsRefused with the rule that is broken.

    >>> check_cuts([2, 8, 2])
    >>> check_cuts([1, 6, 8])
    Traceback (most recent call last):
    nearside.engine.cuts.CutsRefused: with cuts that sum to 15 the middle one is 5 at most; this is 6

    Source: Colorado State Univ. fact sheet 1.619; Univ. of Maryland Extension; Univ. of Nebraska G2092.
    """
    if len(cuts) != HORSES - 1:
        raise CutsRefused(f"a class of four has three cuts; these are {len(cuts)}")
    for cut in cuts:
        if cut < 0:
            raise CutsRefused(f"no cut is below 0; this is {cut}")
        if cut > CUT_AT_MOST:
            raise CutsRefused(f"no cut is over {CUT_AT_MOST}; this is {cut}")
    total, middle = sum(cuts), cuts[1]
    if total > SUM_AT_MOST:
        raise CutsRefused(f"the three cuts sum to {SUM_AT_MOST} at most; these sum to {total}")
    if total == SUM_AT_MOST and middle > MIDDLE_AT_MOST:
        raise CutsRefused(f"with cuts that sum to {total} the middle one is {MIDDLE_AT_MOST} at most; this is {middle}")


def score_of(official: Sequence[str], cuts: Sequence[int], placing: Sequence[str]) -> Score:
    """What a placing of the same four horses keeps of 50, with each pair's cut and loss in the official order.

    Complete reversal loses 3 c1 + 4 c2 + 3 c3. Raises: CutsRefused as `check_cuts`.

    >>> score_of("3 2 1 4".split(), [2, 8, 2], "2 3 4 1".split())["score"]
    46

    Source: Univ. of Maryland Extension, scoring of contests (the example).
    """
    check_cuts(cuts)
    at = {number: place for place, number in enumerate(placing)}
    pairs: list[CutPair] = []
    for above, below in combinations(range(HORSES), 2):
        upper, lower, cut = official[above], official[below], sum(cuts[above:below])
        pairs.append({"upper": upper, "lower": lower, "cut": cut, "lost": 0 if at[upper] < at[lower] else cut})
    lost = sum(pair["lost"] for pair in pairs)
    return {"score": WHOLE - lost, "lost": lost, "pairs": pairs}
