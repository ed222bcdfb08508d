"""Giving notes out: everything the seat may read, page by page, and nothing else.

What a page holds, how far it reaches and whether there is more depend on nothing the seat may not read: `log` knows
the places that give a seat something, and a pull goes from one to the next. The cursor is that of the last note
given, so one that finds nothing gives back the cursor it was asked with. A page may hold notes older than its cursor:
those that a signature on it has opened. Notes are a set: getting one twice is harmless.
"""

from __future__ import annotations

from typing import Any, NamedTuple

from nearside.show.running import RunningShow
from nearside.show.seats import Seat, may_read
from nearside.store.protocol import as_sent

MOST_NOTES = 500


class Pulled(NamedTuple):
    """Notes the seat may read, the cursor to go on from, and whether to ask again at once."""

    notes: list[dict[str, Any]]
    cursor: int
    more: bool


def pull(show: RunningShow, seat: Seat, after: int, limit: int) -> Pulled:
    """The next notes of the log after a cursor that the seat may read, and what their signatures opened.

    At most `limit`, and beside those what was opened. A cursor from beyond the end of the log is of another log, and
    reading begins again at the beginning.
    """
    reader = show.reader(seat)
    place = show.cursors.place(seat.id, after)
    places, more = reader.places_from(place if place <= show.log.look() else 0, limit)
    cursor = show.cursors.cursor(seat.id, places[-1] + 1) if places else after
    return Pulled([as_sent(note) for note in reader.given_at(places)], cursor, more)


def notes_of_class(show: RunningShow, seat: Seat, class_id: str) -> list[dict[str, Any]]:
    """All notes of a class that the seat may read now, in order of arrival. Raises: Refusal for an unknown class."""
    show.class_named(class_id)
    return [as_sent(note) for note in show.notes_of(class_id) if may_read(seat, note, show.facts)]
