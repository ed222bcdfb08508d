"""The office's plans for entries: late ones, scratched ones, those in the wrong class, those struck from a result.

A horse goes out of a class by its record, which stays and says why. One that the gate entered by a note, or described
there, would still be in the class by that note, and notes are never changed: there the plan also says, as the gate
does, that it is absent.
"""

from __future__ import annotations

import uuid
from collections.abc import Mapping, Sequence
from typing import Annotated, Any, cast

from pydantic import Field
from typing_extensions import TypedDict

from nearside.engine.merging import merge
from nearside.engine.shapes import Note
from nearside.show.asked import NAME_AT_MOST, needed_text, number_in, text_in
from nearside.show.horses import Horse, horse_among, horses_of
from nearside.show.office_classes import judged_class, next_position, refuse_signed, title_of
from nearside.show.records import Asking, Planned, Records, change_to
from nearside.show.refusals import Refusal
from nearside.store.protocol import Change, Record

REASON_AT_MOST = 300
MOST_ENTRIES = 500  # in one class: far beyond any ring, and what one change of the catalogue takes in its stride

EntryAsked = TypedDict(
    "EntryAsked",
    {
        "class": str,
        "number": str,
        "identification": str | None,
        "horse": str | None,
        "exhibitor": str | None,
        "division": str | None,
    },
)
OneEntry = TypedDict("OneEntry", {"class": str, "number": str, "reason": str | None})
MoveAsked = TypedDict(
    "MoveAsked", {"class": str, "numbers": Annotated[list[str], Field(min_length=1, max_length=500)], "to": str}
)


def plan_entry(records: Records, asking: Asking, asked: Mapping[str, Any]) -> Planned:
    """A late entry, or what is known of a horse in the class changed: all as given, nothing kept from before."""
    record = judged_class(records, asked["class"], "class")
    number = number_in(asked["number"], "number")
    told = {
        "identification": text_in(asked["identification"], "identification"),
        "horse": text_in(asked["horse"], "horse", NAME_AT_MOST),
        "exhibitor": text_in(asked["exhibitor"], "exhibitor", NAME_AT_MOST),
        "division": _division(record, asked["division"]),
    }
    horse = horse_among(horses_of(records, asked["class"]), number)
    was = horse.record if horse is not None else None
    if horse is None or horse.is_gone or told["division"] != (was or {}).get("division"):
        refuse_signed(records, asked["class"])
    return entered(records, asking, asked["class"], horse, number, told)


def entered(
    records: Records, asking: Asking, class_id: str, horse: Horse | None, number: str, told: Mapping[str, Any]
) -> Planned:
    """What puts one horse in a class with these fields: its record, and notes where what the gate wrote says other."""
    own = records.entries.get(class_id, {})
    if horse is not None:
        number = horse.number
    before = own.get(number)
    if before is None and len(own) >= MOST_ENTRIES:
        raise Refusal(
            "not_now", f"A class has {MOST_ENTRIES} entries at most; put further horses in another class.", "class"
        )
    place = {"position": before["position"] if before is not None else next_position(own)}
    kept = {field: value for field, value in (before or {}).items() if field != "gone"}
    record = {**kept, "show": records.id, "class": class_id, **place, "number": number, **told}
    changes = [change_to("entries", record)] if record != before else []
    notes = []
    if horse is not None and horse.is_noted:
        if horse.is_gone:
            notes.append(presence_note(records, asking, class_id, horse.known_as, None))
        if horse.identification != told["identification"]:
            notes.append(_identification_note(records, asking, class_id, horse, told["identification"]))
    return Planned(changes, notes)


def plan_entry_gone(records: Records, asking: Asking, asked: Mapping[str, Any]) -> Planned:
    """An entry taken out of its class."""
    judged_class(records, asked["class"], "class")
    horse = horse_in(records, asked["class"], asked["number"], "number")
    refuse_signed(records, asked["class"])
    why = text_in(asked["reason"], "reason", REASON_AT_MOST)
    return taken_out(records, asking, asked["class"], [horse], {"why": why or "withdrawn"})


def plan_move(records: Records, asking: Asking, asked: Mapping[str, Any]) -> Planned:
    """Horses moved to another class: what is noted of them in the first stays there."""
    start, to = asked["class"], asked["to"]
    judged_class(records, start, "class")
    target = judged_class(records, to, "to")
    if start == to:
        raise Refusal("bad_request", "to: choose another class than the one they are in.", "to")
    if target.get("divisions"):
        raise Refusal("not_now", f"{title_of(target)} is placed in divisions: enter each horse in its own.", "to")
    refuse_signed(records, start)
    refuse_signed(records, to, "to")
    horses = horses_in(records, start, asked["numbers"], "numbers")
    out = taken_out(records, asking, start, horses, {"why": "moved", "to": to})
    into = brought_in(records, asking, to, horses, None)
    return Planned([*out.changes, *into.changes], [*out.notes, *into.notes])


