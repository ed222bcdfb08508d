"""One result from the cards of several judges, by the method the show names.

A mark is the place a judge's card gives a horse; a horse a card leaves out ranks below all that card lists. Ties stay
visible: tied horses share a place, and the places after them are skipped (1, 1, 3).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Literal, TypedDict, get_args

from .numbers import in_natural_order

# How a result is named. The two with the extremes dropped leave out each horse's best and worst mark first.
Method = Literal["majority", "points", "dropped_majority", "dropped_points", "separate"]
METHODS: tuple[str, ...] = get_args(Method)
POINTS_FOR_FIRST = 10
JUDGES_TO_DROP = 3  # with fewer nothing is left once the best and the worst are gone


class PanelCard(TypedDict):
    """A judge's signed order, best first, none twice."""

    judge: str
    placing: list[str]


class Shared(TypedDict):
    """A place and the horses that hold it; more than one are tied, in natural order."""

    place: int
    numbers: list[str]


class NoResult(ValueError):
    """The method can't be used on these cards; its text says why."""


def panel_result(cards: Sequence[PanelCard], method: str, call_judges: Sequence[str]) -> list[Shared]:
    """The horses of all cards, placed together.

    `majority`: a horse with a majority of firsts is first; else count firsts and seconds, and so on; of several with a
    majority in the same column the larger majority, then the lower sum of the marks that make it up, then the next
    column for those still level; level after the last column is a tie. `points`: 10, 9, 8 ... for places 1, 2, 3 ...
    from each judge (none after the tenth, none where the card leaves the horse out), added; ties go to the first call
    judge's order, then the next's. `dropped_majority` and `dropped_points`: the same without each horse's best and
    worst mark.

    Raises: NoResult for an even number of marks where a majority is asked for, fewer than three judges where the
    extremes are dropped, and for `separate`, under which each card is its own result.

    >>> marks = {"a": "1 2 3", "b": "2 1 3", "c": "1 3 2"}
    >>> panel_result([{"judge": j, "placing": m.split()} for j, m in marks.items()], "majority", [])
    [{'place': 1, 'numbers': ['1']}, {'place': 2, 'numbers': ['2']}, {'place': 3, 'numbers': ['3']}]

    Source: majority: dance sport's published skating system, rules 5 to 8 (edition and page not at hand); points, call
    judges and dropped extremes: common practice.
    """
    if method == "separate":
        raise NoResult("under separate cards each judge's card is its own result; there is none of the panel")
    is_dropped = method.startswith("dropped_")
    if is_dropped and len(cards) < JUDGES_TO_DROP:
        raise NoResult(f"to drop the high and the low mark takes {JUDGES_TO_DROP} judges; these are {len(cards)}")
    if method.endswith("majority") and len(cards) % 2 == 0:
        raise NoResult(f"a majority takes an odd number of judges; these are {len(cards)}")
    marks = _marks(cards)
    if method.endswith("majority"):
        counted = {number: _inner(each) if is_dropped else each for number, each in marks.items()}
        last = max((mark for each in counted.values() for mark in each), default=0)
        groups = _by_majority(in_natural_order(counted), counted, 1, last)
    else:
        groups = _by_points(cards, marks, is_dropped, call_judges)
    return _placed(groups)


def card_result(card: PanelCard) -> list[Shared]:
    """One card as its own result."""
    return _placed([[number] for number in card["placing"]])


def among(result: Sequence[Shared], stays: Callable[[str], bool]) -> list[Shared]:
    """The result of some of its horses alone: the others are taken out and the places below move up.

    The order of those left does not change, nor who is tied with whom: they are not placed anew.

    >>> among([{"place": 1, "numbers": ["1"]}, {"place": 2, "numbers": ["2", "3"]}], lambda number: number != "1")
    [{'place': 1, 'numbers': ['2', '3']}]
    """
    left = [[number for number in shared["numbers"] if stays(number)] for shared in result]
    return _placed([level for level in left if level])


def _marks(cards: Sequence[PanelCard]) -> dict[str, list[int]]:
    """For each horse its place on every card, in the cards' order."""
    numbers = in_natural_order({number for card in cards for number in card["placing"]})
    places = [{number: place for place, number in enumerate(card["placing"], 1)} for card in cards]
    return {number: [each.get(number, len(each) + 1) for each in places] for number in numbers}


def _inner(marks: Sequence[int]) -> list[int]:
    return sorted(marks)[1:-1]


def _by_majority(numbers: Sequence[str], marks: Mapping[str, Sequence[int]], column: int, last: int) -> list[list[str]]:
    """The horses in order, the tied together, seen from this column on. All take part in it or have no majority yet."""
    groups: list[list[str]] = []
    left = list(numbers)
    while left and column <= last:
        ready: dict[tuple[int, int], list[str]] = {}
        for number in left:
            within = [mark for mark in marks[number] if mark <= column]
            if 2 * len(within) > len(marks[number]):
                ready.setdefault((-len(within), sum(within)), []).append(number)
        for key in sorted(ready):
            level = ready[key]
            groups += [level] if len(level) == 1 else _by_majority(level, marks, column + 1, last)
            left = [number for number in left if number not in level]
        column += 1
    return [*groups, left] if left else groups


def _by_points(
    cards: Sequence[PanelCard], marks: Mapping[str, Sequence[int]], is_dropped: bool, call_judges: Sequence[str]
) -> list[list[str]]:
    points: dict[str, list[int]] = {number: [] for number in marks}
    for number, each in marks.items():
        for card, mark in zip(cards, each, strict=True):
            points[number].append(max(0, POINTS_FOR_FIRST + 1 - mark) if number in card["placing"] else 0)
    column = {card["judge"]: place for place, card in enumerate(cards)}

    def key(number: str) -> list[int]:
        given = _inner(points[number]) if is_dropped else points[number]
        return [-sum(given), *(marks[number][column[judge]] for judge in call_judges)]

    return _grouped(list(marks), key)


def _grouped(numbers: Sequence[str], key: Callable[[str], list[int]]) -> list[list[str]]:
    groups: list[list[str]] = []
    for number in sorted(numbers, key=key):  # stable: within a tie the order is natural
        if groups and key(groups[-1][0]) == key(number):
            groups[-1].append(number)
        else:
            groups.append([number])
    return groups


def _placed(groups: Sequence[Sequence[str]]) -> list[Shared]:
    placed: list[Shared] = []
    place = 1
    for numbers in groups:
        placed.append({"place": place, "numbers": list(numbers)})
        place += len(numbers)
    return placed
