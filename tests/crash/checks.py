"""The crash checks, as functions of how a store is opened, so that broken stores can be held to them too.

Each raises `AssertionError` with the reason when a promise is broken. `test_store.py` runs them on the
store, and `test_breakages.py` on stores broken on purpose, where they have to go red.
"""

import contextlib
import errno
import random
from collections.abc import Callable, Iterator
from pathlib import Path

from nearside.store.disk import Disk
from nearside.store.notes import TinyNoteStore
from nearside.store.protocol import Note, StoreDamaged, StoreError, StoreFailed, StoreFull
from tests.crash.disk import SECTOR, Died, Fault, VolatileDisk

PATH = Path("/data/shows/show.journal")
Opener = Callable[[Disk], TinyNoteStore]


def group(name: str, size: int = 1, text: str = "") -> list[Note]:
    return [
        {"id": f"{name}-{number}", "class": f"c{number % 2}", "replaces": [], "text": text} for number in range(size)
    ]


def joined(groups: list[list[Note]]) -> list[Note]:
    return [note for notes in groups for note in notes]


# Small, over several sectors, ending near a sector's edge, and of one note.
GROUPS = [group("a", 3), group("b", 4, "x" * 500), group("c", 1, "y" * 380), group("d"), group("e", 2, "z" * 300)]


def check_every_death(open_store: Opener) -> None:
    """Die before, within and after each step; then kill or loss of power; then open, send all again, open again."""
    healthy = VolatileDisk()
    _live(open_store, healthy, [])
    assert {"make", "write"} <= set(healthy.steps), "the life has not all the steps"
    for step, kind in enumerate(healthy.steps):
        faults = [Fault(), Fault(is_after=True)]
        if kind == "write":
            faults += [Fault(takes=part) for part in (0.01, 0.5, 0.9, 0.999)]
        for number, fault in enumerate(faults):
            for end in range(8):
                disk = VolatileDisk({step: fault})
                acknowledged: list[list[Note]] = []
                try:
                    _live(open_store, disk, acknowledged)
                except Died:
                    pass
                else:
                    raise AssertionError(f"did not die at step {step}")
                where = f"died at step {step} ({kind}, {fault}), end {end}"
                chance = random.Random(f"{step}/{number}/{end}")
                _check_survivor(open_store, disk.ended(end, chance), acknowledged, where)


def _live(open_store: Opener, disk: VolatileDisk, acknowledged: list[list[Note]]) -> None:
    store = open_store(disk)
    for notes in GROUPS[:3]:
        store.append(notes)
        acknowledged.append(notes)
    store.close()
    store = open_store(disk)
    for notes in GROUPS[3:]:
        store.append(notes)
        acknowledged.append(notes)
    store.close()


def _check_survivor(open_store: Opener, disk: VolatileDisk, acknowledged: list[list[Note]], where: str) -> None:
    store = _opened(open_store, disk, where)
    found = store.since(0, 1000).notes
    sure = joined(acknowledged)
    in_flight = GROUPS[len(acknowledged)] if len(acknowledged) < len(GROUPS) else []
    assert found[: len(sure)] == sure, f"acknowledged notes are missing: {where}"
    assert found in (sure, sure + in_flight), f"a group is half there: {where}"

    again = _opened(open_store, disk.after_power_loss(None), where)
    assert again.since(0, 1000).notes == found, f"notes were shown that were not on the medium: {where}"

    for notes in [*acknowledged, in_flight]:
        statuses = [receipt.status for receipt in store.append(notes)]
        expected = "known" if notes in acknowledged or found != sure else "kept"
        assert statuses == [expected] * len(notes), f"sent again, got {statuses}: {where}"
    new = group("new", 2)
    store.append(new)
    for survivor in (disk.killed(), disk.after_power_loss(None)):
        last = _opened(open_store, survivor, where).since(0, 1000).notes
        assert last == sure + in_flight + new, f"acknowledged notes are missing, or twice, at the end: {where}"


def _opened(open_store: Opener, disk: Disk, where: str) -> TinyNoteStore:
    try:
        return open_store(disk)
    except StoreError as error:
        raise AssertionError(f"does not open again ({error}): {where}") from error


def written(open_store: Opener) -> tuple[bytes, list[int]]:
    """A journal with all groups, and where each of its lines ends."""
    disk = VolatileDisk()
    store = open_store(disk)
    for notes in GROUPS:
        store.append(notes)
    store.close()
    data = disk.content(PATH)
    return data, [at + 1 for at, byte in enumerate(data) if byte == 0x0A]


