"""The horses of a class as they are known today, and what is written of it: records and notes read together.

The office keeps names and numbers as records; the gate enters horses and puts numbers right by notes. Neither alone
says who is in a class.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, cast

from nearside.engine.merging import merge
from nearside.engine.shapes import Entry, Note
from nearside.show.log import LATE
from nearside.show.records import Records
from nearside.show.seats import NO_SIGNATURES, Signatures
from nearside.show.signing import standing_on
from nearside.store.protocol import Record

NoteLike = Mapping[str, Any]
LOOKING = frozenset(("mark", "looked"))
"""Notes that somebody who looks at a horse of the class writes: its standard and sexes are then fixed."""


@dataclass(frozen=True, slots=True)
class Horse:
    """A horse of a class: its record, where the office has one, and what it is known by today."""

    number: str
    """The number of its record; of a horse entered at the gate the number it is known by."""
    known_as: str
    identification: str | None
    record: Record | None
    is_noted: bool
    """A note enters it, or gives its identification: its record alone does not say that it is in the class."""
    is_gone: bool
    """The office took it out of the class."""
    is_absent: bool
    """The gate says so."""
    names: frozenset[str]
    """Every number it is or was noted under."""


def horses_of(records: Records, class_id: str) -> list[Horse]:
    """Everybody ever entered in a class: the office's records in their order, then those entered at the gate.

    A horse that the office took out and that a note enters all the same is gone while the gate says that it is absent.
    """
    own = records.entries.get(class_id, {})
    entries = [
        cast("Entry", {"number": number, "identification": each.get("identification")})
        for number, each in own.items()
        if not each.get("gone")
    ]
    notes = [cast("Note", each) for each in records.notes(class_id) if each["kind"] in ("entry", "presence")]
    merged = merge(entries, notes, "")
    reads_as = merged["reads_as"]
    absent = {
        slot["used"]["number"]
        for slot in merged["slots"]
        if slot["slot"][0] == "presence" and slot["used"]["state"] == "absent"
    }
    marks = {each["number"]: each["identification"] or None for each in merged["entries"]}
    entered = (str(each["number"]) for each in notes if each["kind"] == "entry")
    noted = {reads_as.get(number, number) for number in entered}
    names: dict[str, set[str]] = {}
    for number, known_as in reads_as.items():
        names.setdefault(known_as, set()).add(number)

    def horse(number: str, record: Record | None, *, is_noted: bool, is_out: bool) -> Horse:
        known_as = reads_as.get(number, number)
        is_absent = known_as in absent
        return Horse(
            number=number,
            known_as=known_as,
            identification=marks.get(known_as, (record or {}).get("identification")),
            record=record,
            is_noted=is_noted or known_as in noted,
            is_gone=is_out and (known_as not in marks or is_absent),
            is_absent=is_absent,
            names=frozenset({number, known_as, *names.get(known_as, ())}),
        )

    horses = [horse(number, record, is_noted=False, is_out=bool(record.get("gone"))) for number, record in own.items()]
    told = {each.known_as for each in horses}
    return horses + [horse(each, None, is_noted=True, is_out=False) for each in marks if each not in told]


def horse_among(horses: Iterable[Horse], number: str) -> Horse | None:
    """The horse somebody means by a number: one in the class before one that is gone, today's number before an old."""
    means = [each for each in horses if number in each.names]
    return min(means, key=lambda each: (each.is_gone, each.known_as != number), default=None)


def is_released(notes: Iterable[NoteLike], judges: frozenset[str]) -> bool:
    """Whether every judge's signature stood at some moment: from then on the orders are known."""
    return signatures_in(notes, judges).is_released


def signatures_in(notes: Iterable[NoteLike], judges: frozenset[str]) -> Signatures:
    """What the signatures of a class open, read from its notes in order of arrival."""
    known = NO_SIGNATURES
    for signed in _moments(notes):
        known = known.after(signed, judges)
    return known


def signed_cards(notes: Iterable[NoteLike]) -> frozenset[str]:
    """The cards of a class on which a signature stands."""
    return [frozenset[str](), *_moments(notes)][-1]


def _moments(notes: Iterable[NoteLike]) -> Iterator[frozenset[str]]:
    signs: dict[str, list[dict[str, Any]]] = {}
    for each in notes:
        if each["kind"] == "sign" and LATE not in each:
            signs.setdefault(each["card"], []).append(dict(each))
            yield frozenset(card for card in signs if standing_on(card, signs[card]))


def written_cards(notes: Iterable[NoteLike]) -> set[str]:
    """The cards that say anything of a class."""
    return {str(each["card"]) for each in notes if each.get("card") is not None}


def is_marked(notes: Iterable[NoteLike]) -> bool:
    """Whether somebody has looked at a horse of the class: its standard and sexes are then fixed."""
    return any(each["kind"] in LOOKING for each in notes)
