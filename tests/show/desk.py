"""The show table of the small show: commands as the office's page sends them, and the state it gets back."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from nearside.show.horses import LOOKING
from nearside.show.office import office_for
from nearside.show.office_commands import planned
from nearside.show.records import Asking
from nearside.show.refusals import Refusal
from nearside.show.showfile import TABLES, read_show_file, show_file
from nearside.show.showground import NotYetInLog
from nearside.show.strict_json import canonical
from nearside.store.protocol import Change, StoreFull
from tests.show.ground import SEATS, Ground, note, small_show

ASKING = Asking("office", "the office's device", 1764061300000)
NO_NAMES = {"identification": None, "horse": None, "exhibitor": None, "division": None}
MARES = {
    "id": None,
    "title": "Hunter type mares",
    "standard": "hunter-type",
    "sexes": ["mare"],
    "ages": ["three", "aged"],
    "places": 6,
}


class Desk:
    """The office at work in a running show."""

    def __init__(self, ground: Ground) -> None:
        self.ground = ground
        self.asking = ASKING

    def state(self) -> dict[str, Any]:
        ground, show = self.ground.ground, self.ground.show
        records, looked_at = ground.records_of_results(show), show.log.classes_with(LOOKING)
        told = office_for(records, looked_at, ground.devices_of(show), lambda code: f"/#join={code}")
        state: dict[str, Any] = json.loads(json.dumps(told))
        return state

    def ask(self, command: str, **body: Any) -> dict[str, Any]:
        plan = planned(command, body, self.asking)
        self.ground.runner.run(self.ground.ground.change(self.ground.show, plan))
        return self.state()

    def refused(self, command: str, **body: Any) -> Refusal:
        """The refusal of a command, which changed nothing and woke nobody."""
        before = self.state()
        listener = self.ground.show.bell.listen("a device", self.ground.show.seats[self.asking.seat])
        with pytest.raises(Refusal) as refusal:
            self.ask(command, **body)
        assert self.state() == before
        assert not listener.wake.is_set()
        self.ground.show.bell.forget(listener)
        return refusal.value

    def class_(self, class_id: str = "c1") -> dict[str, Any]:
        found: dict[str, Any] = next(each for each in self.state()["classes"] if each["id"] == class_id)
        return found

    def entry(self, number: str, class_id: str = "c1") -> dict[str, Any]:
        found: dict[str, Any] = next(each for each in self.class_(class_id)["entries"] if each["number"] == number)
        return found

    def numbers(self, class_id: str = "c1") -> list[str]:
        return [each["number"] for each in self.class_(class_id)["entries"] if each["gone"] is None]

    def seat(self, seat_id: str) -> dict[str, Any]:
        found: dict[str, Any] = next(each for each in self.state()["seats"] if each["id"] == seat_id)
        return found


def ask_with_a_full_log(ground: Ground, command: str, **body: Any) -> None:
    """A command about horse 44, entered at the gate, whose records are written while the log takes no note of it."""
    ground.push("steward", note("entry", number="44"))

    def is_full(_notes: object) -> None:
        raise StoreFull("full")

    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(ground.show.store, "append", is_full)
        with pytest.raises(NotYetInLog):
            Desk(ground).ask(command, **{"class": "c1", "number": "44", **body})


@contextmanager
def desk(
    data: Path,
    seats: Sequence[str] = SEATS,
    files: Sequence[dict[str, Any]] | None = None,
    changes: Sequence[Change] = (),
) -> Iterator[Desk]:
    """The small show with its office at work."""
    with small_show(data, seats, files, changes) as ground:
        yield Desk(ground)
        # Whatever the office changed, a show's file takes it along.
        catalogue, notes = ground.ground.catalogue, ground.show.store.since(0, 10_000).notes
        record = catalogue.get("shows", ground.show.id)
        assert record is not None
        file = show_file({table: catalogue.all(table) for table in TABLES}, record, notes)
        read_show_file(canonical(file).encode())
