"""A class file read and checked: `nearside-class/1`, what `nearside place` reads, export writes and import takes.

Refused, with the place, is whatever can't be relied on; what a judge noted of a number never entered is not refused.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, Literal, NotRequired, cast

from pydantic import Field, TypeAdapter, ValidationError, with_config
from typing_extensions import TypedDict

from nearside.engine.shapes import Age, ClassFile, Note, Sex, Standard
from nearside.engine.standard import StandardRefused, checked_standard
from nearside.show.notes import STRICT, NoteCheck, Number, checked_note, file_fields, joined, refused
from nearside.show.standards import shipped_standard
from nearside.show.strict_json import Refused, read_json, shown

FORMAT = "nearside-class/1"
BYTES_AT_MOST = 32 * 1024 * 1024  # far beyond any class: sixty horses fully noted come to 2 MiB


@with_config(STRICT)
class LamenessRule(TypedDict):
    from_grade: Annotated[int, Field(ge=1, le=5)]
    outcome: Literal["last", "not_placed", "ignored"]


@with_config(STRICT)
class ClassFields(TypedDict):
    id: str
    title: str
    standard: Any
    sexes: Annotated[list[Sex], Field(min_length=1)]
    ages: Annotated[list[Age], Field(min_length=1)]
    places: Annotated[int, Field(ge=1, le=20)]
    lameness: NotRequired[LamenessRule | None]


@with_config(STRICT)
class EntryFields(TypedDict):
    number: Number
    identification: NotRequired[str | None]


FileFields = TypedDict(
    "FileFields",
    {"format": str, "class": ClassFields, "entries": list[EntryFields], "card": str, "notes": list[Any]},
)
_FILE: TypeAdapter[Any] = TypeAdapter(with_config(STRICT)(FileFields))
_CLASS: TypeAdapter[Any] = TypeAdapter(ClassFields)


def read_class_file(data: bytes) -> tuple[ClassFile, Standard]:
    """The class file and its whole standard, both checked.

    Raises: Refused with the place of the first thing that is wrong.
    """
    if len(data) > BYTES_AT_MOST:
        raise Refused("", f"is larger than {BYTES_AT_MOST // 1024 // 1024} MiB: this is no class file")
    return checked_class_file(read_json(data))


def checked_class_file(value: Any) -> tuple[ClassFile, Standard]:
    """`read_class_file` for plain values already read."""
    fields = file_fields(value, FORMAT, _FILE)
    standard = standard_of(fields["class"]["standard"], "class.standard")
    _refuse_doubled_entries(fields["entries"])
    fields["notes"] = _checked_notes(fields["notes"], NoteCheck(standard, fields["class"]["sexes"]))
    return cast("ClassFile", fields), standard


def checked_class(value: Any, where: str = "class") -> tuple[dict[str, Any], Standard]:
    """The class object of a class file by itself, and its whole standard. Raises: Refused."""
    try:
        fields: dict[str, Any] = _CLASS.validate_python(value)
    except ValidationError as error:
        raise refused(error, where) from None
    return fields, standard_of(fields["standard"], joined(where, "standard"))


def standard_of(value: Any, where: str) -> Standard:
    """The standard a class names: the key of a shipped one, or a whole standard. Raises: Refused."""
    try:
        if isinstance(value, str):
            return shipped_standard(value)
        if isinstance(value, dict):
            return checked_standard(value)
    except StandardRefused as error:
        raise Refused(joined(where, error.where), error.problem) from None
    except Refused as error:
        raise Refused(where, error.problem) from None
    raise Refused(where, "must be the key of a standard, or a whole standard")


def same_content(note: Mapping[str, Any], other: Mapping[str, Any]) -> bool:
    """Whether two notes say the same, a missing field being null."""
    return all(note.get(field) == other.get(field) for field in {*note, *other})


def _checked_notes(values: list[Any], against: NoteCheck) -> list[Note]:
    notes: dict[str, Note] = {}
    for place, value in enumerate(values):
        where = f"notes[{place}]"
        note = checked_note(value, where)
        against.check(note, where)
        known = notes.setdefault(note["id"], note)
        if known is not note and not same_content(known, note):
            raise Refused(joined(where, "id"), f"{shown(note['id'])} is the id of another note with other content")
    return list(notes.values())


def _refuse_doubled_entries(entries: list[Any]) -> None:
    seen: set[str] = set()
    for place, entry in enumerate(entries):
        if entry["number"] in seen:
            raise Refused(f"entries[{place}].number", f"{shown(entry['number'])} is entered twice")
        seen.add(entry["number"])
