"""Every command of the office, by its name: the shape of what is asked, and the plan that makes changes of it."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any, NamedTuple

from pydantic import TypeAdapter, with_config
from typing_extensions import TypedDict

from nearside.show.asked import checked_body, needed_text
from nearside.show.notes import STRICT
from nearside.show.office_championships import (
    ChampionshipAsked,
    OneChampionship,
    plan_championship,
    plan_championship_gone,
)
from nearside.show.office_classes import (
    ClassAsked,
    ClassesInOrder,
    OneClass,
    StageAsked,
    plan_class,
    plan_class_gone,
    plan_order,
    plan_stage,
)
from nearside.show.office_dividing import CombineAsked, MergeAsked, SplitAsked, plan_combine, plan_merge, plan_split
from nearside.show.office_entries import (
    EntryAsked,
    MoveAsked,
    OneEntry,
    plan_entry,
    plan_entry_gone,
    plan_move,
    plan_strike,
)
from nearside.show.office_lists import ListAsked, plan_list, read_list
from nearside.show.office_seats import OneSeat, SeatAsked, plan_seat, plan_seat_code, plan_seat_gone
from nearside.show.records import Asking, Planned, Records
from nearside.show.refusals import Refusal
from nearside.store.protocol import Change


class ShowAsked(TypedDict):
    title: str


def plan_show(records: Records, _asking: Asking, asked: ShowAsked) -> Planned:
    """The show under another title."""
    return Planned([Change("shows", records.id, {**records.show, "title": needed_text(asked["title"], "title")})])


class Command(NamedTuple):
    """What a command asks for, and what comes of it."""

    shape: TypeAdapter[Any]
    plan: Callable[[Records, Asking, Any], Planned]


COMMANDS: dict[str, Command] = {
    name: Command(TypeAdapter(with_config(STRICT)(shape)), plan)
    for name, shape, plan in (
        ("show", ShowAsked, plan_show),
        ("class", ClassAsked, plan_class),
        ("class-gone", OneClass, plan_class_gone),
        ("classes-order", ClassesInOrder, plan_order),
        ("stage", StageAsked, plan_stage),
        ("entry", EntryAsked, plan_entry),
        ("entries-take", ListAsked, plan_list),
        ("entry-gone", OneEntry, plan_entry_gone),
        ("move", MoveAsked, plan_move),
        ("strike", OneEntry, plan_strike),
        ("split", SplitAsked, plan_split),
        ("merge", MergeAsked, plan_merge),
        ("combine", CombineAsked, plan_combine),
        ("seat", SeatAsked, plan_seat),
        ("seat-code", OneSeat, plan_seat_code),
        ("seat-gone", OneSeat, plan_seat_gone),
        ("championship", ChampionshipAsked, plan_championship),
        ("championship-gone", OneChampionship, plan_championship_gone),
    )
}


def list_read(records: Records, value: Any) -> dict[str, Any]:
    """The preview of a list of entries, which changes nothing. Raises: Refusal."""
    return read_list(records, checked_body(COMMANDS["entries-take"].shape, value))


def planned(name: str, value: Any, asking: Asking) -> Callable[[Records], Planned]:
    """The plan of a command, to be made from the records. Raises: Refusal for one that is none, or has a wrong body."""
    command = COMMANDS.get(name)
    if command is None:
        raise Refusal("unknown_command", "The office has no such command.")
    body = checked_body(command.shape, value)
    return partial(_plan, command, asking, body)


def _plan(command: Command, asking: Asking, body: Any, records: Records) -> Planned:
    return command.plan(records, asking, body)
