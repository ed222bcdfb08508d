"""Exhibitor numbers: their natural order, and where a repaired number leads.

Numbers are text (`7`, `007`, `12A`, `T1`): two horses may carry `7` and `007`, so nothing here turns one into an
integer for good.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import lru_cache

NaturalKey = tuple[tuple[tuple[int, int, str], ...], str]


@lru_cache(maxsize=4096)
def natural_key(number: str) -> NaturalKey:
    """The sort key of natural order.

    Run by run: runs of digits compare by value and stand before runs of letters, runs of letters compare by text; a
    number that is the beginning of another stands first; the whole text breaks what is left.

    >>> sorted(["12A", "12", "7", "007", "A1", "10"], key=natural_key)
    ['007', '7', '10', '12', '12A', 'A1']
    """
    runs: list[tuple[int, int, str]] = []
    start = 0
    for end in range(1, len(number) + 1):
        if end == len(number) or _is_digit(number[end]) != _is_digit(number[start]):
            run = number[start:end]
            runs.append((0, int(run), "") if _is_digit(run[0]) else (1, 0, run))
            start = end
    return tuple(runs), number


def in_natural_order(numbers: Iterable[str]) -> list[str]:
    """The numbers, each once, in natural order."""
    return sorted(set(numbers), key=natural_key)


def follow(number: str, now: Mapping[str, str]) -> str:
    """The number a horse noted under `number` is known by today.

    Follows `now` from number to number to its end. A chain that comes back to itself says nothing and is ignored:
    the number stays what it was.

    >>> follow("T1", {"T1": "21", "21": "12"})
    '12'
    >>> follow("1", {"1": "2", "2": "1"})
    '1'
    """
    passed = {number}
    here = number
    while here in now:
        here = now[here]
        if here in passed:
            return number
        passed.add(here)
    return here


def _is_digit(character: str) -> bool:
    return "0" <= character <= "9"
