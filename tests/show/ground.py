"""A small show for tests: two judges, a scribe and a trainee for each, two classes, in a folder of its own."""

from __future__ import annotations

import asyncio
import itertools
import json
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from nearside.show.classfile import checked_class_file
from nearside.show.folder import open_in_folder
from nearside.show.opening import OpenedSeat, seats_asked
from nearside.show.pulling import Pulled, pull
from nearside.show.pushing import Receipt, push
from nearside.show.running import RunningShow
from nearside.show.showground import Showground
from nearside.store.protocol import Change

SHOW = "s1"
SEATS = ("office", "steward", "judge", "scribe", "trainee", "judge", "scribe", "trainee", "announcer")
IDS = ("office", "steward", "judge-a", "scribe-a", "trainee-a", "judge-b", "scribe-b", "trainee-b", "announcer")

_serial = itertools.count(1)


def class_file(class_id: str = "c1", **fields: Any) -> dict[str, Any]:
    """A class file of three mares and no notes."""
    return {
        "format": "nearside-class/1",
        "class": {
            "id": class_id,
            "title": f"Stock type mares {class_id}",
            "standard": "stock-type",
            "sexes": ["mare"],
            "ages": ["aged"],
            "places": 6,
            "lameness": {"from_grade": 3, "outcome": "last"},
        },
        "entries": [{"number": number, "identification": f"bay {number}"} for number in ("7", "12", "30")],
        "card": "judge-a",
        "notes": [],
        **fields,
    }


def note(kind: str, card: str | None = None, **fields: Any) -> dict[str, Any]:
    """A note of this kind as a device sends it, with every field it needs and an id of its own."""
    common = {"id": f"t{next(_serial)}", "kind": kind, "class": "c1", "at": 1764061200000, "replaces": []}
    own: dict[str, dict[str, Any]] = {
        "mark": {"number": "12", "trait": "topline", "view": "profile", "degree": 2},
        "looked": {"number": "12", "view": "profile", "done": True},
        "remark": {"number": "12", "text": "kind eye", "tag": None},
        "over": {"pair": ["12", "7"], "winner": "12"},
        "ruling": {"number": "12", "outcome": "last"},
        "order": {"numbers": ["12", "7"]},
        "sign": {"numbers": ["12", "7"]},
        "lameness": {"number": "12", "grade": 2, **({} if card else {"observer": "steward"})},
        "presence": {"number": "12", "state": "present"},
        "entry": {"number": "99", "identification": "grey", "now": None},
    }
    with_card = {"card": card} if card is not None else {}
    return {**common, **with_card, **own[kind], **fields}


def open_small_show(
    data: Path, seats: Sequence[str] = SEATS, files: Sequence[dict[str, Any]] | None = None
) -> list[OpenedSeat]:
    """Open it in a folder."""
    given = [class_file("c1"), class_file("c2")] if files is None else files
    checked = [checked_class_file(each) for each in given]
    return open_in_folder(data, SHOW, "Test show", checked, seats_asked(seats, SHOW), [])


class Ground:
    """The small show with a loop to run it in; a seat is named by its id."""

    def __init__(self, ground: Showground, runner: asyncio.Runner) -> None:
        self.ground = ground
        self.show: RunningShow = ground.shows[SHOW]
        self.runner = runner

    def push(self, seat: str, *notes: Any) -> list[Receipt]:
        body = json.dumps({"notes": list(notes)}).encode()
        return self.runner.run(push(self.show, self.show.seats[seat], body))

    def push_one(self, seat: str, one: Any) -> Receipt:
        return self.push(seat, one)[0]

    def pull(self, seat: str, after: int = 0, limit: int = 500) -> Pulled:
        return pull(self.show, self.show.seats[seat], after, limit)

    def ids(self, seat: str, after: int = 0) -> set[str]:
        """The ids of all a seat is given after a cursor, page by page."""
        ids: set[str] = set()
        more = True
        while more:
            page = self.pull(seat, after)
            ids |= {each["id"] for each in page.notes}
            after, more = page.cursor, page.more
        return ids


@contextmanager
def small_show(
    data: Path,
    seats: Sequence[str] = SEATS,
    files: Sequence[dict[str, Any]] | None = None,
    changes: Sequence[Change] = (),
) -> Iterator[Ground]:
    """Open the show in a folder, unless it is there already, and run it."""
    if not (data / "catalogue.db").exists():
        open_small_show(data, seats, files)
    with asyncio.Runner() as runner:
        ground = Showground.in_folder(data)
        if changes:
            ground.catalogue.change(changes)
            runner.run(ground.close())
            ground = Showground.in_folder(data)
        try:
            yield Ground(ground, runner)
        finally:
            runner.run(ground.close())
