"""Direct calls: who is said to stand over whom, circles among them, and the order they ask for.

Calls are edges from winner to loser. Where they run in a circle they contradict one another: the circle is reported
and every call inside it set aside. What is left has no circle, and lifts a called winner to just above the horse it
beat, no higher.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from .numbers import in_natural_order, natural_key

Call = tuple[str, str]


class Calls(NamedTuple):
    """The calls of a card sorted: `below[x]` are the horses called directly under x, in natural order."""

    below: dict[str, list[str]]
    circles: list[list[str]]
    set_aside: list[Call]


def sorted_calls(calls: Iterable[Call], placed_by_marks: Sequence[str]) -> Calls:
    """The calls that count among the horses placed by marks, the circles, and the calls set aside.

    Returns: circles with their numbers in natural order, sorted by them; calls set aside, winner then loser.
    """
    among = set(placed_by_marks)
    every = sorted(set(calls), key=lambda call: (natural_key(call[0]), natural_key(call[1])))
    inside = [call for call in every if call[0] in among and call[1] in among]
    reach = {number: _reached(_below(inside), number) for number in among}
    circle_of = {
        number: in_natural_order([number, *(other for other in reach[number] if number in reach[other])])
        for number in among
        if number in reach[number]
    }
    kept = [call for call in inside if call[1] not in circle_of.get(call[0], ())]
    circles = {tuple(circle): circle for circle in circle_of.values()}
    return Calls(
        below=_below(kept),
        circles=sorted(circles.values(), key=lambda circle: [natural_key(number) for number in circle]),
        set_aside=[call for call in every if call not in set(kept)],
    )


def called_order(by_key: Sequence[str], calls: Calls) -> list[str]:
    """The horses in the order of their keys, called winners raised just above the horses they beat.

    Look at the first horse left. If horses left stand over it, directly or by a chain, take of these, among those with
    no horse left over them, the first; else take the horse itself. Repeat.
    """
    over: dict[str, list[str]] = {number: [] for number in by_key}
    for winner in by_key:
        for loser in _reached(calls.below, winner):
            over[loser].append(winner)
    left = list(by_key)
    order: list[str] = []
    while left:
        over_first = [number for number in over[left[0]] if number not in order]
        free = [number for number in over_first if all(each in order for each in over[number])]
        taken = next((number for number in left if number in free), left[0])
        left.remove(taken)
        order.append(taken)
    return order


def chain(calls: Calls, upper: str, lower: str) -> list[str] | None:
    """The shortest path of calls from upper to lower, both included; None where none leads there.

    Ties: among equally short ones the first by natural order, horse by horse.
    """
    came_from: dict[str, str | None] = {upper: None}
    queue = deque([upper])
    while queue:
        here = queue.popleft()
        if here == lower:
            back = [here]
            while (before := came_from[back[-1]]) is not None:
                back.append(before)
            return back[::-1]
        for number in calls.below.get(here, ()):
            if number not in came_from:
                came_from[number] = here
                queue.append(number)
    return None


def _below(calls: Iterable[Call]) -> dict[str, list[str]]:
    below: dict[str, list[str]] = {}
    for winner, loser in calls:  # the calls come in natural order, so these lists do too
        below.setdefault(winner, []).append(loser)
    return below


def _reached(below: Mapping[str, list[str]], start: str) -> list[str]:
    """The horses under `start` by one call or more; `start` itself only where a circle leads back to it."""
    reached: list[str] = []
    waiting = list(below.get(start, ()))
    while waiting:
        number = waiting.pop()
        if number not in reached:
            reached.append(number)
            waiting.extend(below.get(number, ()))
    return reached
