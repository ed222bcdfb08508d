"""The crash checks of the catalogue, as functions of how one is opened: a change is made whole or not at all."""

import contextlib
import errno
import random
from collections.abc import Callable
from pathlib import Path

from nearside.store.catalogue import TABLES, TinyCatalogue
from nearside.store.disk import Disk
from nearside.store.protocol import Change, Record, StoreDamaged, StoreError, StoreFailed, StoreFull
from tests.crash.disk import Died, Fault, VolatileDisk

PATH = Path("/data/catalogue.json")
Opener = Callable[[Disk], TinyCatalogue]
Content = dict[str, list[Record]]

CHANGES = [
    [Change("shows", "s1", {"id": "s1"}), Change("classes", "c1", {"id": "c1", "title": "Mares"})],
    [Change("seats", str(number), {"id": str(number), "name": "x" * 90}) for number in range(30)],
    [Change("classes", "c1", {"id": "c1", "title": "Geldings"}), Change("seats", "7", None)],
    [Change("shows", "s1", None)],
]


def content(catalogue: TinyCatalogue) -> Content:
    return {table: catalogue.all(table) for table in TABLES}


def contents() -> list[Content]:
    """What the catalogue holds after none, one, two... of the changes."""
    catalogue = TinyCatalogue(PATH, VolatileDisk())
    found = [content(catalogue)]
    for changes in CHANGES:
        catalogue.change(changes)
        found.append(content(catalogue))
    return found


def check_every_death(open_catalogue: Opener) -> None:
    """Die before, within and after each step, then kill or loss of power: the old content or the new, no third."""
    expected = contents()
    healthy = VolatileDisk()
    _live(open_catalogue, healthy, [])
    for step, kind in enumerate(healthy.steps):
        parts = (0.0, 0.5, 0.99) if kind == "write" else ()
        for number, fault in enumerate([Fault(), Fault(is_after=True), *(Fault(takes=part) for part in parts)]):
            for end in range(8):
                disk = VolatileDisk({step: fault})
                made: list[int] = []
                with contextlib.suppress(Died):
                    _live(open_catalogue, disk, made)
                where = f"died at step {step} ({kind}, {fault}), end {end}"
                chance = random.Random(f"{step}/{number}/{end}")
                survivor = disk.ended(end, chance)
                _check_survivor(open_catalogue, survivor, expected, len(made), where)


def _live(open_catalogue: Opener, disk: VolatileDisk, made: list[int]) -> None:
    catalogue = open_catalogue(disk)
    for number, changes in enumerate(CHANGES):
        if number == 2:
            catalogue.close()
            catalogue = open_catalogue(disk)
        catalogue.change(changes)
        made.append(number)


def _check_survivor(open_catalogue: Opener, disk: VolatileDisk, expected: list[Content], made: int, where: str) -> None:
    catalogue = _opened(open_catalogue, disk, where)
    found = content(catalogue)
    assert found != expected[max(0, made - 1)] or made == 0, f"a change that was made is missing: {where}"
    assert found in expected[made : made + 2], f"neither the old content nor the new: {where}"
    again = _opened(open_catalogue, disk.after_power_loss(None), where)
    assert content(again) == found, f"records were shown that were not on the medium: {where}"
    catalogue.change([Change("devices", "d", {"id": "d"})])
    after = content(_opened(open_catalogue, disk.after_power_loss(None), where))
    assert after == {**found, "devices": [{"id": "d"}]}, f"the next change is missing: {where}"


def _opened(open_catalogue: Opener, disk: VolatileDisk, where: str) -> TinyCatalogue:
    try:
        return open_catalogue(disk)
    except StoreError as error:
        raise AssertionError(f"does not open again ({error}): {where}") from error


def check_failing_disk(open_catalogue: Opener) -> None:
    """Full disk or failed sync at any step of a change: refused, content as before, and never a mixture."""
    expected = contents()
    healthy = VolatileDisk()
    catalogue = open_catalogue(healthy)
    catalogue.change(CHANGES[0])
    first = len(healthy.steps)
    catalogue.change(CHANGES[1])
    for step in range(first, len(healthy.steps)):
        kind = healthy.steps[step]
        for number in (errno.ENOSPC, errno.EIO):
            for part in (None, 0.0, 0.6):
                where = f"{errno.errorcode[number]} at {kind} after {part}"
                disk = VolatileDisk()
                catalogue = open_catalogue(disk)
                catalogue.change(CHANGES[0])
                disk.faults[step] = Fault(takes=part, error=number)
                refused: StoreError | None = None
                try:
                    catalogue.change(CHANGES[1])
                except StoreError as error:
                    refused = error
                assert isinstance(refused, StoreFull | StoreFailed), f"got {refused!r}: {where}"
                assert content(catalogue) == expected[1], f"a refused change is visible: {where}"
                survivor = content(open_catalogue(disk.after_power_loss(None)))
                assert survivor == expected[1] or (kind == "sync_dir" and survivor == expected[2]), where
                if kind != "sync_dir":
                    catalogue.change(CHANGES[1])
                    assert content(open_catalogue(disk.after_power_loss(None))) == expected[2], where


def check_every_cut_and_flip(open_catalogue: Opener) -> None:
    """A catalogue cut short or with any byte changed is refused with file and place, and left as it is."""
    disk = VolatileDisk()
    open_catalogue(disk).change(CHANGES[0])
    data = disk.content(PATH)
    spoilt = [data[:cut] for cut in range(len(data))]
    for at in range(len(data)):
        for changed in {data[at] ^ 0x01, data[at] ^ 0x20, 0x00, 0x0A} - {data[at]}:
            spoilt.append(data[:at] + bytes([changed]) + data[at + 1 :])
    for bad in spoilt:
        disk = VolatileDisk()
        disk.put(PATH, bad)
        damage: StoreError | None = None
        try:
            open_catalogue(disk)
        except StoreError as error:
            damage = error
        assert isinstance(damage, StoreDamaged), f"damage was not seen: {bad[:60]!r}... of {len(bad)} bytes"
        assert str(PATH) in str(damage), "the sentence does not name the file"
        assert disk.content(PATH) == bad, "the damaged file was changed"


CATALOGUE_CHECKS = [check_every_death, check_failing_disk, check_every_cut_and_flip]
