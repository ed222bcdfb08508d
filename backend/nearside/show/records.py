"""The records of one show at one moment: what the catalogue holds of it, and the way to its notes.

Plans are made from these and nothing else, so a plan is a pure function. A seat or a class that was taken away keeps
its record, marked `gone`: notes name it for ever, and its id must never come to mean somebody else.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple, Protocol

from nearside.show.refusals import Refusal
from nearside.show.seats import Seat
from nearside.store.protocol import Change, Record

NotesOf = Callable[[str], list[dict[str, Any]]]


class Asking(NamedTuple):
    """Who asks for a change, from which device, and when."""

    seat: str
    device: str
    now_ms: int


class Planned(NamedTuple):
    """What a plan asks for: records to change, and notes to write with them."""

    changes: Sequence[Change]
    notes: Sequence[dict[str, Any]] = ()
    concerns: Callable[[Seat], bool] = lambda _seat: True
    """Whose bell rings for it."""


@dataclass(frozen=True, slots=True)
class Records:
    """Everything by its id; seats, classes, championships and the entries of a class in order of position."""

    show: Record
    seats: dict[str, Record]
    classes: dict[str, Record]
    entries: dict[str, dict[str, Record]]
    """By class, then by the number first given."""
    championships: dict[str, Record]
    devices: dict[str, Record]
    codes: frozenset[str]
    """The codes of every seat of every show: each leads to one seat."""
    notes: NotesOf
    """All notes of a class, in order of arrival; read once."""

    @property
    def id(self) -> str:
        """The show's id."""
        return str(self.show["id"])

    @property
    def seated(self) -> dict[str, Record]:
        """The seats there are."""
        return {seat_id: each for seat_id, each in self.seats.items() if not each.get("gone")}

    @property
    def judged(self) -> dict[str, Record]:
        """The classes of the day: neither taken away nor judged within another one."""
        return {class_id: each for class_id, each in self.classes.items() if is_judged(each)}

    def judges(self) -> list[str]:
        """The judges' seats."""
        return [seat_id for seat_id, each in self.seated.items() if each["role"] == "judge"]

    def judges_in(self, class_id: str) -> list[str]:
        """The judges of a class."""
        return self.judges_of(self.classes[class_id])

    def judges_of(self, record: Record) -> list[str]:
        """The judges of a class with this record: its own, or all of the show."""
        own = record.get("judges")
        return self.judges() if own is None else list(own)

    def every_note(self) -> Iterator[dict[str, Any]]:
        """The notes of all classes of the show, also of those that are gone."""
        for class_id in self.classes:
            yield from self.notes(class_id)


def is_judged(record: Record) -> bool:
    """Whether a class is one of the day's."""
    return not record.get("gone") and not record.get("folded")


def refuse_half_changed(show: Record) -> None:
    """Raises: Refusal while notes that belong to a change are promised in the show's record and not yet in its log."""
    if "promised" in show:
        sentence = (
            "The last change of the show is only half written: its notes are not in the log yet. Try again; if that "
            "does not help, stop the server and start it once."
        )
        raise Refusal("not_now", sentence)


def key_of(table: str, record: Mapping[str, Any]) -> str:
    """A record's key within its show: what the catalogue has behind the show's id.

    >>> key_of("entries", {"show": "s1", "class": "c1", "number": "12"})
    'c1/12'
    """
    if table == "classes":
        return str(record["class"]["id"])
    if table == "entries":
        return f"{record['class']}/{record['number']}"
    return str(record["id"])


def change_to(table: str, record: Record) -> Change:
    """A record of a show put in the place of whatever had its key."""
    return Change(table, f"{record['show']}/{key_of(table, record)}", record)


class Kept(Protocol):
    """As much of a catalogue as records are read from."""

    def all(self, table: str) -> list[Record]:
        """Every record of a table in order of key."""


def read_records(catalogue: Kept, show_id: str, notes: NotesOf) -> Records:
    """The records of a show as they stand on the disk."""

    def own(table: str) -> list[Record]:
        found = [each for each in catalogue.all(table) if each["show"] == show_id]
        return sorted(found, key=lambda each: each.get("position", 0))

    read: dict[str, list[dict[str, Any]]] = {}

    def notes_of(class_id: str) -> list[dict[str, Any]]:
        if class_id not in read:
            read[class_id] = notes(class_id)
        return read[class_id]

    show = next(each for each in catalogue.all("shows") if each["id"] == show_id)
    entries: dict[str, dict[str, Record]] = {}
    for each in own("entries"):
        entries.setdefault(each["class"], {})[each["number"]] = each
    return Records(
        show=show,
        seats={each["id"]: each for each in own("seats")},
        classes={each["class"]["id"]: each for each in own("classes")},
        entries=entries,
        championships={each["id"]: each for each in own("championships")},
        devices={each["id"]: each for each in own("devices")},
        codes=frozenset(each["code"] for each in catalogue.all("seats")),
        notes=notes_of,
    )
