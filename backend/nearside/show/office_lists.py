"""The office's plan for a list of entries: a preview of every row, and then all of them or none.

A number the class has is brought up to date: only what the list says changes, an empty cell wipes nothing.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from typing_extensions import TypedDict

from nearside.show.asked import as_refusal, tidy
from nearside.show.entries_csv import Column, Row, read_entries
from nearside.show.horses import Horse, horse_among, horses_of
from nearside.show.office_classes import is_signed, judged_class, next_position, title_of
from nearside.show.office_entries import MOST_ENTRIES, entered
from nearside.show.records import Asking, Planned, Records
from nearside.show.refusals import Refusal
from nearside.show.strict_json import Refused, shown
from nearside.store.protocol import Change

MOST_CHARACTERS = 1_000_000

ListAsked = TypedDict("ListAsked", {"text": str, "class": str | None})


@dataclass(slots=True)
class _Seen:
    """A class while a list is read into it."""

    class_id: str
    horses: list[Horse]
    is_signed: bool
    has_divisions: bool
    next_position: int
    new: int
    lines: dict[str, int]
    """The line that named a horse, by the number it is known by."""


@dataclass(slots=True)
class _Meant:
    """A row, and what it comes to."""

    row: Row
    into: _Seen | None = None
    horse: Horse | None = None
    told: dict[str, Any] | None = None
    what: str | None = None


def read_list(records: Records, asked: Mapping[str, Any]) -> dict[str, Any]:
    """What a list of entries would change: its columns as understood, each row, and whether all can be taken."""
    columns, meant = _meant(records, asked)
    return {
        "columns": [{"title": each.title, "as": each.read_as} for each in columns],
        "rows": [
            {
                "line": each.row.line,
                "class": each.into.class_id if each.into is not None else None,
                **{field: each.row.told.get(field) for field in ("number", "identification", "horse", "exhibitor")},
                "is": each.what if each.row.problem is None else None,
                "problem": each.row.problem,
            }
            for each in meant
        ],
        "ok": all(each.row.problem is None for each in meant),
    }


def plan_list(records: Records, asking: Asking, asked: Mapping[str, Any]) -> Planned:
    """All rows of a list taken in, or none."""
    _, meant = _meant(records, asked)
    for each in meant:
        if each.row.problem is not None:
            where = f"line {each.row.line}"
            raise Refusal("bad_request", f"{where}: {each.row.problem}. No row was taken.", where)
    changes: list[Change] = []
    notes: list[dict[str, Any]] = []
    for each in meant:
        if each.what == "same":
            continue
        assert each.into is not None
        assert each.told is not None
        seen = each.into
        plan = entered(records, asking, seen.class_id, each.horse, each.row.told["number"], each.told)
        for change in plan.changes:
            if change.record is not None and (each.horse is None or each.horse.record is None):
                change = change._replace(record={**change.record, "position": seen.next_position})
                seen.next_position += 1
            changes.append(change)
        notes += plan.notes
    return Planned(changes, notes)


def _meant(records: Records, asked: Mapping[str, Any]) -> tuple[list[Column], list[_Meant]]:
    """The rows and what each comes to. Raises: Refusal where the list as a whole can't be used."""
    if len(asked["text"]) > MOST_CHARACTERS:
        raise Refusal("too_large", f"text: it is longer than {MOST_CHARACTERS} characters; take it in parts.", "text")
    chosen = asked["class"]
    if chosen is not None:
        judged_class(records, chosen, "class")
    try:
        columns, rows = read_entries(asked["text"])
    except Refused as refused:
        raise as_refusal(refused) from None
    if chosen is None and not any(each.read_as == "class" for each in columns):
        sentence = "class: choose the class of these entries, or give the list a header with a column “Class”."
        raise Refusal("bad_request", sentence, "class")
    seen: dict[str, _Seen] = {}
    return columns, [_row_meant(records, row, chosen, seen) for row in rows]


def _row_meant(records: Records, row: Row, chosen: str | None, seen: dict[str, _Seen]) -> _Meant:
    meant = _Meant(row)
    if row.problem is not None:
        return meant
    try:
        class_id = _class_meant(records, row.told.get("class"), chosen)
    except Refused as refused:
        row.problem = str(refused)
        return meant
    into = meant.into = seen.get(class_id) or seen.setdefault(class_id, _see(records, class_id))
    number = row.told["number"]
    horse = meant.horse = horse_among(into.horses, number)
    known_as = horse.known_as if horse is not None else number
    line = into.lines.setdefault(known_as, row.line)
    is_new = horse is None or horse.is_gone
    into.new += horse is None or horse.record is None
    title = title_of(records.classes[class_id])
    if line != row.line:
        row.problem = f"number: {known_as} is in line {line} already"
    elif is_new and into.is_signed:
        row.problem = f"class: a card of {title} is signed, so nobody comes into it"
    elif is_new and into.has_divisions:
        row.problem = f"class: {title} is placed in divisions; enter {number} by itself, in its division"
    elif into.new > MOST_ENTRIES:
        row.problem = f"class: {title} would have more than {MOST_ENTRIES} entries"
    before = _known_of(horse)
    meant.told = {**before, **{field: row.told[field] for field in before if field in row.told}}
    meant.what = "new" if is_new else "same" if meant.told == before else "changed"
    return meant


def _known_of(horse: Horse | None) -> dict[str, Any]:
    record = (horse.record if horse is not None else None) or {}
    return {
        "identification": horse.identification if horse is not None else None,
        **{field: record.get(field) for field in ("horse", "exhibitor", "division")},
    }


def _see(records: Records, class_id: str) -> _Seen:
    own = records.entries.get(class_id, {})
    return _Seen(
        class_id=class_id,
        horses=horses_of(records, class_id),
        is_signed=is_signed(records, class_id),
        has_divisions=bool(records.classes[class_id].get("divisions")),
        next_position=next_position(own),
        new=len(own),
        lines={},
    )


def _class_meant(records: Records, cell: str | None, chosen: str | None) -> str:
    """The class a row is for, the chosen one where it names none: by title, by short name (C3), or by number.

    A bare number is the class's place in the day or part of its short name; where that makes two classes, neither is
    guessed. Raises: Refused.
    """
    if cell is None:
        if chosen is None:
            raise Refused("class", "it is missing")
        return chosen
    told = tidy(cell).casefold()
    short = told.removeprefix("class ").removeprefix("no. ")
    titled = [class_id for class_id, each in records.judged.items() if tidy(each["class"]["title"]).casefold() == told]
    named = [class_id for class_id in records.judged if class_id.casefold() in (told, short)]
    numbered = [class_id for class_id in records.judged if class_id.casefold() == f"c{short}"]
    if short.isascii() and short.isdecimal():
        numbered += list(records.judged)[int(short[:4]) - 1 : int(short[:4])] if int(short[:4]) else []
    for found in (titled, named, numbered):
        means = list(dict.fromkeys(found))
        if len(means) > 1:
            names = " or ".join(each.upper() for each in means[:3])
            raise Refused("class", f"{shown(cell)} can mean two classes here; give the short name, {names}")
        if means:
            return means[0]
    raise Refused("class", f"no class is called {shown(cell)}; use a class's title, or its short name such as C1")
