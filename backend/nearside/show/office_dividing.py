"""The office's plans for classes that are too large or too small: split, merged into another, judged together.

Only horses nobody judged come under another judging: a class that is folded into another one has nothing on its cards.
The records of a folded class stay as they were, and whatever a phone without a signal still writes of it is kept with
it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Annotated, Any

from pydantic import Field
from typing_extensions import TypedDict

from nearside.show.asked import needed_text
from nearside.show.horses import Horse, horses_of, is_marked, written_cards
from nearside.show.office_classes import (
    judged_class,
    method_of,
    new_class_id,
    refuse_signed,
    standard_in,
    title_of,
)
from nearside.show.office_entries import absent_too, brought_in, horses_in, taken_out
from nearside.show.records import Asking, Planned, Records, change_to
from nearside.show.refusals import Refusal
from nearside.store.protocol import Change, Record

SplitAsked = TypedDict(
    "SplitAsked",
    {"class": str, "title": str, "numbers": Annotated[list[str], Field(min_length=1, max_length=500)]},
)
MergeAsked = TypedDict("MergeAsked", {"class": str, "into": str})


class CombineAsked(TypedDict):
    """The classes that are judged together, and what the new one is called; nothing may be null."""

    classes: Annotated[list[str], Field(min_length=2, max_length=8)]
    title: str


def plan_split(records: Records, asking: Asking, asked: Mapping[str, Any]) -> Planned:
    """Some horses of a class in a new class of the same kind, right behind it."""
    class_id = asked["class"]
    record = judged_class(records, class_id, "class")
    if record.get("divisions"):
        raise Refusal(
            "not_now",
            f"{title_of(record)} is placed in divisions already, and is not split again; move horses instead.",
            "class",
        )
    refuse_signed(records, class_id)
    horses = horses_in(records, class_id, asked["numbers"], "numbers")
    if len(horses) == len(_in_class(records, class_id)):
        raise Refusal("bad_request", "numbers: leave at least one horse in the class.", "numbers")
    new_id = new_class_id(records)
    fields = {**record["class"], "id": new_id, "title": needed_text(asked["title"], "title")}
    new = {**_blank(record), "class": fields}
    out = taken_out(records, asking, class_id, horses, {"why": "split", "to": new_id})
    changes = [*_placed_behind(records, record, new), *out.changes, *_as_entries(records, new_id, horses, None)]
    return Planned(changes, out.notes)


def plan_merge(records: Records, asking: Asking, asked: Mapping[str, Any]) -> Planned:
    """A class nobody judged yet, folded into another one: its horses are judged and placed there."""
    class_id, into = asked["class"], asked["into"]
    record = judged_class(records, class_id, "class")
    target = judged_class(records, into, "into")
    if class_id == into:
        raise Refusal("bad_request", "into: choose another class than the one that is folded in.", "into")
    for each, where in ((record, "class"), (target, "into")):
        if each.get("divisions"):
            raise Refusal(
                "not_now",
                f"{title_of(each)} is placed in divisions, so it stays as it is; choose another class.",
                where,
            )
    _refuse_judged(records, record, "class")
    refuse_signed(records, into, "into")
    if standard_in(record) != standard_in(target):
        raise Refusal("not_now", "The two classes have different standards; give them one standard first.", "into")
    fields = _joined([target, record], target["class"])
    if is_marked(records.notes(into)) and fields["sexes"] != target["class"]["sexes"]:
        raise Refusal(
            "not_now", f"{title_of(target)} is being judged, so its sexes are fixed: none come in now.", "into"
        )
    horses = _in_class(records, class_id)
    plan = brought_in(records, asking, into, horses, None)
    changes = [
        change_to("classes", {**target, "class": fields}),
        change_to("classes", {**record, "stage": None, "folded": {"into": into, "how": "merged"}}),
        *_in_championships(records, [class_id], into),
        *plan.changes,
    ]
    return Planned(changes, [*plan.notes, *absent_too(records, asking, into, horses)])


def plan_combine(records: Records, asking: Asking, asked: CombineAsked) -> Planned:
    """Classes judged together and placed apart: a new class, each of the old ones a division of it."""
    ids = asked["classes"]
    parts = [judged_class(records, class_id, "classes") for class_id in ids]
    if len(set(ids)) != len(ids):
        raise Refusal("bad_request", "classes: name each class once.", "classes")
    first = parts[0]
    for each in parts:
        if each.get("divisions"):
            raise Refusal("not_now", f"{title_of(each)} is placed in divisions already; leave it out here.", "classes")
        _refuse_judged(records, each, "classes")
        for what, is_same in (
            ("standards", standard_in(each) == standard_in(first)),
            ("judges", each.get("judges") == first.get("judges")),
            ("methods", method_of(each) == method_of(first)),
            ("lameness rules", each["class"]["lameness"] == first["class"]["lameness"]),
        ):
            if not is_same:
                raise Refusal(
                    "not_now",
                    f"{title_of(first)} and {title_of(each)} have different {what}; make them the same.",
                    "classes",
                )
    new_id = new_class_id(records)
    fields = _joined(parts, {**first["class"], "id": new_id, "title": needed_text(asked["title"], "title")})
    fields["places"] = max(each["class"]["places"] for each in parts)
    new = {
        **_blank(first),
        "class": fields,
        "study_office": all(each.get("study_office") for each in parts),
        "divisions": [{"id": each["class"]["id"], "title": each["class"]["title"]} for each in parts],
        **{
            field: [seat for seat in first.get(field) or () if all(seat in (each.get(field) or ()) for each in parts)]
            for field in ("study_judges", "slips")
        },
    }
    horses = {class_id: _in_class(records, class_id) for class_id in ids}
    _refuse_doubled(horses)
    entries: list[Change] = []
    for class_id, own in horses.items():
        entries += _as_entries(records, new_id, own, class_id, len(entries))
    folded = {"into": new_id, "how": "combined"}
    return Planned(
        [
            *_placed_behind(records, first, new),
            *(change_to("classes", {**each, "stage": None, "folded": folded}) for each in parts),
            *entries,
        ],
        [note for own in horses.values() for note in absent_too(records, asking, new_id, own)],
    )


def _in_class(records: Records, class_id: str) -> list[Horse]:
    return [each for each in horses_of(records, class_id) if not each.is_gone]


def _blank(record: Record) -> Record:
    """What a new class has of the one it is made from: who judges it and how, not what happened in it."""
    fields = ("show", "position", "judges", "method", "call_judges", "study_office", "study_judges", "slips")
    return {field: record[field] for field in fields if field in record}


def _joined(parts: Sequence[Record], fields: Mapping[str, Any]) -> dict[str, Any]:
    """The fields of a class whose horses are of all these classes."""
    return {
        **fields,
        **{
            name: list(dict.fromkeys(each for part in parts for each in part["class"][name]))
            for name in ("sexes", "ages")
        },
    }


def _as_entries(
    records: Records, class_id: str, horses: Sequence[Horse], division: str | None, start: int = 0
) -> list[Change]:
    """The records of horses in a class that is new."""
    return [
        change_to(
            "entries",
            {
                "show": records.id,
                "class": class_id,
                "position": place,
                "number": each.known_as,
                "identification": each.identification,
                "horse": (each.record or {}).get("horse"),
                "exhibitor": (each.record or {}).get("exhibitor"),
                "division": division,
            },
        )
        for place, each in enumerate(horses, start)
    ]


def _placed_behind(records: Records, record: Record, new: Record) -> list[Change]:
    """A new class right behind another one; those after it go on one place."""
    behind = record["position"] + 1
    later = [each for each in records.classes.values() if each["position"] >= behind]
    return [
        change_to("classes", {**new, "position": behind}),
        *(change_to("classes", {**each, "position": each["position"] + 1}) for each in later),
    ]


def _in_championships(records: Records, gone: Sequence[str], into: str) -> list[Change]:
    """Championships take their horses from the class that is judged instead."""
    changes = []
    for each in records.championships.values():
        classes = list(dict.fromkeys(into if class_id in gone else class_id for class_id in each["classes"]))
        if classes != each["classes"]:
            changes.append(change_to("championships", {**each, "classes": classes}))
    return changes


def _refuse_judged(records: Records, record: Record, where: str) -> None:
    class_id = record["class"]["id"]
    if written_cards(records.notes(class_id)):
        title = title_of(record)
        raise Refusal("not_now", f"{title} is being judged: what is noted of its horses would be lost to them.", where)


def _refuse_doubled(horses: Mapping[str, Sequence[Horse]]) -> None:
    seen: set[str] = set()
    for each in (horse for own in horses.values() for horse in own):
        if each.known_as in seen:
            raise Refusal(
                "not_now",
                f"{each.known_as} is in two of these classes; take it out of one, or put its number right.",
                "classes",
            )
        seen.add(each.known_as)
