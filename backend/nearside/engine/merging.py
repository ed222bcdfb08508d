"""Notes of several devices, merged into what stands.

Theory of operation. A note never changes. It belongs to a slot (say: this card, horse, trait, view) and names in
`replaces` the notes of that slot its writer had seen. What nobody replaced is current. One current note is the
value; several are a dispute, listed and kept, and the latest is used until somebody settles it. So the result
depends only on the set of notes: their order of arrival and repeats do not matter, and none is ever dropped.

`KINDS` is the one table of what makes a slot and what makes a value.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any, NamedTuple

from .numbers import follow, in_natural_order, natural_key
from .shapes import Dispute, Entry, Merged, Note, Slot


class Kind(NamedTuple):
    """How notes of a kind merge: whose they are, the fields of the slot, the fields of the value."""

    of_card: bool
    slot: tuple[str, ...]
    value: tuple[str, ...]
    empty_when_null: tuple[str, ...]


KINDS: dict[str, Kind] = {
    "mark": Kind(True, ("number", "trait", "view"), ("degree",), ("degree",)),
    "looked": Kind(True, ("number", "view"), ("done",), ("done",)),
    "remark": Kind(True, ("about",), ("number", "text", "tag"), ("text", "tag")),
    "over": Kind(True, ("pair",), ("winner",), ("winner",)),
    "ruling": Kind(True, ("number",), ("outcome", "reason"), ("outcome",)),
    "order": Kind(True, (), ("numbers",), ("numbers",)),
    "sign": Kind(True, (), ("numbers", "reason"), ("numbers",)),
    "lameness": Kind(False, ("number",), ("observer", "grade", "gait", "limb", "circumstance", "text"), ("grade",)),
    "presence": Kind(False, ("number",), ("state",), ("state",)),
    # An entry note has no empty value: with nothing in it, it still enters a horse without identification marks.
    "entry": Kind(False, ("number",), ("identification", "now", "reason"), ()),
}


def merge(entries: Sequence[Entry], notes: Iterable[Note], card: str) -> Merged:
    """What stands for one card: entries, slots and disputes.

    Arguments: the class's own entries; notes of the class, in any order, repeats allowed; the card whose marks count.
    Returns: `entries`, each horse once under the number it is known by today, the class's own first, then the entered
    ones in natural order; `reads_as`, from number to number, only where they differ; `slots` sorted by slot, element
    by element by code point, slots with a null value included; `disputes`, in the same order, their notes by id.
    """
    counted = {note["id"]: note for note in notes if counts_for(note, card)}
    entry_slots = _slots(note for note in counted.values() if note["kind"] == "entry")
    reads_as = _reads_as(slot["used"] for slot in entry_slots)
    other_slots = _slots(_read_through(counted.values(), reads_as))
    slots = sorted(entry_slots + other_slots, key=lambda slot: slot["slot"])
    return {
        "entries": _entries(entries, entry_slots, reads_as),
        "reads_as": reads_as,
        "slots": slots,
        "disputes": _disputes(slots, counted, reads_as),
    }


def counts_for(note: Note, card: str) -> bool:
    """Whether a note says anything on this card: its own notes, calls without a card, gate and entries."""
    kind = KINDS[note["kind"]]
    return (not kind.of_card and note.get("card") is None) or note.get("card") == card


def is_empty(note: Note) -> bool:
    """Whether the note's value is null: its slot then holds nothing."""
    fields = KINDS[note["kind"]].empty_when_null
    return bool(fields) and all(_field(note, field) is None for field in fields)


def _field(note: Note, field: str) -> Any:
    return note.get(field)


def _reads_as(used: Iterable[Note]) -> dict[str, str]:
    now = {str(note["number"]): str(note["now"]) for note in used if note.get("now") is not None}
    ends = {number: follow(number, now) for number in in_natural_order(now)}
    return {number: end for number, end in ends.items() if end != number}


