"""People's names taken out of a show that is over, for good.

Out go the names of horses, exhibitors and seats, and whatever somebody wrote in words: remarks, reasons, what was said
of a lame horse, or of its identification marks at the gate. What stays is what the show came to: numbers, marks,
grades, orders, places, identification marks from the office's list, titles, and which seat did what. Each class's chain
verifies as before, for words are in it by a hash of their own.

The journal is replaced first and the catalogue after it, each in one step. A crash between the two leaves the second to
be done; doing it again finishes it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, NamedTuple

from nearside.show.chain import TAKEN_OUT, by_class, without_words
from nearside.show.folder import catalogue_path, notes_path
from nearside.show.horses import is_released
from nearside.show.records import Records, change_to, read_records, refuse_half_changed
from nearside.show.refusals import CannotOpen, Refusal
from nearside.show.transfer import show_asked
from nearside.store.catalogue import TinyCatalogue
from nearside.store.protocol import Change, Record
from nearside.store.rewriting import rewrite
from nearside.store.still import read_together


class Forgetting(NamedTuple):
    """What is to be taken out of a show, or was."""

    show: Record
    records: int
    notes: int
    open_classes: list[str]
    """Titles of classes with notes on cards that were never all signed: the show may not be over."""


def to_forget(data: Path, show_id: str | None) -> Forgetting:
    """What would be taken out; nothing is. Works while the show is served. Raises: CannotOpen, StoreError."""
    catalogue, journals = read_together(
        catalogue_path(data), lambda found: {"notes": notes_path(data, show_asked(found, show_id)["id"])}
    )
    show, notes = show_asked(catalogue, show_id), journals["notes"].notes
    _refuse_half_changed(show)
    classes = by_class(notes)
    records = read_records(catalogue, show["id"], lambda class_id: classes.get(class_id, []))
    names = without_names({table: catalogue.all(table) for table in _TABLES}, show["id"])
    words = sum(without_words(note) is not note for note in notes)
    return Forgetting(show, len(names), words, _open_classes(records))


def forget(data: Path, show_id: str | None) -> Forgetting:
    """Take them out of a show that is not being served. Raises: CannotOpen, StoreError."""
    found = to_forget(data, show_id)
    catalogue = TinyCatalogue(catalogue_path(data))  # held first: a server that has it keeps the notes as they are
    try:
        _refuse_half_changed(show_asked(catalogue, found.show["id"]))
        count = rewrite(notes_path(data, found.show["id"]), without_words)
        changes = without_names({table: catalogue.all(table) for table in _TABLES}, found.show["id"])
        catalogue.change(changes)
    finally:
        catalogue.close()
    return found._replace(records=len(changes), notes=count)


def _refuse_half_changed(show: Record) -> None:
    """Raises: CannotOpen while the show's record holds notes, and so words, that are still to go into its log."""
    try:
        refuse_half_changed(show)
    except Refusal as refusal:
        raise CannotOpen(str(refusal)) from None


_TABLES = ("seats", "classes", "entries", "championships")


def without_names(records: Mapping[str, Sequence[Record]], show_id: str) -> list[Change]:
    """The records of a show that hold a name or somebody's words, each without them."""
    changes = []
    for table, bare in (("seats", _seat), ("classes", _class), ("entries", _entry), ("championships", _championship)):
        for record in records[table]:
            if record["show"] == show_id and (after := bare(record)) != record:
                changes.append(change_to(table, after))
    return changes


def _seat(record: Record) -> Record:
    """Called as seats are that were given no name: `judge-a` is Judge A."""
    return {**record, "name": " ".join(part.capitalize() for part in record["id"].split("-"))}


def _class(record: Record) -> Record:
    if not record.get("strikes"):
        return record
    return {**record, "strikes": [_with_reason_out(each) for each in record["strikes"]]}


def _entry(record: Record) -> Record:
    after = {**record, **{field: None for field in ("horse", "exhibitor") if record.get(field) is not None}}
    gone = record.get("gone")
    if gone and "to" not in gone and gone["why"] != "withdrawn":  # typed by somebody
        after["gone"] = {**gone, "why": TAKEN_OUT}
    return after


def _championship(record: Record) -> Record:
    return {**record, "named": [_with_reason_out(each) for each in record["named"]]}


def _with_reason_out(value: dict[str, Any]) -> dict[str, Any]:
    return {**value, "reason": TAKEN_OUT} if value.get("reason") is not None else value


def _open_classes(records: Records) -> list[str]:
    titles = []
    for class_id, record in records.judged.items():
        own, judges = records.notes(class_id), frozenset(records.judges_in(class_id))
        if any(each.get("card") in judges for each in own) and not is_released(own, judges):
            titles.append(record["class"]["title"])
    return titles
