"""The office on the worse disk: a change of records and the notes that belong to it are there both, or neither."""

from __future__ import annotations

import contextlib
import errno
import random
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from nearside.show.chain import Chain
from nearside.show.classfile import checked_class_file
from nearside.show.office import office_for
from nearside.show.office_commands import planned
from nearside.show.opening import opening_changes, seats_asked
from nearside.show.records import Planned, Records
from nearside.show.showground import Showground
from nearside.store.catalogue import TinyCatalogue
from nearside.store.notes import TinyNoteStore
from nearside.store.protocol import StoreError
from tests.crash.disk import Died, Fault, VolatileDisk
from tests.show.desk import ASKING
from tests.show.ground import SEATS, SHOW, class_file, note

CATALOGUE, NOTES = Path("/data/catalogue.db"), Path("/data/s1.notes")
ENTERED = {**note("entry", number="44", identification="grey", id="e1"), "by": "steward"}
COMMANDS: dict[str, dict[str, Any]] = {
    "entry-gone": {"class": "c1", "number": "44", "reason": None},
    "move": {"class": "c1", "numbers": ["44", "12"], "to": "c3"},
    "combine": {"classes": ["c1", "c3"], "title": "Both"},
}


def new_show() -> VolatileDisk:
    """A disk with the small show, a third class and a horse entered at the gate."""
    disk = VolatileDisk()
    empty = class_file("c3", entries=[])
    files = [checked_class_file(each) for each in (class_file(), class_file("c2"), empty)]
    catalogue = TinyCatalogue(CATALOGUE, disk)
    catalogue.change(opening_changes(catalogue, SHOW, "Test show", files, seats_asked(SEATS, SHOW), 1)[0])
    catalogue.close()
    ground = opened(disk)
    ground.shows[SHOW].store.append([ENTERED])
    return disk.killed()


def opened(disk: VolatileDisk) -> Showground:
    catalogue = TinyCatalogue(CATALOGUE, disk)
    return Showground(catalogue, lambda _show: TinyNoteStore(NOTES, disk, complete=Chain(SHOW).complete))


def content(ground: Showground) -> tuple[dict[str, Any], list[str]]:
    """What the office sees, and the notes of the log."""
    records = ground.records(ground.shows[SHOW])
    state = {**office_for(records, [], [], str), "seats": len(records.seats)}
    return state, [each["id"] for each in ground.shows[SHOW].store.since(0, 100).notes]


def copied(disk: VolatileDisk) -> VolatileDisk:
    return disk.after_power_loss(None, keeps_all=True)


def made(command: str) -> tuple[VolatileDisk, Planned, list[Any], list[str]]:
    """The disk before a command, its plan, what the office sees before and after, and the steps on the disk."""
    before = new_show()
    healthy = copied(before)
    ground = opened(healthy)
    plan = planned(command, COMMANDS[command], ASKING)(ground.records(ground.shows[SHOW]))
    contents = [content(ground)]
    opening = len(healthy.steps)
    ground._make(ground.shows[SHOW], given(plan))
    contents.append(content(ground))
    return before, plan, contents, ["opening"] * opening + healthy.steps[opening:]


def given(plan: Planned) -> Callable[[Records], Planned]:
    return lambda _records: plan


@pytest.mark.parametrize("command", COMMANDS)
def test_whenever_the_machine_dies_a_command_was_done_whole_or_not_at_all(command: str) -> None:
    before, plan, contents, steps = made(command)
    assert contents[0] != contents[1]
    for step, kind in enumerate(steps):
        if kind == "opening":
            continue
        for number, fault in enumerate(
            [Fault(), Fault(is_after=True), *([Fault(takes=0.5)] if kind == "write" else [])]
        ):
            for end in range(4):
                disk = copied(before)
                disk.faults = {step: fault}
                with contextlib.suppress(Died):
                    ground = opened(disk)
                    ground._make(ground.shows[SHOW], given(plan))
                survivor = disk.ended(end, random.Random(f"{step}/{number}/{end}"))
                found = content(opened(survivor))
                assert found in contents, (
                    f"{command}: half done after dying at step {step} ({kind}, {fault}), end {end}"
                )
                assert content(opened(survivor.killed())) == found


@pytest.mark.parametrize("command", COMMANDS)
def test_where_the_disk_is_full_the_caller_is_told_and_the_next_change_finds_it_whole(command: str) -> None:
    before, plan, contents, steps = made(command)
    for step, kind in enumerate(steps):
        if kind != "write":
            continue
        disk = copied(before)
        ground = opened(disk)
        disk.faults = {step: Fault(takes=0.5, error=errno.ENOSPC)}
        with pytest.raises(StoreError):
            ground._make(ground.shows[SHOW], given(plan))
        disk.faults = {}
        ground._make(ground.shows[SHOW], given(Planned([])))
        assert content(ground) in contents, f"{command}: half done after a full disk at step {step}"
        assert content(opened(disk.killed())) == content(ground)
