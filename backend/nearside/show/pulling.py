"""Giving notes out: everything the seat may read, page by page, and nothing else.

The log is one for all, so a page of it is read and filtered. A cursor alone would skip what becomes readable later:
an order that a signature releases was passed over, unread, long before. So whenever a page of the log holds a
signature, the notes of its class that are readable only since somebody signed are given along with it. Notes are a
set: getting one twice is harmless.
"""

from __future__ import annotations

from typing import Any, NamedTuple

from nearside.show.running import RunningShow
from nearside.show.seats import Seat, may_read, opened_by_signature
from nearside.store.protocol import as_sent

MOST_NOTES = 500

# How much of the log one request looks through for a seat that may read little of it: some 10 ms of work.
MOST_LOOKED_AT = 5_000


class Pulled(NamedTuple):
    """Notes the seat may read, the cursor to go on from, and whether to ask again at once."""

    notes: list[dict[str, Any]]
    cursor: int
    more: bool


def pull(show: RunningShow, seat: Seat, after: int, limit: int) -> Pulled:
    """What the seat may read of the log after a cursor.

    At most `limit` notes of the log and what their signatures opened; where little of it is the seat's, `notes` may be
    empty while there is more.
    """
    given: dict[str, dict[str, Any]] = {}
    cursor, more, looked_at = after, True, 0
    while more and len(given) < limit and looked_at < MOST_LOOKED_AT:
        page = show.store.since(cursor, limit - len(given))
        cursor, more = page.cursor, page.more
        looked_at += len(page.notes)
        for class_id in show.saw(page.notes):
            for note in show.store.of_class(class_id):
                if opened_by_signature(seat, note, show.facts):
                    given[note["id"]] = note
        for note in page.notes:
            if may_read(seat, note, show.facts):
                given[note["id"]] = note
    return Pulled([as_sent(note) for note in given.values()], cursor, more)
