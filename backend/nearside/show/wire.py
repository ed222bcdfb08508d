"""Notes as they come over the wire: a list of up to 500, each judged by itself.

A note on the wire is the note of a class file plus its `class`; `by` may be there and is not believed. Nearly every
list is right in every note, so the whole body is read and checked in one pass by pydantic's own JSON reader. Only if
that finds anything is the body read again, note by note and with the strict reader of files, so that one bad note is
refused with its reason and the rest are not held back. What the first pass takes, the second would take with the same
outcome; a test holds them to it.

Refused as a whole: what is not JSON, not UTF-8, has no list `notes`, anything beside it, or more than 500.
"""

from __future__ import annotations

import json
import operator
from functools import reduce
from typing import Annotated, Any, NamedTuple, NotRequired, get_args, get_origin

from pydantic import ConfigDict, Field, TypeAdapter, ValidationError, with_config
from typing_extensions import TypedDict, get_type_hints

from nearside.show import notes as shapes
from nearside.show.refusals import Refusal
from nearside.show.strict_json import INTEGER_AT_MOST, TEXT_AT_MOST, Refused, is_plain_text, read_json

MOST_NOTES = 500


class Unfit(NamedTuple):
    """A note that cannot be kept as sent: its id, where it has one that can be sent back, and why."""

    id: str | None
    reason: str


def read_sent(body: bytes, by: str) -> list[dict[str, Any] | Unfit]:
    """The notes of a push, in order, each written by this seat. Raises: Refusal where the list itself is wrong."""
    try:
        notes: list[dict[str, Any] | Unfit] = _READER.validate_json(body)["notes"]
    except ValidationError:
        return [_read_one(value, by) for value in _listed(body)]
    if len(notes) > MOST_NOTES:
        raise _too_many(len(notes))
    for place, note in enumerate(notes):
        assert isinstance(note, dict)
        note["by"] = by
        if note["kind"] != "mark" or note["degree"] == 0:  # nearly all are marks, of which all else is said already
            notes[place] = _within(note)
    return notes


def _within(note: dict[str, Any]) -> dict[str, Any] | Unfit:
    """The note, what may be left out and is null left out, unless one of its fields is at odds with another."""
    for field in _MAY_BE_LEFT_OUT[note["kind"]]:
        if field in note and note[field] is None:
            del note[field]
    problem = shapes.problem_within(note)
    return note if problem is None else Unfit(note["id"], f"{problem[0]}: {problem[1]}")


def _read_one(value: Any, by: str) -> dict[str, Any] | Unfit:
    note_id = value.get("id") if isinstance(value, dict) else None
    note_id = note_id if isinstance(note_id, str) and is_plain_text(note_id) else None
    try:
        # Written out and read again, so that the reader of files says what is wrong with it.
        read = read_json(json.dumps(value).encode())
        if not isinstance(read, dict):
            return Unfit(None, "a note must be an object")
        if read.get("id") == "":
            return Unfit("", "id: must not be empty")
        read["by"] = by
        class_id = read.pop("class", None)
        if not isinstance(class_id, str):
            return Unfit(note_id, "class: is missing, or is not text")
        note = dict(shapes.checked_note(read))
        note["class"] = class_id
        return _within(note)
    except Refused as refused:
        return Unfit(note_id, str(refused))
    except RecursionError:
        return Unfit(note_id, "is too deeply nested")


def _listed(body: bytes) -> list[Any]:
    """The list of notes, whatever is in it: the bounds of numbers and text are looked at note by note."""
    try:
        value = json.loads(body.decode(), parse_int=_any_integer)
    except UnicodeDecodeError:
        raise Refusal("bad_request", "The request is not UTF-8 text.") from None
    except (ValueError, RecursionError):
        raise Refusal("bad_request", "The request is not JSON, or too deeply nested.") from None
    if not isinstance(value, dict) or not isinstance(value.get("notes"), list) or len(value) != 1:
        raise Refusal("bad_request", 'The request must be {"notes": [...]} and nothing else.', "notes")
    if len(value["notes"]) > MOST_NOTES:
        raise _too_many(len(value["notes"]))
    notes: list[Any] = value["notes"]
    return notes


def _any_integer(digits: str) -> int | float:
    """Python refuses integers of thousands of digits for the whole text; here they are only too large."""
    return int(digits) if len(digits) < 100 else float("inf")


def _too_many(count: int) -> Refusal:
    return Refusal("too_large", f"{count} notes in one request; send at most {MOST_NOTES} at a time.", "notes")


def _on_the_wire(shape: Any) -> Any:
    """A note's shape as sent: with its class, `by` of no matter, and the bounds the reader of files looks at."""
    fields = get_type_hints(shape, include_extras=True)
    at = Annotated[int, Field(ge=-INTEGER_AT_MOST, le=INTEGER_AT_MOST)]
    fields |= {"class": str, "by": NotRequired[str], "id": Annotated[str, Field(min_length=1)], "at": at}
    return _strict(shape.__name__, fields)


def _strict(name: str, fields: dict[str, Any]) -> Any:
    make: Any = TypedDict  # made here from shapes that are written elsewhere, which a type checker cannot follow
    return with_config(ConfigDict(strict=True, extra="forbid", str_max_length=TEXT_AT_MOST))(make(name, fields))


_SHAPES = get_args(get_args(shapes.AnyNote)[0])
_ANY: Any = Annotated[reduce(operator.or_, map(_on_the_wire, _SHAPES)), Field(discriminator="kind")]
_READER: Any = TypeAdapter(_strict("Body", {"notes": list[_ANY]})).validator


def _may_be_left_out(hint: Any) -> bool:
    origin: Any = get_origin(hint)
    return bool(origin is NotRequired)


_MAY_BE_LEFT_OUT: dict[str, tuple[str, ...]] = {
    get_args(hints["kind"])[0]: tuple(field for field, hint in hints.items() if _may_be_left_out(hint))
    for hints in (get_type_hints(shape, include_extras=True) for shape in _SHAPES)
}
