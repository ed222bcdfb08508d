"""A whole show as one file: `nearside-show/1`, canonical JSON, out of one data folder and into another.

It holds the show, its seats without their codes, classes, entries, championships, and every note in the order of the
log with the server's own fields, so that each class's chain verifies wherever the file is taken in. Seats get new codes
there; devices join anew. What goes out again is the same byte for byte.

The office's copy is the same for whoever sits at the show table: what that seat may read is in it, and of each note it
may not, a judge's marks before all, only the digest, so that the chain can still be checked. Of a class that its judges
have not all signed (`open_classes`) there is not even that, for it would tell how much is on a card, nor which
judges agreed to slips and study, which is done on a signed card. It can't be taken in.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Annotated, Any, Literal, NotRequired, cast

from pydantic import Field, TypeAdapter, ValidationError, with_config
from typing_extensions import TypedDict

from nearside.engine.panel import Method
from nearside.engine.shapes import Sex
from nearside.show.chain import digest_of
from nearside.show.classfile import checked_class, standard_of
from nearside.show.codes import new_code
from nearside.show.log import LATE
from nearside.show.notes import STRICT, Number, checked_note, file_fields, joined, refused
from nearside.show.opening import CLASS_ID, new_secret, refuse_two_of_a_key
from nearside.show.records import change_to, key_of, refuse_half_changed
from nearside.show.refusals import CannotOpen
from nearside.show.seats import Facts, Role, Seat, may_read
from nearside.show.strict_json import Refused, read_json, shown
from nearside.store.protocol import Change, Note, Record, as_sent

FORMAT = "nearside-show/1"
BYTES_AT_MOST = 512 * 1024 * 1024  # a million notes come to some 300 MiB
TABLES = ("seats", "classes", "entries", "championships")
_AGREED = ("study_judges", "slips")  # a judge agrees once the own card is signed, so they tell who has

_SHOW_ID = re.compile("[A-Za-z0-9_-][A-Za-z0-9._-]{0,99}")  # it is part of a file's name
_Hash = Annotated[str, Field(pattern=r"\A[0-9a-f]{64}\z")]
_Id = Annotated[str, Field(min_length=1)]


@with_config(STRICT)
class _Show(TypedDict):
    id: str
    title: _Id
    opened_at: int


@with_config(STRICT)
class _GoneAt(TypedDict):
    at: int


@with_config(STRICT)
class _Seat(TypedDict):
    id: _Id
    role: Role
    name: str
    card: str | None
    shadows: str | None
    position: int
    gone: NotRequired[_GoneAt]


@with_config(STRICT)
class _Division(TypedDict):
    id: str
    title: str


@with_config(STRICT)
class _Folded(TypedDict):
    into: str
    how: Literal["merged", "combined"]


@with_config(STRICT)
class _Strike(TypedDict):
    number: str
    reason: str
    at: int
    by: str


@with_config(STRICT)
class _Former(TypedDict):
    """What a class was judged by before it was changed."""

    standard: Any
    sexes: Annotated[list[Sex], Field(min_length=1)]


_Class = TypedDict(
    "_Class",
    {
        "class": Any,
        "position": int,
        "judges": NotRequired[list[str] | None],
        "method": NotRequired[Method | None],
        "call_judges": NotRequired[list[str]],
        "study_office": NotRequired[bool],
        "study_judges": NotRequired[list[str]],
        "slips": NotRequired[list[str]],
        "stage": NotRequired[Literal["gate", "ring", "announced"] | None],
        "announced_at": NotRequired[int | None],
        "announced_as": NotRequired[str | None],
        "divisions": NotRequired[list[_Division]],
        "folded": NotRequired[_Folded | None],
        "former": NotRequired[list[_Former]],
        "strikes": NotRequired[list[_Strike]],
        "gone": NotRequired[_GoneAt],
    },
)


@with_config(STRICT)
class _GoneEntry(TypedDict):
    why: str
    to: NotRequired[str]
    at: int


_Entry = TypedDict(
    "_Entry",
    {
        "class": str,
        "position": int,
        "number": Number,
        "identification": NotRequired[str | None],
        "horse": NotRequired[str | None],
        "exhibitor": NotRequired[str | None],
        "division": NotRequired[str | None],
        "gone": NotRequired[_GoneEntry | None],
    },
)

_Horse = TypedDict("_Horse", {"class": str, "number": str})


@with_config(STRICT)
class _Named(TypedDict):
    champion: _Horse | None
    reserve: _Horse | None
    reason: str | None
    warned: list[str]
    at: int
    by: str


@with_config(STRICT)
class _Championship(TypedDict):
    id: _Id
    position: int
    title: str
    classes: list[str]
    feeds: list[str]
    judge: str
    named: list[_Named]


@with_config(STRICT)
class ShowFile(TypedDict):
    """A show file as read: records as the catalogue keeps them, but for the show's id and the codes."""

    format: str
    show: _Show
    seats: list[_Seat]
    classes: list[_Class]
    entries: list[_Entry]
    championships: list[_Championship]
    notes: list[dict[str, Any]]
    open_classes: NotRequired[list[str]]


