"""The record of lameness calls: what was seen of which horse, by whom, when, and what followed; for the show's
veterinarian, to read or on paper.

Each seat is given what it may read and no more: the table of `seats` is asked of every note. So the office, whose
record is the one that is printed, has the calls of veterinarian and stewards and, once it is released, where the horse
stood in the signed order; a judge has the own card's calls and rulings as well. Several callers are kept apart, and
every version of a call with its time: one looks again, and what was said first stays on the record.

A call is what one person saw at one moment. It names no cause, and nothing is added to it here.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any, Literal, NamedTuple, cast

from nearside.engine.merging import is_empty, merge
from nearside.engine.numbers import natural_key
from nearside.engine.shapes import Entry, Merged, Note, Slot
from nearside.show.horses import Horse, horse_among, horses_of
from nearside.show.log import LATE
from nearside.show.records import Records
from nearside.show.resultlist import WITH_NAMES
from nearside.show.seats import Facts, Seat, may_read

FORMAT = "nearside-calls/1"
CAUTION = (
    "What is seen here at one moment is no diagnosis. The show's veterinarian and the show's rules decide. "
    "A horse in distress is stopped at once."
)

_KINDS = ("lameness", "ruling", "sign", "entry")
_NO_CARD = ""
_CALL = ("grade", "gait", "limb", "circumstance", "text")

Again = Literal["first", "same", "changed", "taken_back"]


def calls_for(records: Records, facts: Facts, seat: Seat) -> dict[str, Any]:
    """A `nearside-calls/1` for a seat: the classes in which it may read a call, in their order."""
    names = _names(records, seat)
    classes = []
    for class_id, record in records.classes.items():
        notes = [
            cast("Note", each)
            for each in records.notes(class_id)
            if each["kind"] in _KINDS and LATE not in each and may_read(seat, each, facts)
        ]
        if not any(each["kind"] == "lameness" for each in notes):
            continue
        signed = [card for card in records.judges_in(class_id) if _reads_signatures(seat, class_id, card, notes, facts)]
        horses = class_calls(horses_of(records, class_id), notes, signed)
        for horse in horses:
            if seat.role not in WITH_NAMES:
                del horse["horse"]
            for each in (*horse["calls"], *horse["rulings"], *horse["signed"]):
                each["name"] = names.get(each["card"])
                for said in each.get("said", ()):
                    said["written_by"] = _written_by(records, said["written_by"], names)
        fields = record["class"]
        rule = fields.get("lameness")
        classes.append({"id": class_id, "title": fields["title"], "lameness": rule, "horses": horses})
    show = {"id": records.id, "title": records.show["title"]}
    return {"format": FORMAT, "show": show, "caution": CAUTION, "classes": classes}


def class_calls(horses: Sequence[Horse], notes: Sequence[Note], signed: Sequence[str]) -> list[dict[str, Any]]:
    """Every horse of a class of which there is a call, in natural order.

    `notes`: those that may be read. `signed`: the cards whose signature may be read. Of each horse: `calls` by caller,
    a card's or, without card, an observer's as written by one seat; `rulings` by card; `signed`, where each of the
    cards has it. Callers stand in the order in which they first called.
    """
    entries = [Entry(number=each.number, identification=each.identification) for each in horses]
    cards = sorted({str(each["card"]) for each in notes if each.get("card") is not None} | {*signed})
    merged = {card: merge(entries, notes, card) for card in (_NO_CARD, *cards)}
    reads_as = merged[_NO_CARD]["reads_as"]
    slots = {_key(slot["slot"]): slot for each in merged.values() for slot in each["slots"]}
    disputed = {_key(each["slot"]) for one in merged.values() for each in one["disputes"]}
    calls: dict[str, dict[_Caller, list[Note]]] = {}
    rulings: dict[str, dict[str, list[Note]]] = {}
    for note in sorted(notes, key=lambda each: (each["at"], each["id"])):
        if note["kind"] not in ("lameness", "ruling"):
            continue
        number = reads_as.get(str(note["number"]), str(note["number"]))
        if note["kind"] == "lameness":
            calls.setdefault(number, {}).setdefault(_Caller.of(note), []).append(note)
        else:
            rulings.setdefault(number, {}).setdefault(str(note["card"]), []).append(note)
    told = []
    for number in sorted(calls, key=natural_key):
        horse = horse_among(horses, number)
        told.append(
            {
                "number": number,
                "identification": horse.identification if horse is not None else None,
                "horse": (horse.record or {}).get("horse") if horse is not None else None,
                "calls": [
                    {
                        "card": caller.card,
                        "observer": caller.observer,
                        "disputed": caller.slot(number) in disputed,
                        "said": _said(said, slots[caller.slot(number)], _CALL),
                    }
                    for caller, said in calls[number].items()
                ],
                "rulings": [
                    {
                        "card": card,
                        "disputed": ("ruling", card, number) in disputed,
                        "said": _said(said, slots["ruling", card, number], ("outcome", "reason")),
                    }
                    for card, said in rulings.get(number, {}).items()
                ],
                "signed": [{"card": card, **_signed(merged[card], card, number)} for card in signed],
            }
        )
    return told


class _Caller(NamedTuple):
    """Whose call it is: of a card, or of an observer as one seat wrote it down."""

    card: str | None
    observer: str | None
    by: str | None

    @classmethod
    def of(cls, note: Note) -> _Caller:
        card = note.get("card")
        return cls(card, None, None) if card is not None else cls(None, note.get("observer"), note["by"])

    def slot(self, number: str) -> tuple[str, ...]:
        return ("lameness", str(self.by if self.card is None else self.card), number)


def _key(slot: Iterable[str]) -> tuple[str, ...]:
    return tuple(slot)


def _said(notes: Sequence[Note], slot: Slot, fields: Sequence[str]) -> list[dict[str, Any]]:
    """Each version with its time, who wrote it down, and whether it is the one that stands."""
    told: list[dict[str, Any]] = []
    for note in notes:
        values = {field: note.get(field) for field in fields}
        told.append(
            {
                "at": note["at"],
                "written_by": note["by"],
                "number": note["number"],
                **values,
                "again": _again(note, values, told),
                "stands": note["id"] == slot["used"]["id"],
            }
        )
    return told


def _again(note: Note, values: Mapping[str, Any], before: Sequence[Mapping[str, Any]]) -> Again:
    if is_empty(note):
        return "taken_back"
    if not before:
        return "first"
    return "same" if all(before[-1][field] == value for field, value in values.items()) else "changed"


def _signed(merged: Merged, card: str, number: str) -> dict[str, Any]:
    """Where a horse stands in the order signed on a card: `open` while no signature stands on it."""
    used = next((slot["used"] for slot in merged["slots"] if slot["slot"] == ["sign", card]), None)
    if used is None or used["numbers"] is None:
        return {"state": "open", "place": None, "at": None}
    numbers = used["numbers"]
    if number not in numbers:
        return {"state": "left_out", "place": None, "at": used["at"]}
    return {"state": "placed", "place": numbers.index(number) + 1, "at": used["at"]}


def _reads_signatures(seat: Seat, class_id: str, card: str, notes: Iterable[Note], facts: Facts) -> bool:
    asked = {"kind": "sign", "class": class_id, "card": card, "by": ""}
    return may_read(seat, asked, facts) or any(each["kind"] == "sign" and each["card"] == card for each in notes)


def _names(records: Records, seat: Seat) -> dict[str | None, str]:
    """The people whose names the seat is told: all of them, or those who write on its own card."""
    return {
        seat_id: each["name"]
        for seat_id, each in records.seats.items()
        if seat.role in WITH_NAMES or seat_id == seat.id or (seat.card is not None and each["card"] == seat.card)
    }


def _written_by(records: Records, seat_id: str, names: Mapping[str | None, str]) -> dict[str, str | None]:
    record = records.seats.get(seat_id)
    return {"role": record["role"] if record is not None else None, "name": names.get(seat_id)}
