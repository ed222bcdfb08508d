"""A card read back: the placing that follows from it, and the class file it travels as.

The placing tells what every mark told, so it is for those who may read the whole card. The class file holds exactly
the notes the asking seat may read: for the office and the stewards, once the order is released, the signature and
what the gate says, and before that nothing at all. What is refused is refused in the same words whether the card is
signed, empty or not there.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any, cast

from nearside.engine.merging import counts_for
from nearside.engine.placing import place
from nearside.engine.shapes import ClassFile, Note, Placing, Standard
from nearside.show.classfile import FORMAT, checked_class
from nearside.show.log import LATE
from nearside.show.records import Records
from nearside.show.refusals import Refusal
from nearside.show.running import RunningClass, RunningShow
from nearside.show.seats import Seat, may_read, may_read_card
from nearside.show.standards import shipped_keys, shipped_standard, words
from nearside.store.protocol import as_sent

SEALED = (
    "This card is not open to your seat. A judge's card is read by that judge and the judge's scribe only; "
    "the office and the stewards read the signed order once every judge of the class has signed."
)


def placing_for(show: RunningShow, seat: Seat, class_id: str, card: str | None) -> Callable[[], Placing]:
    """The work that gives the suggested placing of a card, for the caller to run where it holds up nobody.

    Raises: Refusal for a card the seat does not read.
    """
    asked = show.class_named(class_id)
    card = _card_asked(seat, card)
    if not may_read_card(seat, class_id, card, show.facts):
        raise Refusal("not_your_card", SEALED, "card")
    return partial(place, _class_file(show, seat, asked, card), asked.standard, words())


def class_file_for(show: RunningShow, seat: Seat, class_id: str, card: str | None) -> ClassFile:
    """The class file of a card, with the notes the seat may read. Raises: Refusal."""
    asked = show.class_named(class_id)
    card = _card_asked(seat, card)
    signature = {"kind": "sign", "class": class_id, "card": card, "by": ""}
    if not (may_read_card(seat, class_id, card, show.facts) or may_read(seat, signature, show.facts)):
        raise Refusal("not_your_card", SEALED, "card")
    told = _class_file(show, seat, asked, card)
    # The engine takes no notice of what is judged no more; a class file may not hold it.
    told["notes"] = [note for note in told["notes"] if not asked.is_idle(note)]
    return told


def _card_asked(seat: Seat, card: str | None) -> str:
    card = seat.card if card is None else card
    if card is None:
        raise Refusal("card_needed", "Your seat has no card of its own: say which one, as ?card=...", "card")
    return card


def card_file(records: Records, class_id: str, card: str) -> tuple[ClassFile, Standard]:
    """All that counts for a card, sealed or not, and its standard: for what is worked out and told only in part."""
    fields, standard = checked_class(records.classes[class_id]["class"])
    entries = [each for each in records.entries.get(class_id, {}).values() if not each.get("gone")]
    notes = [note for note in records.notes(class_id) if LATE not in note and counts_for(cast("Note", note), card)]
    known = [{"number": each["number"], "identification": each.get("identification")} for each in entries]
    return _as_file(fields, known, card, notes), standard


def _class_file(show: RunningShow, seat: Seat, asked: RunningClass, card: str) -> ClassFile:
    class_id = asked.fields["id"]
    notes = [
        note
        for note in show.notes_of(class_id)
        if counts_for(cast("Note", note), card) and may_read(seat, note, show.facts)
    ]
    key = asked.standard["key"]
    is_shipped = key in shipped_keys() and shipped_standard(key) == asked.standard
    fields: dict[str, Any] = {**asked.fields, "standard": key if is_shipped else asked.standard}
    return _as_file(fields, asked.entries, card, notes)


def _as_file(
    fields: dict[str, Any], entries: list[dict[str, Any]], card: str, notes: list[dict[str, Any]]
) -> ClassFile:
    sent = [{field: value for field, value in as_sent(note).items() if field != "class"} for note in notes]
    return cast("ClassFile", {"format": FORMAT, "class": fields, "entries": entries, "card": card, "notes": sent})
