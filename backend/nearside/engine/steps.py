"""What one more step, or one more look, could do to a horse's total.

A step changes one degree of one horse on one trait in one view to its neighbor on -3, -2, -1, none, 1, 2, 3; a
fault-only trait ends at none. Steps show how firm a pair is; they are no advice to mark otherwise.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from .sheets import Scheme, Sheet
from .standard import is_fault_only
from .weighing import impression_after, plainest

UP, DOWN = 1, -1
PLAINEST_DEGREE = 3
CLEAR = 2
NONE = 0


class Step(NamedTuple):
    """One step: where, from which degree to which (0 for none), and what it does to the total."""

    trait: str
    view: str
    before: int
    after: int
    change: int


class Changes:
    """What changes of a trait's strength do to one horse's total; each is worked out once."""

    def __init__(self, scheme: Scheme, sheet: Sheet) -> None:
        self._weights = scheme.weights
        self._criterion_of = scheme.criterion_of
        self._trait_weights = scheme.trait_weights
        self._sheet = sheet
        self._known: dict[tuple[int, bool, int, int], int] = {}

    def of_trait(self, place: int, good: int, faulty: int) -> int:
        """The change of T when the trait at this place comes to these counts."""
        weight, sheet = self._trait_weights[place], self._sheet
        old_good, new_good, old_faulty, new_faulty = (
            sheet.good[place],
            weight * good,
            sheet.faulty[place],
            weight * faulty,
        )
        change = 0
        if old_good != new_good:
            change += self._of_end(self._criterion_of[place], True, old_good, new_good)
        if old_faulty != new_faulty:
            change -= self._of_end(self._criterion_of[place], False, old_faulty, new_faulty)
        return change

    def _of_end(self, criterion: int, is_good: bool, old: int, new: int) -> int:
        key = (criterion, is_good, old, new)
        known = self._known.get(key)
        if known is None:
            sheet = self._sheet
            ends = (sheet.good_ends if is_good else sheet.faulty_ends)[criterion]
            part = (sheet.good_parts if is_good else sheet.faulty_parts)[criterion]
            known = self._weights[criterion] * (impression_after(ends, old, new) - part)
            self._known[key] = known
        return known


def steps(scheme: Scheme, sheet: Sheet, direction: int, changes: Changes) -> Iterator[Step]:
    """Every single step of one horse in one direction (1 up, -1 down), in the standard's order, view by view."""
    for place, trait in enumerate(scheme.traits):
        by_view = sheet.degrees.get(trait["key"], _NO_DEGREES)
        highest = NONE if is_fault_only(trait) else PLAINEST_DEGREE
        for view in trait["views"]:
            before = by_view.get(view, NONE)
            after = before + direction
            if -PLAINEST_DEGREE <= after <= highest:
                good, faulty = scheme.ends_of[after]
                if len(by_view) > (view in by_view):
                    good, faulty = plainest({**by_view, view: after}.values(), scheme.standard["degrees"])
                yield Step(trait["key"], view, before, after, changes.of_trait(place, good, faulty))


_NO_DEGREES: dict[str, int] = {}


def rise(scheme: Scheme, sheet: Sheet, changes: Changes) -> int:
    """The most by which one step up raises the total; 0 where there is none."""
    return max((step.change for step in steps(scheme, sheet, UP, changes)), default=0)


def fall(scheme: Scheme, sheet: Sheet, changes: Changes) -> int:
    """The most by which one step down lowers the total, as a figure of 0 or more."""
    return max((-step.change for step in steps(scheme, sheet, DOWN, changes)), default=0)


def clear_mark(scheme: Scheme, sheet: Sheet, view: str, direction: int, changes: Changes) -> int | None:
    """The most that one clear mark in a view without degrees could move the total that way; None: no trait there.

    Arguments: direction 1 for a clear good mark, -1 for a clear faulty one. Returns: 0 or more.
    """
    counts = scheme.standard["degrees"]
    most: int | None = None
    for place, trait in enumerate(scheme.traits):
        if view not in trait["views"] or (direction == UP and is_fault_only(trait)):
            continue
        by_view = sheet.degrees.get(trait["key"], {})
        good, faulty = plainest([*by_view.values(), direction * CLEAR], counts)
        moved = direction * changes.of_trait(place, good, faulty)
        most = moved if most is None else max(most, moved)
    return most
