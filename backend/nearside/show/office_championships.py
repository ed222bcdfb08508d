"""The office's plans for championships: which classes and earlier championships send their best, and who judges.

Who is named champion is not decided here. Once somebody is, the championship stays as it was judged.
"""

from __future__ import annotations

from typing import Annotated

from pydantic import Field
from typing_extensions import TypedDict

from nearside.show.asked import needed_text
from nearside.show.office_classes import judged_class, next_position
from nearside.show.records import Asking, Planned, Records, change_to
from nearside.show.refusals import Refusal
from nearside.store.protocol import Change, Record


class ChampionshipAsked(TypedDict):
    """A championship as it shall be; `id` null: a new one."""

    id: str | None
    title: str
    classes: Annotated[list[str], Field(max_length=400)]
    feeds: Annotated[list[str], Field(max_length=100)]
    judge: str


class OneChampionship(TypedDict):
    id: str


def plan_championship(records: Records, _asking: Asking, asked: ChampionshipAsked) -> Planned:
    """A new championship, or one that waits changed."""
    classes, feeds = asked["classes"], asked["feeds"]
    if not classes and not feeds:
        raise Refusal("bad_request", "classes: choose the classes whose firsts come back.", "classes")
    for class_id in classes:
        folded = records.classes.get(class_id, {}).get("folded") or {}
        # A class combined into another one is a division there, whose first comes back.
        judged_class(records, folded["into"] if folded.get("how") == "combined" else class_id, "classes")
    if len(set(classes)) != len(classes) or len(set(feeds)) != len(feeds):
        raise Refusal("bad_request", "classes: name each class and championship once.", "classes")
    if asked["judge"] not in records.judges():
        raise Refusal("bad_request", "judge: choose the judge who names the champion.", "judge")
    if asked["id"] is None:
        key = _new_id(records)
        record: Record = {"id": key, "show": records.id, "position": next_position(records.championships), "named": []}
    else:
        key = asked["id"]
        record = championship_record(records, key)
    after = {**record, "title": needed_text(asked["title"], "title"), "judge": asked["judge"]}
    after |= {"classes": classes, "feeds": feeds}
    if is_named(record) and any(record[field] != after[field] for field in ("judge", "classes", "feeds")):
        raise Refusal("not_now", "Its champion is named; take that back first, or change the title alone.", "id")
    for each in feeds:
        championship_record(records, each, "feeds")
        if key in _fed_by(records, each):
            raise Refusal("bad_request", "feeds: a championship can't feed itself, nor one that feeds it.", "feeds")
    return Planned([change_to("championships", after)] if after != record else [])


def plan_championship_gone(records: Records, _asking: Asking, asked: OneChampionship) -> Planned:
    """A championship taken away that nobody has named a champion of."""
    record = championship_record(records, asked["id"])
    if record["named"]:
        raise Refusal("not_now", "A champion was named here; what was named stays on record.", "id")
    for each in records.championships.values():
        if asked["id"] in each["feeds"]:
            raise Refusal("not_now", f"“{each['title']}” takes its champion; take it out there first.", "id")
    return Planned([Change("championships", f"{records.id}/{asked['id']}", None)])


def championship_record(records: Records, key: str, where: str = "id") -> Record:
    """A championship of the show. Raises: Refusal."""
    record = records.championships.get(key)
    if record is None:
        raise unknown_championship(where)
    return record


def unknown_championship(where: str) -> Refusal:
    """There is no such championship in the show."""
    sentence = "This show has no such championship; open the list of championships again."
    return Refusal("unknown_championship", sentence, where)


def is_named(record: Record) -> bool:
    """Whether a champion stands."""
    return bool(record["named"]) and record["named"][-1]["champion"] is not None


def _fed_by(records: Records, key: str) -> set[str]:
    """A championship and all that feed it."""
    found: set[str] = set()
    waiting = [key]
    while waiting:
        each = waiting.pop()
        if each not in found:
            found.add(each)
            record = records.championships.get(each)
            waiting += record["feeds"] if record is not None else []
    return found


def _new_id(records: Records) -> str:
    serial = 1
    while f"ch{serial}" in records.championships:
        serial += 1
    return f"ch{serial}"
