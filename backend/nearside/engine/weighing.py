"""From marks to figures: how a horse's marks count, how criteria weigh, how firm a comparison is.

Every figure is an integer but the share of weighings, which is worked out in floats in one fixed way.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import floor, lcm
from operator import mul

# Within a criterion the plainest mark counts in full, the next a half, and so on to the sixth; the rest not at all.
# In sixtieths, so that all six are whole. Our own choice, not from a source: an impression rests on what is most seen.
IMPRESSION = (60, 30, 20, 15, 12, 10)
IN_FULL = IMPRESSION[0]


def order_weights(n: int) -> list[int]:
    """What each of n criteria weighs, known only their order of importance.

    W_i = L (1/i + 1/(i+1) + ... + 1/n) with L = lcm(1..n): the rank-order centroid weights times n L, the centroid of
    all weightings w_1 >= w_2 >= ... >= w_n >= 0 of sum 1.

    Arguments: n, at least 1. Returns: n integers, descending, of sum n L.
    Example: of 48 in all,

    >>> order_weights(4)
    [25, 13, 7, 3]

    Source: Barron and Barrett 1996, Management Science 42(11), rank-order centroid weights.
    """
    common = lcm(*range(1, n + 1))
    return [sum(common // k for k in range(i, n + 1)) for i in range(1, n + 1)]


def weighing_scale(n: int) -> int:
    """What a total is divided by to stand on the scale of one criterion's plainest mark: n L x 60.

    >>> weighing_scale(4)
    2880
    """
    return n * lcm(*range(1, n + 1)) * IN_FULL


def plainest(degrees: Iterable[int], counts: Sequence[int]) -> tuple[int, int]:
    """The good and the faulty end of a trait, from its degrees over the views it was seen from.

    good = the largest count of the positive degrees, faulty = the largest of the negative ones, 0 where there are
    none: seen from several places the plainest counts, and a good view does not wipe out a bad one.

    >>> plainest([1, -2, 2], [1, 2, 4])
    (2, 2)
    """
    good = faulty = 0
    for degree in degrees:
        if degree > 0:
            good = max(good, counts[degree - 1])
        elif degree < 0:
            faulty = max(faulty, counts[-degree - 1])
    return good, faulty


def impression(strengths: Iterable[int]) -> int:
    """What the marks of one end of a criterion come to: the six strongest, each counting less than the one before.

    Arguments: weight x count of each trait, 0 or more. Returns: sixtieths.
    To say aloud: four clear merits outweigh one marked, six slight ones never do.

    >>> impression([2, 2, 2, 2]), impression([4]), impression([1] * 6)
    (250, 240, 147)
    """
    return sum(map(mul, IMPRESSION, sorted(strengths, reverse=True)))


def impression_after(strengths: Sequence[int], old: int, new: int) -> int:
    """`impression` once one trait's strength has gone from `old` to `new`; `strengths` stays as it is.

    >>> impression_after([2, 2], 0, 4)
    340
    """
    changed = list(strengths)
    if old > 0:
        changed.remove(old)
    changed.append(new)
    return impression(changed)


def share_of_weighings(differences: Sequence[int]) -> int:
    """The part, per mille, of all weightings under which the upper horse still leads.

    The weightings w_1 >= ... >= w_n >= 0 of sum 1, taken uniformly, are a simplex; sum w_c D_c is linear on it, and at
    its k-th corner (the first k criteria equal, the rest nothing) comes to v_k = (D_1 + ... + D_k) / k.

    Arguments: D_c, criteria in order of importance, upper less lower. Returns: 0 to 1000; 500 where all D_c are 0.

    >>> share_of_weighings([1, -3]), share_of_weighings([3, 5]), share_of_weighings([0, 0])
    (500, 1000, 500)
    """
    corners: list[float] = []
    so_far = 0
    for k, difference in enumerate(differences, start=1):
        so_far += difference
        corners.append(so_far / k)
    return floor(1000 * part_above(sorted(corners)) + 0.5)


def part_above(values: list[float]) -> float:
    """The part of a simplex on which a linear function is above 0, from its values at the corners.

    With b the smallest, a the largest and R the rest: the segment from b to a is cut where the value is 0, and
    f(values) = (a f(a, 0, R) - b f(b, 0, R)) / (a - b), for the volumes of the two parts are in that ratio.

    Arguments: values, ascending. Returns: 0 to 1; a half where all are 0.

    >>> part_above([-1.0, 1.0]), part_above([-1.0, 0.0, 3.0])
    (0.5, 0.75)
    """
    lowest, highest = values[0], values[-1]
    if lowest >= 0:
        return 1.0 if highest > 0 else 0.5
    if highest <= 0:
        return 0.0
    rest = values[1:-1]
    upper_part = part_above(sorted([highest, 0.0, *rest]))
    lower_part = part_above(sorted([lowest, 0.0, *rest]))
    return (highest * upper_part - lowest * lower_part) / (highest - lowest)
