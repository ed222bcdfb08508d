"""Champion and reserve: who comes back for them, and what to warn of.

The firsts of the classes come back and one of them is named champion. The horse that stood second to the champion in
the champion's own class then joins the firsts left, and the reserve is chosen among these. A championship may feed
another (junior and senior a grand): there its champion comes back as a first does, and its reserve as a second. So
class and feeding championship are the same here: an order of horses, best first, the tied together.

A warning never blocks: the judge decides, and local rule books differ.

Source: common practice of open shows, the exact rule from memory.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import Literal, NamedTuple

Horse = tuple[str, str]
"""A horse by its class and its number there: numbers alone may meet in two classes."""

Order = Sequence[Sequence[Horse]]
"""Horses best first; those of one place together."""


class Warned(NamedTuple):
    """What to warn of: the horse named never came back, or it is put above horses that beat it."""

    named: Literal["champion", "reserve"]
    horse: Horse
    beaten_by: list[Horse]
    """Empty where it never came back."""


def contenders(orders: Sequence[Order], left_out: Collection[Horse] = ()) -> list[Horse]:
    """The firsts of the orders, each once, in the order of these.

    `left_out` are horses that do not come back although they stand there, as one last by rule that was alone in its
    class; nobody comes in for them, for the next was not first.

    >>> contenders([[[("c1", "12")], [("c1", "7")]], [[("c2", "31")]]])
    [('c1', '12'), ('c2', '31')]
    """
    return list(dict.fromkeys(horse for order in orders for horse in _first(order) if horse not in left_out))


def reserve_contenders(orders: Sequence[Order], champion: Horse, left_out: Collection[Horse] = ()) -> list[Horse]:
    """The firsts left, and after those of its own order whoever stood second to the champion there.

    Second is the first that may come back of those left when the champion is taken out; tied seconds all come.

    >>> reserve_contenders([[[("c1", "12")], [("c1", "7")]], [[("c2", "31")]]], ("c1", "12"))
    [('c1', '7'), ('c2', '31')]
    """
    found: list[Horse] = []
    for order in orders:
        left = [[horse for horse in level if horse != champion and horse not in left_out] for level in order]
        if any(champion in level for level in order):
            found += _first([level for level in left if level])
        else:
            found += _first(left)
    return list(dict.fromkeys(found))


def warnings(
    orders: Sequence[Order],
    under_the_judge: Sequence[Order],
    champion: Horse | None,
    reserve: Horse | None,
    left_out: Collection[Horse] = (),
) -> list[Warned]:
    """What to warn of when these are named, the champion's warnings first.

    A horse that never came back; and one put above horses that beat it under the same judge and that came back too.

    Arguments: `under_the_judge`, the orders that this judge made, whether or not they brought the firsts.
    """
    if champion is None:
        return []
    first = contenders(orders, left_out)
    then = reserve_contenders(orders, champion, left_out)
    in_the_ring = {*first, *then, champion, *([] if reserve is None else [reserve])}
    found = _warned("champion", champion, first, in_the_ring, under_the_judge)
    if reserve is not None:
        found += _warned("reserve", reserve, then, in_the_ring - {champion}, under_the_judge)
    return found


def _first(order: Order) -> Sequence[Horse]:
    return order[0] if order else []


def _warned(
    named: Literal["champion", "reserve"],
    horse: Horse,
    came_back: Collection[Horse],
    in_the_ring: Collection[Horse],
    under_the_judge: Sequence[Order],
) -> list[Warned]:
    found = [] if horse in came_back else [Warned(named, horse, [])]
    above = [each for order in under_the_judge for each in _above(horse, order) if each in in_the_ring]
    return [*found, Warned(named, horse, list(dict.fromkeys(above)))] if above else found


def _above(horse: Horse, order: Order) -> list[Horse]:
    """The horses that stand above this one in the order; none where it is not in it."""
    above: list[Horse] = []
    for level in order:
        if horse in level:
            return above
        above += level
    return []