def _entries(entries: Sequence[Entry], entry_slots: list[Slot], reads_as: Mapping[str, str]) -> list[Entry]:
    """The class's own and the entered ones, each read once; a later identification completes or corrects."""
    by_number: dict[str, str | None] = {}
    for entry in entries:
        _enter(by_number, reads_as.get(entry["number"], entry["number"]), entry.get("identification"))
    written = sorted((slot["used"] for slot in entry_slots), key=lambda note: natural_key(str(note["number"])))
    for note in written:
        number = reads_as.get(str(note["number"]), str(note["number"]))
        if note.get("now") is None or number in by_number:
            _enter(by_number, number, note.get("identification"))
    return [{"number": number, "identification": marks} for number, marks in by_number.items()]


def _enter(by_number: dict[str, str | None], number: str, identification: str | None) -> None:
    by_number[number] = identification if identification is not None else by_number.get(number)


def _read_through(notes: Iterable[Note], reads_as: Mapping[str, str]) -> Iterable[Note]:
    """The notes that are not entries, every number in them read as the horse is known today."""
    for note in notes:
        if note["kind"] == "entry":
            continue
        if not reads_as:
            yield note
            continue
        read: Note = note.copy()
        number, winner = note.get("number"), note.get("winner")
        if number is not None:
            read["number"] = reads_as.get(number, number)
        if winner is not None:
            read["winner"] = reads_as.get(winner, winner)
        if note["kind"] == "over":
            read["pair"] = [reads_as.get(each, each) for each in note["pair"]]
            if read["pair"][0] == read["pair"][1]:
                continue  # its two numbers turned out to be one horse
        numbers = note.get("numbers")
        if numbers is not None:
            # Two numbers of one horse in an order: the horse stands where it was first put.
            read["numbers"] = list(dict.fromkeys(reads_as.get(each, each) for each in numbers))
        yield read


def _slot_of(note: Note) -> tuple[str, ...]:
    """The kind and the slot's fields, all as text."""
    kind = note["kind"]
    if kind == "mark":  # spelled out: nearly all notes are marks
        return (kind, str(note["card"]), str(note["number"]), note["trait"], note["view"])
    if kind == "lameness":
        card = note.get("card")
        return (kind, note["by"] if card is None else card, str(note["number"]))
    head = (kind, str(note["card"])) if KINDS[kind].of_card else (kind,)
    if kind == "over":
        return (*head, *sorted(note["pair"], key=natural_key))
    if kind == "remark":
        about = note.get("about")
        return (*head, note["id"] if about is None else about)
    return (*head, *(str(_field(note, field)) for field in KINDS[kind].slot))


def _slots(notes: Iterable[Note]) -> list[Slot]:
    """Every slot with its current notes and the one in force: the greatest by (`at`, `id`)."""
    members: dict[tuple[str, ...], list[Note]] = {}
    for note in notes:
        members.setdefault(_slot_of(note), []).append(note)
    slots: list[Slot] = []
    for slot, group in members.items():
        current = group if len(group) == 1 else _current(group)
        used = current[0] if len(current) == 1 else max(current, key=lambda note: (note["at"], note["id"]))
        slots.append({"slot": list(slot), "current": sorted(note["id"] for note in current), "used": used})
    return slots


def _current(group: list[Note]) -> list[Note]:
    """The notes of one slot that no other replaces; all of them where they replace one another in a ring."""
    replaced = {old for note in group for old in note["replaces"] if old != note["id"]}
    return [note for note in group if note["id"] not in replaced] or group


def _disputes(slots: list[Slot], counted: Mapping[str, Note], reads_as: Mapping[str, str]) -> list[Dispute]:
    disputes: list[Dispute] = []
    for slot in slots:
        if len(slot["current"]) == 1:
            continue
        notes = [counted[note_id] for note_id in slot["current"]]
        if notes[0]["kind"] != "entry":
            notes = list(_read_through(notes, reads_as))
        value = KINDS[notes[0]["kind"]].value
        said = [[_field(note, field) for field in value] for note in notes]
        if any(other != said[0] for other in said):
            disputes.append({"slot": slot["slot"], "notes": slot["current"], "used": slot["used"]["id"]})
    return disputes
