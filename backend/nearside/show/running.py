"""One show while its server runs: its records in memory, its log, and the bell.

Built from the catalogue when the server starts, and again whenever its records changed; the log stays in the store
and is asked, never copied. Here is also what the tables of `seats` need to know of the show.
"""

from __future__ import annotations

import asyncio
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from nearside.engine.shapes import Note, Standard
from nearside.engine.standard import is_fault_only, judged_traits
from nearside.show.bell import Bell
from nearside.show.classfile import checked_class, standard_of
from nearside.show.cursors import Cursors
from nearside.show.log import LATE, Log, Reader
from nearside.show.notes import NoteCheck
from nearside.show.records import Records, is_judged
from nearside.show.refusals import CannotOpen, unknown_class
from nearside.show.seats import NO_SIGNATURES, Facts, Seat, Signatures, seat_of
from nearside.show.strict_json import Refused
from nearside.store.group import GroupCommit
from nearside.store.protocol import NoteStore, Record


@dataclass(frozen=True, slots=True)
class RunningClass:
    """A class of the show: its fields as a class file has them, its whole standard, its entries as first given."""

    record: Record
    """All the catalogue holds of it: judges, method, divisions, strikes and so on."""
    fields: dict[str, Any]
    standard: Standard
    entries: list[dict[str, Any]]
    """Number and identification of the horses entered: all a ring is told of them."""
    entry_records: list[Record]
    """All the catalogue holds of its horses, also of those that are gone."""
    check: NoteCheck
    former: tuple[NoteCheck, ...]
    """By the standards and sexes it had before somebody looked at a horse: a phone without a signal went by them."""
    marks: frozenset[tuple[str, str, int | None]]
    """Trait, view and degree of every mark that can be given in the class: most notes need no other look."""

    def check_note(self, note: Note) -> None:
        """Raises: Refused where a note speaks of a trait or view that the class does not judge and never did."""
        try:
            self.check.check(note)
        except Refused:
            if not any(_passes(each, note) for each in self.former):
                raise

    def is_idle(self, note: Note) -> bool:
        """Whether a note speaks of what is judged no more: it is kept, and counts for nothing."""
        return bool(self.former) and not _passes(self.check, note)


