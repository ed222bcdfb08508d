"""The notes at the edge: which fields each kind has, and what of a class a note may speak of.

The shapes are typed dicts read by pydantic, strict and with nothing extra; what one field says about another
(`problem_within`) and about the class (`NoteCheck`) follows below. A note that passes is a plain dict for the engine.
Missing and null are the same for the fields that may be left out.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Annotated, Any, Literal, NotRequired, cast

from pydantic import ConfigDict, Field, TypeAdapter, ValidationError, with_config
from typing_extensions import TypedDict  # pydantic wants this one on Python 3.11

from nearside.engine.merging import KINDS
from nearside.engine.shapes import Note, Standard, Trait
from nearside.engine.standard import is_fault_only, judged_traits
from nearside.show.strict_json import Refused, shown, spelled

Number = Annotated[str, Field(pattern=r"\A[0-9A-Z]{1,6}\z")]
Numbers = list[Number]
STRICT = ConfigDict(strict=True, extra="forbid")


class _EveryNote(TypedDict):
    id: str
    by: str
    at: int
    replaces: list[str]


class _OfCard(_EveryNote):
    card: str


@with_config(STRICT)
class Mark(_OfCard):
    kind: Literal["mark"]
    number: Number
    trait: str
    view: str
    degree: Annotated[int, Field(ge=-3, le=3)] | None


@with_config(STRICT)
class Looked(_OfCard):
    kind: Literal["looked"]
    number: Number
    view: str
    done: bool | None


@with_config(STRICT)
class Remark(_OfCard):
    kind: Literal["remark"]
    number: Number | None
    text: str | None
    tag: Literal["blemish", "possible unsoundness", "unsoundness"] | None
    about: NotRequired[str | None]


@with_config(STRICT)
class Over(_OfCard):
    kind: Literal["over"]
    pair: Annotated[Numbers, Field(min_length=2, max_length=2)]
    winner: Number | None


@with_config(STRICT)
class Ruling(_OfCard):
    kind: Literal["ruling"]
    number: Number
    outcome: Literal["placed", "last", "excused", "disqualified"] | None
    reason: NotRequired[str | None]


@with_config(STRICT)
class Order(_OfCard):
    kind: Literal["order"]
    numbers: Numbers | None


@with_config(STRICT)
class Sign(_OfCard):
    kind: Literal["sign"]
    numbers: Numbers | None
    reason: NotRequired[str | None]


@with_config(STRICT)
class LamenessCall(_EveryNote):
    kind: Literal["lameness"]
    card: NotRequired[str | None]
    observer: NotRequired[Literal["veterinarian", "steward"] | None]
    number: Number
    grade: Annotated[int, Field(ge=0, le=5)] | None
    gait: NotRequired[str | None]
    limb: NotRequired[str | None]
    circumstance: NotRequired[str | None]
    text: NotRequired[str | None]


@with_config(STRICT)
class Presence(_EveryNote):
    kind: Literal["presence"]
    number: Number
    state: Literal["present", "absent"] | None


@with_config(STRICT)
class EntryNote(_EveryNote):
    kind: Literal["entry"]
    number: Number
    identification: NotRequired[str | None]
    now: Number | None
    reason: NotRequired[str | None]


AnyNote = Annotated[
    Mark | Looked | Remark | Over | Ruling | Order | Sign | LamenessCall | Presence | EntryNote,
    Field(discriminator="kind"),
]
_NOTE: TypeAdapter[Any] = TypeAdapter(AnyNote)


def file_fields(value: Any, form: str, shape: TypeAdapter[Any]) -> Any:
    """The fields of a file that says it is of this format, in its shape. Raises: Refused with the first that is not."""
    if not isinstance(value, dict):
        raise Refused("", "must be an object")
    if value.get("format") != form:
        raise Refused("format", f'must be "{form}"')
    try:
        return shape.validate_python(value)
    except ValidationError as error:
        raise refused(error) from None


def checked_note(value: Any, where: str = "") -> Note:
    """The note, its fields those of its kind. Raises: Refused with the field and what to do."""
    if not isinstance(value, dict):
        raise Refused(where, "must be an object")
    try:
        note = _NOTE.validate_python(value)
    except ValidationError as error:
        raise refused(error, where, is_note=True) from None
    problem = problem_within(note)
    if problem is not None:
        raise Refused(joined(where, problem[0]), problem[1])
    return cast("Note", note)


class NoteCheck:
    """What the notes of one class may speak of: its standard's traits and views, as judged for its sexes."""

    def __init__(self, standard: Standard, sexes: Sequence[str]) -> None:
        self._standard = standard
        self._views = frozenset(standard["views"])
        every = (trait for criterion in standard["criteria"] for trait in criterion["traits"])
        self._known: dict[str, Trait] = {trait["key"]: trait for trait in every}
        self._judged = frozenset(trait["key"] for _, trait in judged_traits(standard, sexes))

    def check(self, note: Note, where: str = "") -> None:
        """Raises: Refused where the note speaks of a trait or view that is not judged in the class."""
        kind = note["kind"]
        if kind == "looked" and note["view"] not in self._views:
            self._refuse_view(note, where)
        if kind != "mark":
            return
        if note["view"] not in self._views:
            self._refuse_view(note, where)
        trait = self._known.get(note["trait"])
        if trait is None:
            raise Refused(
                joined(where, "trait"),
                f"{shown(note['trait'])} is not a trait of the standard {shown(self._standard['key'])}",
            )
        if trait["key"] not in self._judged:
            raise Refused(joined(where, "trait"), f"{shown(trait['key'])} is not judged in a class of these sexes")
        if note["view"] not in trait["views"]:
            seen_from = ", ".join(trait["views"])
            raise Refused(joined(where, "view"), f"{shown(trait['key'])} is judged from {seen_from} only")
        if (note["degree"] or 0) > 0 and is_fault_only(trait):
            raise Refused(
                joined(where, "degree"), f"{shown(trait['key'])} can only be a fault: -3 to -1, or null to take it back"
            )

    def _refuse_view(self, note: Note, where: str) -> None:
        raise Refused(
            joined(where, "view"),
            f"{shown(note['view'])} is not a view of the standard {shown(self._standard['key'])}",
        )