def plan_strike(records: Records, asking: Asking, asked: Mapping[str, Any]) -> Planned:
    """An entry struck from the result of its class, with a reason; without one it is taken back."""
    record = judged_class(records, asked["class"], "class")
    horse = horse_in(records, asked["class"], asked["number"], "number")
    horses = horses_of(records, asked["class"])
    before = record.get("strikes") or ()
    strikes = [each for each in before if horse_among(horses, each["number"]) != horse]
    if asked["reason"] is not None:
        reason = needed_text(asked["reason"], "reason", REASON_AT_MOST)
        strikes.append({"number": horse.known_as, "reason": reason, "at": asking.now_ms, "by": asking.seat})
    elif len(strikes) == len(before):
        raise Refusal("not_now", f"{horse.known_as} is not struck from {title_of(record)}.", "number")
    return Planned([change_to("classes", {**record, "strikes": strikes})])


def horse_in(records: Records, class_id: str, number: str, where: str) -> Horse:
    """A horse that is in a class. Raises: Refusal."""
    return horses_in(records, class_id, [number], where)[0]


def horses_in(records: Records, class_id: str, numbers: Sequence[str], where: str) -> list[Horse]:
    """Horses that are in a class, each once. Raises: Refusal."""
    there = horses_of(records, class_id)
    found: dict[str, Horse] = {}
    for each in numbers:
        number = number_in(each, where)
        horse = horse_among(there, number)
        if horse is None or horse.is_gone:
            title = title_of(records.classes[class_id])
            raise Refusal("unknown_entry", f"{number} is not in {title}; look for its number in the list.", where)
        found[horse.known_as] = horse
    return list(found.values())


def absent_too(records: Records, asking: Asking, class_id: str, horses: Sequence[Horse]) -> list[dict[str, Any]]:
    """What the gate of a class is told of horses that come into it: whoever is absent stays absent."""
    return [presence_note(records, asking, class_id, each.known_as, "absent") for each in horses if each.is_absent]


def taken_out(
    records: Records, asking: Asking, class_id: str, horses: Sequence[Horse], gone: Mapping[str, Any]
) -> Planned:
    """These horses out of their class; their records say why."""
    own = records.entries.get(class_id, {})
    place = next_position(own)
    changes, notes = [], []
    for each in horses:
        record = each.record
        if record is None:
            record = _record(records, class_id, place, each)
            place += 1
        changes.append(change_to("entries", {**record, "gone": {**gone, "at": asking.now_ms}}))
        if each.is_noted:
            notes.append(presence_note(records, asking, class_id, each.known_as, "absent"))
    return Planned(changes, notes)


def brought_in(
    records: Records, asking: Asking, class_id: str, horses: Sequence[Horse], division: str | None
) -> Planned:
    """These horses of another class in this one, under the numbers they are known by. Raises: Refusal."""
    changes: list[Change] = []
    notes: list[dict[str, Any]] = []
    title = title_of(records.classes[class_id])
    place = next_position(records.entries.get(class_id, {}))
    there = horses_of(records, class_id)
    for each in horses:
        here = horse_among(there, each.known_as)
        if here is not None and not here.is_gone:
            raise Refusal(
                "not_now", f"{each.known_as} is in {title} already; put one of the two numbers right first.", "numbers"
            )
        was = each.record or {}
        told = {
            "identification": each.identification,
            "horse": was.get("horse"),
            "exhibitor": was.get("exhibitor"),
            "division": division,
        }
        plan = entered(records, asking, class_id, here, each.known_as, told)
        for change in plan.changes:
            assert change.record is not None
            if here is None or here.record is None:
                changes.append(change._replace(record={**change.record, "position": place}))
                place += 1
            else:
                changes.append(change)
        notes += plan.notes
    return Planned(changes, notes)


def presence_note(records: Records, asking: Asking, class_id: str, number: str, state: str | None) -> dict[str, Any]:
    """The gate's word on a horse, as the office says it."""
    return _note(records, asking, class_id, {"kind": "presence", "number": number, "state": state})


def _identification_note(
    records: Records, asking: Asking, class_id: str, horse: Horse, identification: str | None
) -> dict[str, Any]:
    fields = {"kind": "entry", "number": horse.known_as, "identification": identification or "", "now": None}
    return _note(records, asking, class_id, fields)


def _note(records: Records, asking: Asking, class_id: str, fields: Mapping[str, Any]) -> dict[str, Any]:
    """A note of a kind that has a slot for each number, replacing what stands in that slot."""
    notes = [cast("Note", each) for each in records.notes(class_id) if each["kind"] in ("entry", "presence")]
    slot = [fields["kind"], fields["number"]]
    current = next((each["current"] for each in merge([], notes, "")["slots"] if each["slot"] == slot), [])
    common = {"id": str(uuid.uuid4()), "class": class_id, "by": asking.seat, "at": asking.now_ms}
    return {**common, "replaces": current, **fields}


def _record(records: Records, class_id: str, place: int, horse: Horse) -> Record:
    return {
        "show": records.id,
        "class": class_id,
        "position": place,
        "number": horse.number,
        "identification": horse.identification,
    }


def _division(record: Record, division: str | None) -> str | None:
    there = [each["id"] for each in record.get("divisions") or ()]
    if (division is None) == (not there) and (division is None or division in there):
        return division
    what = "choose the division the horse is placed in" if there else "this class has no divisions; leave it out"
    raise Refusal("bad_request", f"division: {what}.", "division")
