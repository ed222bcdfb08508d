"""Records of a small show made by hand, for what is worked out from records and notes alone."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from nearside.show.records import Records
from nearside.show.seats import Seat

ROLES = {
    "office": "office",
    "steward": "steward",
    "announcer": "announcer",
    "judge-a": "judge",
    "scribe-a": "scribe",
    "judge-b": "judge",
    "judge-c": "judge",
    "trainee-a": "trainee",
}


def seat(seat_id: str) -> Seat:
    """A seat of the show by its id."""
    record = _seat(seat_id)
    return Seat(seat_id, "s1", record["role"], record["name"], record["card"])


def of_class(class_id: str = "c1", **fields: Any) -> dict[str, Any]:
    """A class record; `judges`, `method`, `strikes`, `divisions` and so on as given."""
    own = {"id": class_id, "title": f"Mares {class_id}", "standard": "stock-type", "sexes": ["mare"], "ages": ["aged"]}
    more = {key: fields.pop(key) for key in ("places", "title", "lameness", "standard") if key in fields}
    return {"show": "s1", "position": 0, "class": {"places": 6, **own, **more}, "judges": ["judge-a"], **fields}


def entry(number: str, class_id: str = "c1", **fields: Any) -> dict[str, Any]:
    """An entry with names made from its number."""
    own = {"show": "s1", "class": class_id, "position": 0, "number": number, "identification": f"bay {number}"}
    return {**own, "horse": f"Horse {number}", "exhibitor": f"Exhibitor {number}", **fields}


def records(
    classes: Iterable[Mapping[str, Any]],
    entries: Iterable[Mapping[str, Any]],
    notes: Sequence[Mapping[str, Any]],
    championships: Iterable[Mapping[str, Any]] = (),
) -> Records:
    """The records of such a show; each note names its class."""
    by_class: dict[str, dict[str, Any]] = {}
    for each in entries:
        by_class.setdefault(each["class"], {})[each["number"]] = dict(each)
    read: dict[str, list[dict[str, Any]]] = {}  # once, as a running show's are
    for note in notes:
        read.setdefault(note["class"], []).append(dict(note))
    return Records(
        show={"id": "s1", "title": "Test show"},
        seats={each: _seat(each) for each in ROLES},
        classes={each["class"]["id"]: dict(each) for each in classes},
        entries=by_class,
        championships={each["id"]: dict(each) for each in championships},
        devices={},
        codes=frozenset(),
        notes=lambda class_id: read.get(class_id, []),
    )


def _seat(seat_id: str) -> dict[str, Any]:
    role = ROLES[seat_id]
    card = seat_id if role in ("judge", "trainee") else "judge-a" if role == "scribe" else None
    return {"id": seat_id, "role": role, "name": f"{role.title()} Person {seat_id}", "card": card, "shadows": None}