@with_config(STRICT)
class _ServersOwn(TypedDict):
    _late: NotRequired[str]
    _head: NotRequired[_Hash]
    _digest: NotRequired[_Hash]
    _salt: NotRequired[Annotated[str, Field(pattern=r"\A[0-9a-f]{32}\z")]]
    _removed: NotRequired[dict[str, _Hash]]


_Sealed = TypedDict("_Sealed", {"class": str, "sealed": _Hash})

for _shape in (_Class, _Entry, _Horse, _Sealed):  # made without a body to decorate, for "class" is no name in Python
    with_config(STRICT)(_shape)

_FILE: TypeAdapter[Any] = TypeAdapter(ShowFile)
_SERVERS_OWN: TypeAdapter[Any] = TypeAdapter(_ServersOwn)
_SEALED: TypeAdapter[Any] = TypeAdapter(_Sealed)


def show_file(records: Mapping[str, Iterable[Record]], show: Record, notes: Sequence[Note]) -> dict[str, Any]:
    """A whole show as its file holds it. `records`: every table, of this show and others; notes as in the log.

    Raises: Refusal while notes that belong to a change of the show are not in its log.
    """
    refuse_half_changed(show)
    return {
        "format": FORMAT,
        "show": {field: value for field, value in show.items() if field != "secret"},
        **{table: _sorted(table, (each for each in records[table] if each["show"] == show["id"])) for table in TABLES},
        "notes": list(notes),
    }


def office_copy(whole: dict[str, Any], seat: Seat, facts: Facts) -> dict[str, Any]:
    """A show file as the office may have it."""
    classes = {*(each["class"]["id"] for each in whole["classes"]), *(each["class"] for each in whole["notes"])}
    still_open = {class_id for class_id in classes if not facts.signatures(class_id).is_released}
    notes = []
    for note in whole["notes"]:
        if LATE not in note and may_read(seat, note, facts):
            notes.append(note)
        elif note["class"] not in still_open:
            notes.append({"class": note["class"], "sealed": digest_of(note)})
    told = [
        {field: value for field, value in each.items() if field not in _AGREED or each["class"]["id"] not in still_open}
        for each in whole["classes"]
    ]
    return {**whole, "classes": told, "open_classes": sorted(still_open), "notes": notes}


def read_show_file(data: bytes, *, is_copy: bool = False) -> ShowFile:
    """A show file, checked in full; the office's copy may hold sealed notes. Raises: Refused with the place."""
    if len(data) > BYTES_AT_MOST:
        raise Refused("", f"is larger than {BYTES_AT_MOST // 1024 // 1024} MiB: this is no show's file")
    file: ShowFile = file_fields(read_json(data), FORMAT, _FILE)
    if "open_classes" in file and not is_copy:
        raise Refused(
            "open_classes",
            "are in the office's copy alone. Take in the whole file, made by nearside show-out on the server",
        )
    _check_records(file)
    _check_notes(file)
    return file