def joined(where: str, field: str) -> str:
    """A field at a place: `notes[3]` and `degree` make `notes[3].degree`."""
    return f"{where}.{field}" if where and field else where or field


def refused(error: ValidationError, where: str = "", *, is_note: bool = False) -> Refused:
    """pydantic's first complaint as a refusal in our words, with its place; that of a note begins with its kind."""
    first = error.errors(include_url=False)[0]
    steps = first["loc"][1:] if is_note and first["loc"][:1] and first["loc"][0] in KINDS else first["loc"]
    if first["type"].startswith("union_tag"):
        steps = (*steps, "kind")
    problem = _problem(first["type"], first.get("ctx") or {}, first["msg"])
    return Refused(joined(where, spelled(steps)), problem)


def _problem(kind: str, context: Mapping[str, Any], message: str) -> str:
    if kind in ("literal_error", "union_tag_invalid"):
        expected = str(context.get("expected") or context.get("expected_tags"))
        return f"must be one of {expected.replace(' or ', ', ')}".replace("'", "")
    if kind in ("greater_than_equal", "less_than_equal"):
        return f"is out of range: {message.removeprefix('Input should be ')}"
    if kind in ("too_short", "too_long"):
        return (
            f"has {context['actual_length']} items: {context.get('min_length', context.get('max_length'))} are needed"
        )
    return _PROBLEMS.get(kind, message)


_PROBLEMS = {
    "missing": "is missing",
    "extra_forbidden": "is not a field known here",
    "string_pattern_mismatch": "must be an exhibitor number: 1 to 6 of 0-9 and A-Z",
    "string_type": "must be text",
    "bool_type": "must be true or false",
    "int_type": "must be a whole number",
    "list_type": "must be a list",
    "dict_type": "must be an object",
    "union_tag_not_found": "is missing",
}


def problem_within(note: Mapping[str, Any]) -> tuple[str, str] | None:
    """What one field of a note says about another: the field and the problem, or None."""
    kind = note["kind"]
    if kind == "mark":
        return ("degree", "0 is no degree: use null to take a mark back") if note["degree"] == 0 else None
    if kind == "looked":
        return ("done", "must be true, or null to take the look back") if note["done"] is False else None
    if kind == "over":
        pair, winner = note["pair"], note["winner"]
        if pair[0] == pair[1]:
            return "pair", "needs two different numbers"
        if winner is not None and winner not in pair:
            return "winner", "must be one of the pair, or null"
    elif kind == "ruling":
        if note["outcome"] in ("excused", "disqualified") and not note.get("reason"):
            return "reason", f"is needed for {note['outcome']}"
    elif kind in ("order", "sign"):
        numbers = note["numbers"]
        if numbers is not None and len(set(numbers)) != len(numbers):
            return "numbers", "names a horse twice"
        if kind == "sign" and numbers is None and not note.get("reason"):
            return "reason", "is needed to take a signature back"
    elif kind == "lameness":
        if (note.get("card") is None) == (note.get("observer") is None):
            return "observer", "goes with a call without a card, and only there: veterinarian or steward"
    elif kind == "entry":
        if note["now"] == note["number"]:
            return "now", "must be another number, or null"
        if note["now"] is None and note.get("reason") is not None:
            return "reason", "says why a number was put right: it goes with now alone"
    return None