class RunningShow:
    """A show, its seats and classes, its log."""

    def __init__(self, records: Records, store: NoteStore) -> None:
        self.id = records.id
        self.store = store
        self.group = GroupCommit(store)
        self.bell = Bell()
        self.classes: dict[str, RunningClass] = {}
        """The classes of the day, in order."""
        self.known_classes: dict[str, RunningClass] = {}
        """Those and the classes that are not judged any more: what is written of them is kept all the same."""
        self.rights: dict[tuple[str, str, str, str | None], RunningClass] = {}
        """Seat, class, kind and card of notes that may be written: asked once, until a record changes."""
        self.signing: dict[tuple[str, str], asyncio.Future[None]] = {}
        """Class and card of signatures on their way into the log: what else comes for that card waits for them."""
        self.log = Log(store)
        self.rung = self.log.look()
        """The place up to which the bell has rung."""
        self._readers: dict[str, Reader] = {}
        self._signatures: dict[str, tuple[int, Signatures]] = {}
        self.revisions: dict[tuple[str, frozenset[str]], str] = {}
        """By seat, and the classes it studies: what the day of the seat is known by, once somebody asked."""
        self.take(records)

    def take(self, records: Records) -> None:
        """Go on with these records. Raises: CannotOpen where a class of them cannot be read; nothing is taken then."""
        known = _classes_in(records, self.known_classes)
        self.log.look()
        self.title: str = records.show["title"]
        self.seats: dict[str, Seat] = {seat_id: seat_of(each) for seat_id, each in records.seated.items()}
        self.known_classes = known
        self.classes = {class_id: each for class_id, each in known.items() if is_judged(each.record)}
        self.championships = list(records.championships.values())
        self.facts = self._facts_in(records)
        self.cursors = Cursors(records.show["secret"])
        self.rights.clear()
        self._readers.clear()
        self._signatures.clear()
        self.revisions.clear()
        self.bell.reseat(self.seats)

    def on_the_wire(self) -> dict[str, str]:
        """What devices are told of the show."""
        return {"id": self.id, "title": self.title}

    def class_named(self, class_id: str) -> RunningClass:
        """A class of the show. Raises: Refusal."""
        found = self.classes.get(class_id)
        if found is None:
            raise unknown_class("class")
        return found

    def notes_of(self, class_id: str) -> list[dict[str, Any]]:
        """The notes of a class that count, in order of arrival: without those that came too late for a signature."""
        return [note for note in self.store.of_class(class_id) if LATE not in note]

    def reader(self, seat: Seat) -> Reader:
        """What the seat is given of the log."""
        reader = self._readers.get(seat.id)
        if reader is None:
            reader = self._readers[seat.id] = Reader(self.log, seat, self.facts)
        reader.look()
        return reader

    def signatures(self, class_id: str) -> Signatures:
        """What the signatures of a class open now."""
        self.log.look()
        places = self.log.sign_places_of.get(class_id, ())
        taken, known = self._signatures.get(class_id, (0, NO_SIGNATURES))
        for place in places[taken:]:
            known = known.after(self.log.signed_at[place], self.facts.judges_in(class_id))
        self._signatures[class_id] = len(places), known
        return known

    def facts_now(self) -> Facts:
        """The facts of this moment, which stay as they are: for work on a thread."""
        signatures = {class_id: self.signatures(class_id) for class_id in self.known_classes}
        return replace(self.facts, signatures=lambda class_id: signatures.get(class_id, NO_SIGNATURES))

    def _facts_in(self, records: Records) -> Facts:
        classes = records.classes
        return Facts(
            judges=frozenset(records.judges()),
            judges_of={class_id: frozenset(records.judges_of(each)) for class_id, each in classes.items()},
            study=frozenset(
                (class_id, card)
                for class_id, each in classes.items()
                if each.get("study_office")
                for card in each.get("study_judges", ())
            ),
            shadowed_by={seat.id: seat.shadows for seat in self.seats.values() if seat.shadows is not None},
            signatures=self.signatures,
        )


def _classes_in(records: Records, before: Mapping[str, RunningClass]) -> dict[str, RunningClass]:
    classes: dict[str, RunningClass] = {}
    for class_id, record in records.classes.items():
        own = list(records.entries.get(class_id, {}).values())
        known = before.get(class_id)
        if known is not None and known.record == record and known.entry_records == own:
            classes[class_id] = known
            continue
        try:
            fields, standard = checked_class(record["class"], f"class {class_id}")
        except Refused as refused:
            raise CannotOpen(f"The catalogue holds a class this version cannot read: {refused}") from None
        classes[class_id] = RunningClass(
            record=record,
            fields=fields,
            standard=standard,
            # Only these two leave the catalogue for a ring, whatever else is known of a horse.
            entries=[
                {"number": each["number"], "identification": each.get("identification")}
                for each in own
                if not each.get("gone")
            ],
            entry_records=own,
            check=NoteCheck(standard, fields["sexes"]),
            former=_former_checks(record),
            marks=_marks(standard, fields["sexes"]),
        )
    return classes


def _former_checks(record: Record) -> tuple[NoteCheck, ...]:
    try:
        return tuple(
            NoteCheck(standard_of(each["standard"], "former"), each["sexes"]) for each in record.get("former") or ()
        )
    except Refused as refused:
        raise CannotOpen(f"The catalogue holds a class this version cannot read: {refused}") from None


def _passes(check: NoteCheck, note: Note) -> bool:
    try:
        check.check(note)
    except Refused:
        return False
    return True


def _marks(standard: Standard, sexes: Sequence[str]) -> frozenset[tuple[str, str, int | None]]:
    return frozenset(
        (trait["key"], view, degree)
        for _, trait in judged_traits(standard, sexes)
        for view in trait["views"]
        for degree in (-3, -2, -1, None, *(() if is_fault_only(trait) else (1, 2, 3)))
    )