def taking_in(file: ShowFile, taken_codes: Iterable[str]) -> list[Change]:
    """The records of a show that is taken in, as one change of the catalogue: with a secret and codes of its own."""
    show_id = file["show"]["id"]
    taken = set(taken_codes)
    changes = [Change("shows", show_id, {**file["show"], "secret": new_secret()})]
    for table in TABLES:
        for each in file[table]:  # type: ignore[literal-required]  # the tables are its fields
            record = {**each, "show": show_id}
            if table == "seats":
                while (code := new_code()) in taken:
                    pass
                taken.add(code)
                record["code"] = code
            changes.append(change_to(table, record))
    return changes


def _sorted(table: str, records: Iterable[Record]) -> list[Record]:
    """The records of a table as a file holds them, in order of key."""
    own = [{field: value for field, value in each.items() if field not in ("show", "code")} for each in records]
    return sorted(own, key=lambda each: key_of(table, each))


def _check_records(file: ShowFile) -> None:
    if not _SHOW_ID.fullmatch(file["show"]["id"]):
        raise Refused("show.id", "must be 1 to 100 of a-z, A-Z, 0-9, dot, dash and underscore, no dot first")
    standards = []
    for place, record in enumerate(file["classes"]):
        where = f"classes[{place}].class"
        fields, standard = checked_class(record["class"], where)
        if not CLASS_ID.fullmatch(fields["id"]):
            raise Refused(f"{where}.id", "must be 1 to 40 of a-z, A-Z, 0-9, dot, dash and underscore")
        standards.append(standard)
        for before, each in enumerate(record.get("former", ())):
            standard_of(each["standard"], f"classes[{place}].former[{before}].standard")
    try:
        refuse_two_of_a_key(standards)
    except CannotOpen as refusal:
        raise Refused("classes", str(refusal)) from None
    for table in TABLES:
        keys: set[str] = set()
        for place, each in enumerate(file[table]):  # type: ignore[literal-required]
            key = key_of(table, each)
            if key in keys:
                raise Refused(f"{table}[{place}]", f"{shown(key)} is there twice")
            keys.add(key)
    _check_names(file)


def _check_names(file: ShowFile) -> None:
    """Refuse a record that names a seat, class or championship which the file does not hold."""
    seats = {each["id"] for each in file["seats"]}
    classes = {each["class"]["id"] for each in file["classes"]}
    championships = {each["id"] for each in file["championships"]}

    def check(where: str, names: Iterable[str | None], known: set[str]) -> None:
        for name in names:
            if name is not None and name not in known:
                raise Refused(where, f"{shown(name)} is not in the file")

    for place, seat in enumerate(file["seats"]):
        check(f"seats[{place}]", (seat["card"], seat["shadows"]), seats)
    for place, record in enumerate(file["classes"]):
        for field in ("judges", "call_judges", "study_judges", "slips"):
            check(f"classes[{place}].{field}", cast("list[str] | None", record.get(field)) or (), seats)
        folded = record.get("folded")
        check(f"classes[{place}].folded", [folded["into"]] if folded else (), classes)
    for place, entry in enumerate(file["entries"]):
        check(f"entries[{place}].class", [entry["class"]], classes)
    for place, championship in enumerate(file["championships"]):
        where = f"championships[{place}]"
        check(f"{where}.judge", [championship["judge"]], seats)
        check(f"{where}.classes", championship["classes"], classes)
        check(f"{where}.feeds", championship["feeds"], championships)


def _check_notes(file: ShowFile) -> None:
    # A class whose adding was broken off has notes and no record.
    ids: set[str] = set()
    for place, note in enumerate(file["notes"]):
        where = f"notes[{place}]"
        if "sealed" in note and "open_classes" in file:
            _validated(_SEALED, note, where)
            continue
        sent = as_sent(note)
        class_id = sent.pop("class", None)
        if not isinstance(class_id, str) or not class_id:
            raise Refused(joined(where, "class"), "is missing, or is not text")
        note_id = checked_note(sent, where)["id"]
        if not note_id or note_id in ids:
            raise Refused(joined(where, "id"), "must be text that no other note has")
        ids.add(note_id)
        _validated(
            _SERVERS_OWN, {field: value for field, value in note.items() if field not in {"class", *sent}}, where
        )


def _validated(shape: TypeAdapter[Any], value: Any, where: str) -> None:
    try:
        shape.validate_python(value)
    except ValidationError as error:
        raise refused(error, where) from None
