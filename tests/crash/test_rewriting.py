"""Die, or meet a full disk, at each step of a journal written anew: all notes are the old ones, or all the new."""

from __future__ import annotations

import errno
import random
from pathlib import Path

import pytest

from nearside.store import rewriting
from nearside.store.disk import Disk, write_file
from nearside.store.notes import TinyNoteStore
from nearside.store.protocol import Note, StoreError
from nearside.store.rewriting import rewrite
from tests.crash.checks import GROUPS, PATH, joined
from tests.crash.disk import Died, Fault, VolatileDisk


def bare(note: Note) -> Note:
    return {**note, "text": "-"}


OLD = joined(GROUPS)
NEW = [bare(note) for note in OLD]


def filled(faults: dict[int, Fault] | None = None) -> VolatileDisk:
    """A disk with a whole journal on its medium, and faults from the next step on."""
    disk = VolatileDisk()
    store = TinyNoteStore(PATH, disk)
    for group in GROUPS:
        store.append(group)
    store.close()
    content = disk.content(PATH)
    disk = VolatileDisk(faults)
    disk.put(PATH, content)
    return disk


def found(disk: Disk) -> list[Note]:
    store = TinyNoteStore(PATH, disk)
    notes = store.since(0, 1000).notes
    store.close()
    return notes


def check_every_death() -> None:
    healthy = filled()
    rewrite(PATH, bare, healthy)
    assert {"make", "write", "sync", "rename", "sync_dir"} <= set(healthy.steps)
    for step, kind in enumerate(healthy.steps):
        faults = [Fault(), Fault(is_after=True)]
        if kind == "write":
            faults += [Fault(takes=part) for part in (0.01, 0.5, 0.999)]
        for number, fault in enumerate(faults):
            for end in range(8):
                disk = filled({step: fault})
                with pytest.raises(Died):
                    rewrite(PATH, bare, disk)
                where = f"died at step {step} ({kind}, {fault}), end {end}"
                survivor = disk.ended(end, random.Random(f"{step}/{number}/{end}"))
                try:
                    notes = found(survivor)
                except StoreError as error:
                    raise AssertionError(f"does not open again ({error}): {where}") from error
                assert notes in (OLD, NEW), f"neither the old notes nor the new: {where}"
                rewrite(PATH, bare, survivor)
                assert found(survivor.after_power_loss(None)) == NEW, f"not done by doing it again: {where}"


def test_a_death_at_any_step_leaves_the_old_notes_or_the_new(monkeypatch: pytest.MonkeyPatch) -> None:
    check_every_death()

    def in_place(disk: Disk, path: Path, content: bytes) -> None:
        whole(disk, path, content)
        whole(disk, PATH, content)

    whole = write_file
    with monkeypatch.context() as broken:  # a journal written over where it stands is caught
        broken.setattr(rewriting, "write_file", in_place)
        with pytest.raises(AssertionError, match=r"does not open again|neither the old"):
            check_every_death()


def test_what_was_said_to_be_done_outlives_a_loss_of_power() -> None:
    disk = filled()
    assert rewrite(PATH, bare, disk) == len(OLD)
    assert found(disk.after_power_loss(None)) == NEW


def test_a_disk_that_refuses_at_any_step_leaves_the_old_notes_or_says_that_it_cannot_promise() -> None:
    healthy = filled()
    rewrite(PATH, bare, healthy)
    for step, kind in enumerate(healthy.steps):
        disk = filled({step: Fault(error=errno.ENOSPC)})
        with pytest.raises(StoreError):
            rewrite(PATH, bare, disk)
        notes = found(disk.killed())
        assert notes == OLD or (kind == "sync_dir" and notes == NEW), f"step {step} ({kind})"
