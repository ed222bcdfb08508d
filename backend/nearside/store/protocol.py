"""What the rest of Nearside may ask of its stores, and how a store says no.

Two seams. A *note store* is the log of one show: notes are immutable facts, so they are only ever added,
and a note added twice is the same note. Fields whose names begin with `_` are the server's
own: kept with the note and given back, but no part of what makes it the same note. A *catalogue* holds the few
records that do change: shows, classes, entries, championships, seats, devices. Both promise the same thing: when a
call returns, what it wrote outlives a crash of the process and of the machine; when it raises, nothing of it was
kept that anybody could see.

The store knows no engine and no rules of a show. It refuses what it could not give back unchanged, and
nothing else: who may write what is decided above it.

Errors are split by who must act, because that is what the one who catches them has to know: the caller
(mend the note), the operator (free the disk, stop the other process, fetch the copy), or nobody but time
(try again).
"""

from collections.abc import Callable, Mapping, Sequence
from contextlib import AbstractContextManager
from pathlib import Path
from typing import Any, Literal, NamedTuple, Protocol

Note = dict[str, Any]
Record = dict[str, Any]

SERVERS_OWN = "_"  # how the name of a field begins that the server put on a note, and no device sends


def as_sent(note: Mapping[str, Any]) -> Note:
    """The note as its device sent it, without the server's own fields.

    >>> as_sent({"id": "n1", "_head": "9f..."})
    {'id': 'n1'}
    """
    return {field: value for field, value in note.items() if not field.startswith(SERVERS_OWN)}


class Receipt(NamedTuple):
    """What became of one note: new, already held with the same content, or its id held with other content."""

    id: str
    status: Literal["kept", "known", "clash"]


class Page(NamedTuple):
    """Some notes in order of arrival, the cursor to go on from, and whether there is more to fetch now."""

    notes: list[Note]
    cursor: int
    more: bool


class Change(NamedTuple):
    """One record put in the place of whatever had its key, or, with `None`, taken away."""

    table: str
    key: str
    record: Record | None


class NoteStore(Protocol):
    """The notes of one show."""

    def append(self, notes: Sequence[Note]) -> list[Receipt]:
        """Keep the new ones among these notes and say of each, in order, what became of it.

        One group commit: returns when every `kept` and `known` note is on the disk. A note is a plain
        JSON object with at least `id` and `class`, both text that is not empty; ids are unique over the
        whole show. A clash is not kept. The server's own fields are kept with a new note and not looked at
        otherwise: a note that is known stays with those it was kept with. Raises `NoteUnfit` (nothing of the
        group is kept), `StoreFull`, `StoreFailed` or `StoreClosed`.
        """

    def since(self, cursor: int, limit: int) -> Page:
        """The notes that arrived after `cursor`, at most `limit`, oldest first. A cursor is how many notes came before.

        A cursor beyond the newest note was given by a log that has since been put back from a copy. It
        starts again at the beginning: notes are a set, so reading some twice is harmless and skipping
        some is not. Raises `ValueError` for a cursor below 0 or a limit below 1.
        """

    def note(self, note_id: str) -> Note | None:
        """The note with this id, or `None`."""

    def of_class(self, class_id: str) -> list[Note]:
        """All notes of one class, oldest first; none for a class nobody wrote about."""

    def head(self) -> int:
        """The cursor after the newest note: it grows exactly when a note is kept."""

    def held(self) -> AbstractContextManager[None]:
        """While it lasts nothing is kept, and `append` waits: for something short that must not be overtaken.

        Whoever holds the log may read it, and must not append to it.
        """

    def close(self) -> None:
        """Let the log go. Whatever was acknowledged is already safe. Closing twice is no error."""


Complete = Callable[[NoteStore, Sequence[Note]], None]
"""Puts the server's own fields on notes that are about to be kept.

Given to a store by the show that it knows nothing of, and called with the store and the new notes of one group, in the
order in which they will stand in the log, while nobody else writes. It may read the store, and must change nothing of
a note but its server's own fields. What it raises is raised by `append`, and nothing was kept.
"""


class Catalogue(Protocol):
    """The records that change, as plain JSON objects in tables `shows classes entries championships seats devices`."""

    def get(self, table: str, key: str) -> Record | None:
        """The record with this key, or `None`. Changing what one was given changes nothing here."""

    def all(self, table: str) -> list[Record]:
        """Every record of a table in order of key, by code point."""

    def change(self, changes: Sequence[Change]) -> None:
        """Make all of these changes, in order, or none of them; returns when they are on the disk.

        Raises `RecordUnfit` (nothing was changed), `StoreFull`, `StoreFailed` or `StoreClosed`.
        """

    def close(self) -> None:
        """Let the catalogue go. Closing twice is no error."""


class StoreError(Exception):
    """Any refusal of a store. Its text is one or two sentences fit to be shown to the person who must act."""


class CallerMustAct(StoreError):
    """What was asked cannot be kept as it is: asking again will not help."""


class NoteUnfit(CallerMustAct):
    """A note that could not be given back unchanged: no id, no class, or not plain JSON."""


class NoteKept(CallerMustAct):
    """A note was to be changed or removed. Notes are facts: write another one that replaces it."""


class RecordUnfit(CallerMustAct):
    """A record, key or table the catalogue cannot hold."""


class OperatorMustAct(StoreError):
    """The machine or its disk needs a person. Senders keep their notes and try again later."""


class StoreLocked(OperatorMustAct):
    """Another process has this file open; two writers would destroy it."""


class StoreFull(OperatorMustAct):
    """The disk is full. Nothing half-done was left, and the next try may succeed once there is room."""


class StoreFailed(OperatorMustAct):
    """The disk did not do what it was told. See the text for whether the store goes on or must be opened anew."""


class StoreDamaged(OperatorMustAct):
    """The file is not what was written: it is refused whole, with the place, and left as it is."""

    def __init__(self, path: Path, offset: int, reason: str) -> None:
        super().__init__(
            f"{path} is damaged at byte {offset}: {reason}. Nothing was changed. "
            "Keep this file, and put a copy of it from a backup in its place."
        )
        self.path = path
        self.offset = offset
        self.reason = reason


class StoreClosed(StoreError):
    """The store was closed, as it is while the server stops. Nobody need act: try again later."""
