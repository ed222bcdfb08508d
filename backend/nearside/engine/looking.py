"""Which look would settle a close pair: a view of a horse not yet taken, where one clear mark could turn it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TypedDict

from .sheets import Scheme, Sheet
from .steps import DOWN, UP, Changes, clear_mark


class Look(TypedDict):
    number: str
    view: str
    pair: list[str]


def look_again(
    scheme: Scheme,
    sheets: Mapping[str, Sheet],
    changes: Mapping[str, Changes],
    adjacent: Sequence[tuple[str, str, int]],
) -> list[Look]:
    """The looks worth taking, closest pair first.

    For each adjacent pair compared by its marks, for each view not seen of a horse: listed where one clear faulty mark
    there (upper horse), or one clear good mark (lower horse), would bring the margin to 0 or below.

    Arguments: `adjacent`, upper, lower and margin of each such pair, in placing order.
    Returns: sorted by margin, then place of the pair, upper before lower, order of views.
    """
    found: list[tuple[int, int, int, int, Look]] = []
    for place, (upper, lower, margin) in enumerate(adjacent):
        for which, (number, direction) in enumerate(((upper, DOWN), (lower, UP))):
            for order, view in enumerate(scheme.standard["views"]):
                if view in sheets[number].seen:
                    continue
                moved = clear_mark(scheme, sheets[number], view, direction, changes[number])
                if moved is not None and moved >= margin:
                    look: Look = {"number": number, "view": view, "pair": [upper, lower]}
                    found.append((margin, place, which, order, look))
    return [look for *_, look in sorted(found, key=lambda each: each[:4])]
