"""One show while its server runs: its records in memory, its log, and the bell.

Built from the catalogue when the server starts; the log stays in the store and is asked, never copied. Here is also
what the tables of `seats` need to know of the show.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from nearside.engine.shapes import Standard
from nearside.engine.standard import is_fault_only, judged_traits
from nearside.show.bell import Bell
from nearside.show.classfile import checked_class
from nearside.show.notes import NoteCheck
from nearside.show.refusals import CannotOpen, Refusal
from nearside.show.seats import Facts, Signatures, seat_of
from nearside.show.signing import signatures_of
from nearside.show.strict_json import Refused
from nearside.store.group import GroupCommit
from nearside.store.protocol import Catalogue, NoteStore, Record


@dataclass(frozen=True, slots=True)
class RunningClass:
    """A class of the show: its fields as a class file has them, its whole standard, its entries as first given."""

    fields: dict[str, Any]
    standard: Standard
    entries: list[dict[str, Any]]
    check: NoteCheck
    marks: frozenset[tuple[str, str, int | None]]
    """Trait, view and degree of every mark that can be given in the class: most notes need no other look."""


class RunningShow:
    """A show, its seats and classes, its log."""

    def __init__(self, record: Record, catalogue: Catalogue, store: NoteStore) -> None:
        self.id: str = record["id"]
        self.title: str = record["title"]
        self.seats = {each["id"]: seat_of(each) for each in catalogue.all("seats") if each["show"] == self.id}
        self.classes = _classes_in(catalogue, self.id)
        self.store = store
        self.group = GroupCommit(store)
        self.bell = Bell()
        self.rights: dict[tuple[str, str, str, str | None], RunningClass] = {}
        """Seat, class, kind and card of notes that may be written: nothing of it changes while the show runs."""
        self._signatures: dict[str, Signatures] = {}
        self.facts = self._facts_in(catalogue)

    def on_the_wire(self) -> dict[str, str]:
        return {"id": self.id, "title": self.title}

    def class_named(self, class_id: str) -> RunningClass:
        """A class of the show. Raises: Refusal."""
        found = self.classes.get(class_id)
        if found is None:
            raise Refusal("unknown_class", "This show has no such class; open the list of classes again.", "class")
        return found

    def signatures(self, class_id: str) -> Signatures:
        """What the signatures of a class open; read from the log once and kept until another arrives."""
        known = self._signatures.get(class_id)
        if known is None:
            judges = self.facts.judges_in(class_id)
            known = self._signatures[class_id] = signatures_of(self.store.of_class(class_id), judges)
        return known

    def saw(self, notes: Iterable[Mapping[str, Any]]) -> set[str]:
        """Take notice of notes that are in the log; returns the classes among them in which somebody signed."""
        signed: set[str] = set()
        for note in notes:
            if note["kind"] == "sign":
                class_id = note["class"]
                signed.add(class_id)
                known = self._signatures.get(class_id)
                if known is not None and note["id"] not in known.ids:
                    self._signatures.pop(class_id)
        return signed

    def _facts_in(self, catalogue: Catalogue) -> Facts:
        records = [each for each in catalogue.all("classes") if each["show"] == self.id]
        seats = self.seats.values()
        return Facts(
            judges=frozenset(seat.id for seat in seats if seat.role == "judge"),
            judges_of={each["class"]["id"]: frozenset(each["judges"]) for each in records if each.get("judges")},
            study=frozenset((each["class"]["id"], card) for each in records for card in each.get("study", ())),
            shadowed_by={seat.id: seat.shadows for seat in seats if seat.shadows is not None},
            signatures=self.signatures,
        )


def _classes_in(catalogue: Catalogue, show_id: str) -> dict[str, RunningClass]:
    entries: dict[str, list[Record]] = {}
    for entry in catalogue.all("entries"):
        if entry["show"] == show_id:
            entries.setdefault(entry["class"], []).append(entry)
    records = [each for each in catalogue.all("classes") if each["show"] == show_id]
    classes: dict[str, RunningClass] = {}
    for record in sorted(records, key=lambda each: each["position"]):
        class_id = record["class"]["id"]
        try:
            fields, standard = checked_class(record["class"], f"class {class_id}")
        except Refused as refused:
            raise CannotOpen(f"The catalogue holds a class this version cannot read: {refused}") from None
        own = sorted(entries.get(class_id, ()), key=lambda each: each["position"])
        classes[class_id] = RunningClass(
            fields=fields,
            standard=standard,
            # Only these two leave the catalogue, whatever else is known of a horse.
            entries=[{"number": each["number"], "identification": each.get("identification")} for each in own],
            check=NoteCheck(standard, fields["sexes"]),
            marks=_marks(standard, fields["sexes"]),
        )
    return classes


def _marks(standard: Standard, sexes: Sequence[str]) -> frozenset[tuple[str, str, int | None]]:
    return frozenset(
        (trait["key"], view, degree)
        for _, trait in judged_traits(standard, sexes)
        for view in trait["views"]
        for degree in (-3, -2, -1, None, *(() if is_fault_only(trait) else (1, 2, 3)))
    )