def check_every_cut(open_store: Opener) -> None:
    """Cut the journal at each byte, its first line included: whole groups stay, and writing goes on cleanly."""
    data, ends = written(open_store)
    for cut in range(len(data) + 1):
        _check_torn(open_store, data[:cut], GROUPS[: max(0, sum(end <= cut for end in ends) - 1)], f"cut at {cut}")


def check_missing_sectors(open_store: Opener) -> None:
    """Of the last line any sectors may never have arrived."""
    data, ends = written(open_store)
    data, ends = data[: ends[2]], ends[:3]  # the second group is the one over several sectors
    start = ends[1]
    sectors = list(range(start // SECTOR, -(-len(data) // SECTOR)))
    for chosen in range(1, 2 ** len(sectors)):
        torn = bytearray(data)
        for number, sector in enumerate(sectors):
            if chosen >> number & 1:
                first, last = max(start, sector * SECTOR), min(len(data), (sector + 1) * SECTOR)
                torn[first:last] = bytes(last - first)
        _check_torn(open_store, bytes(torn), GROUPS[:1], f"sectors {chosen:b} missing")


def _check_torn(open_store: Opener, data: bytes, whole: list[list[Note]], where: str) -> None:
    disk = VolatileDisk()
    disk.put(PATH, data)
    store = _opened(open_store, disk, where)
    expected = joined(whole)
    assert store.since(0, 1000).notes == expected, f"not the whole groups and nothing else: {where}"
    new = group("new")
    store.append(new)
    again = _opened(open_store, disk.after_power_loss(None), f"written on after a torn tail, {where}")
    assert again.since(0, 1000).notes == expected + new, f"writing on spoilt the file: {where}"


def check_every_flip(open_store: Opener) -> None:
    """Change each byte of the file: it is refused with the place, and left as it is."""
    data, ends = written(open_store)
    for at in range(len(data)):
        start = max((end for end in ends if end <= at), default=0)
        for changed in {data[at] ^ 0x01, data[at] ^ 0x20, data[at] ^ 0x80, 0x00, 0x0A} - {data[at]}:
            spoilt = data[:at] + bytes([changed]) + data[at + 1 :]
            _check_refused(open_store, spoilt, start, f"byte {at} made {changed:#04x}")


def check_moved_lines(open_store: Opener) -> None:
    """A line taken out, repeated or in another place is damage, though each line is good by itself."""
    data, _ = written(open_store)
    lines = data.splitlines(keepends=True)
    for at in range(1, len(lines) - 1):
        start = sum(map(len, lines[:at]))
        _check_refused(open_store, b"".join(lines[:at] + lines[at + 1 :]), start, f"line {at} taken out")
        _check_refused(
            open_store, b"".join([*lines[:at], lines[at + 1], lines[at], *lines[at + 2 :]]), start, f"{at} moved"
        )
        repeated = b"".join(lines[: at + 1] + lines[at:])
        _check_refused(open_store, repeated, start + len(lines[at]), f"line {at} repeated")


def _check_refused(open_store: Opener, data: bytes, start: int, where: str) -> None:
    disk = VolatileDisk()
    disk.put(PATH, data)
    damage = _caught(lambda: open_store(disk))
    assert damage is not None, f"damage was not seen: {where}"
    assert isinstance(damage, StoreDamaged), f"refused with {damage!r}: {where}"
    assert (damage.path, damage.offset) == (PATH, start), f"refused at {damage.offset}, not {start}: {where}"
    assert str(PATH) in str(damage), f"the sentence does not name the file: {where}"
    assert f"byte {start}" in str(damage), f"the sentence does not name the place: {where}"
    assert disk.content(PATH) == data, f"the damaged file was changed: {where}"


def check_full_disk(open_store: Opener) -> None:
    """The disk fills up within a group, after any part of it: an error, nothing half-done, and it can go on."""
    for part in (None, 0.0, 0.003, 0.3, 0.7, 0.999):
        for end in range(6):
            where = f"full after {part} of the line, end {end}"
            disk = VolatileDisk()
            store = open_store(disk)
            store.append(GROUPS[0])
            disk.faults[len(disk.steps)] = Fault(takes=part, error=errno.ENOSPC)
            _refuses(lambda: store.append(GROUPS[1]), StoreFull, where)  # noqa: B023
            assert store.since(0, 1000).notes == GROUPS[0], f"a refused group is visible: {where}"
            after = _opened(open_store, disk.ended(end, random.Random(f"{part}/{end}")), where)
            assert after.since(0, 1000).notes == GROUPS[0], f"a refused group came back: {where}"

            statuses = [receipt.status for receipt in store.append(GROUPS[3] + GROUPS[0])]
            assert statuses == ["kept", "known", "known", "known"], f"got {statuses} with room again: {where}"
            again = _opened(open_store, disk.after_power_loss(None), f"something half-done was left, {where}")
            assert again.since(0, 1000).notes == GROUPS[0] + GROUPS[3], f"not exactly once: {where}"


def check_full_disk_then_torn(open_store: Opener) -> None:
    """What a refused group left on the medium must not get into the tail of a later one that is torn."""
    for seed in range(40):
        where = f"full, then torn, seed {seed}"
        chance = random.Random(seed)
        disk = VolatileDisk()
        store = open_store(disk)
        store.append(GROUPS[0])
        disk.writes_back = chance
        disk.faults[len(disk.steps)] = Fault(takes=0.999, error=errno.ENOSPC)
        _refuses(lambda: store.append(group("full", 6, "f" * 500)), StoreFull, where)  # noqa: B023
        disk.faults[len(disk.steps)] = Fault(is_after=True)
        with contextlib.suppress(Died):
            store.append(GROUPS[1])
        after = _opened(open_store, disk.after_power_loss(chance), where)
        found = after.since(0, 1000).notes
        assert found in (GROUPS[0], GROUPS[0] + GROUPS[1]), f"a group is half there: {where}"


def check_failed_sync(open_store: Opener) -> None:
    """A sync fails: the group is refused and not shown, nothing more is taken until the store is opened again."""
    for also_fails in (None, "truncate", "sync"):
        for end in range(6):
            where = f"failed sync, then failed {also_fails}, end {end}"
            disk = VolatileDisk()
            store = open_store(disk)
            store.append(GROUPS[0])
            step = len(disk.steps)
            disk.faults[step + 1] = Fault(takes=0.0, error=errno.EIO)
            if also_fails == "truncate":
                disk.faults[step + 2] = Fault(error=errno.EIO)
            if also_fails == "sync":
                disk.faults[step + 3] = Fault(takes=0.0, error=errno.EIO)
            _refuses(lambda: store.append(GROUPS[1]), StoreFailed, where)  # noqa: B023
            assert store.since(0, 1000).notes == GROUPS[0], f"a refused group is visible: {where}"
            _refuses(lambda: store.append(GROUPS[3]), StoreFailed, f"went on after a {where}")  # noqa: B023
            assert [receipt.status for receipt in store.append(GROUPS[0])] == ["known"] * 3, where

            disk = disk.ended(end, random.Random(f"{also_fails}/{end}"))
            store = _opened(open_store, disk, where)
            found = store.since(0, 1000).notes
            assert found in (GROUPS[0], GROUPS[0] + GROUPS[1]), f"a group is half there: {where}"
            store.append(GROUPS[1])
            again = _opened(open_store, disk.after_power_loss(None), where)
            assert again.since(0, 1000).notes == GROUPS[0] + GROUPS[1], f"acknowledged notes are missing: {where}"


def _refuses(ask: Callable[[], object], kind: type[StoreError], where: str) -> None:
    error = _caught(ask)
    assert error is not None, f"acknowledged what was not kept: {where}"
    assert isinstance(error, kind), f"refused with {error!r}, not {kind.__name__}: {where}"
    assert str(PATH) in str(error), f"the sentence does not name the file: {where}"


def _caught(ask: Callable[[], object]) -> StoreError | None:
    try:
        ask()
    except StoreError as error:
        return error
    return None


def check_visible_only_when_durable(open_store: Opener) -> None:
    """Whoever reads while a group is being synced sees what was there before, by every way of reading."""
    disk = VolatileDisk()
    store = open_store(disk)
    store.append(GROUPS[0])
    before = list(_seen(store))
    seen: list[object] = []
    disk.on_sync = lambda: seen.extend(_seen(store))
    store.append(GROUPS[1])
    assert seen, "nothing was synced"
    assert seen == before, "notes were visible before they were on the medium"


def _seen(store: TinyNoteStore) -> Iterator[object]:
    yield store.head()
    yield store.since(0, 1000)
    yield store.of_class("c0")
    yield store.tables.table("c0").all()
    yield store.tables.table("c0").contains(doc_id="b-0")  # type: ignore[arg-type]  # our ids are text


NOTE_CHECKS = [
    check_every_death,
    check_every_cut,
    check_missing_sectors,
    check_every_flip,
    check_moved_lines,
    check_full_disk,
    check_full_disk_then_torn,
    check_failed_sync,
    check_visible_only_when_durable,
]
