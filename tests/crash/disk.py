"""A disk with a volatile cache, numbered steps and faults to order: the worse disk the crash suite runs on.

What the model holds on to: a write reaches the cache; only `sync` moves the dirty sectors and the size to
the medium. Until then a loss of power may keep any of the dirty sectors and any size between the old and
the new one; sectors of the new size that never arrived read as they were on the medium, which beyond its
end is zero. A name is durable when its directory was synced. A failed sync drops the dirt, as Linux does:
the cache still shows the bytes, the medium never gets them, and the next sync reports success. (See "Can
Applications Recover from fsync Failures?", USENIX ATC 2020, for this behavior of ext4 and XFS.)

Two ends a process may come to: `killed`, where the cache lives on with the operating system, and
`after_power_loss`, where only the medium does.
"""

import errno
import os
import random
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from nearside.store.disk import Disk

SECTOR = 512


class Died(BaseException):
    """The process is no more: no handler for errors may run to any effect."""


@dataclass
class Fault:
    """What to do at one step: take some bytes of a write, or none; then die, or raise an error; or go on."""

    takes: float | None = None  # part of the bytes of a write that are taken; None: the step is not done at all
    error: int | None = None  # an errno to raise; None: die
    is_after: bool = False  # the step is done in full first


@dataclass(eq=False)
class File:
    """Content in the cache and on the medium."""

    cache: bytearray = field(default_factory=bytearray)
    medium: bytearray = field(default_factory=bytearray)
    dirty: set[int] = field(default_factory=set)

    def flush(self) -> None:
        self.medium = self.kept(self.dirty, len(self.cache))
        self.dirty.clear()

    def kept(self, sectors: set[int], size: int) -> bytearray:
        """What a medium holds that got these dirty sectors and this size."""
        content = bytearray(self.medium[:size].ljust(size, b"\0"))
        for sector in sectors:
            start, end = sector * SECTOR, min((sector + 1) * SECTOR, size, len(self.cache))
            if start < end:
                content[start:end] = self.cache[start:end]
        return content


class VolatileDisk(Disk):
    """Stands in for `Disk`. Steps are the calls that change anything, counted from 0."""

    def __init__(self, faults: dict[int, Fault] | None = None) -> None:
        self.names: dict[Path, File] = {}
        self.durable_names: dict[Path, File] = {}
        self.pending: list[tuple[Path, Path | None, File | None]] = []  # directory, name, file: in order
        self.faults = faults or {}
        self.steps: list[str] = []
        self.writes_back: random.Random | None = None  # the system may put dirty sectors on the medium unasked
        self.on_sync: Callable[[], None] = lambda: None
        self._files: dict[int, File] = {}
        self._locked: dict[int, int] = {}
        self._next_fd = 100
        self._is_dead = False

    # The ends a process may come to

    def killed(self) -> "VolatileDisk":
        """The same machine, the process gone: its cache, without its locks."""
        disk = VolatileDisk()
        disk.names, disk.durable_names, disk.pending = self.names, self.durable_names, self.pending
        return disk

    def after_power_loss(self, chance: random.Random | None, *, keeps_all: bool = False) -> "VolatileDisk":
        """The machine started again. Of what was never synced all is kept, or some by chance, or none."""
        disk = VolatileDisk()
        names = dict(self.durable_names)
        told = len(self.pending) if keeps_all else chance.randint(0, len(self.pending)) if chance else 0
        for _, name, file in self.pending[:told]:
            _rename(names, name, file)
        for name, file in names.items():
            dirty = sorted(file.dirty)
            sizes = sorted([len(file.medium), len(file.cache)])
            if keeps_all:
                content = file.kept(set(dirty), len(file.cache))
            elif chance is None:
                content = bytearray(file.medium)
            else:
                size = chance.choice([*sizes, chance.randint(*sizes)])
                content = file.kept({sector for sector in dirty if chance.random() < 0.5}, size)
            disk.names[name] = File(bytearray(content), bytearray(content))
        disk.durable_names = dict(disk.names)
        return disk

    def ended(self, end: int, chance: random.Random) -> "VolatileDisk":
        """One end after another: killed, power lost with nothing kept, with all kept, with some kept by chance."""
        if end == 0:
            return self.killed()
        return self.after_power_loss(chance if end > 2 else None, keeps_all=end == 2)

    def content(self, path: Path) -> bytes:
        """What a file reads as, now."""
        return bytes(self.names[path].cache)

    def put(self, path: Path, content: bytes) -> None:
        """Lay a file on the medium, as if it had always been there."""
        self.names[path] = self.durable_names[path] = File(bytearray(content), bytearray(content))

    # What a store asks for

    def make_dirs(self, path: Path) -> None:
        """Directories are always there; making them is tested on a real file system."""

    def exists(self, path: Path) -> bool:
        self._check_alive()
        return path in self.names

    def open(self, path: Path) -> int:
        self._check_alive()
        if path not in self.names:
            self._step("make", lambda: self._name(path.parent, path, File()))
        self._next_fd += 1
        self._files[self._next_fd] = self.names[path]
        return self._next_fd

    def lock(self, fd: int) -> None:
        self._check_alive()
        file = self._files[fd]
        if any(self._files[other] is file for other in self._locked):
            raise BlockingIOError(errno.EWOULDBLOCK, os.strerror(errno.EWOULDBLOCK))
        self._locked[fd] = 1

    def read(self, fd: int) -> bytes:
        self._check_alive()
        return bytes(self._files[fd].cache)

    def write(self, fd: int, data: bytes, offset: int) -> int:
        def take(count: int) -> None:
            file = self._files[fd]
            file.cache[len(file.cache) :] = bytes(max(0, offset - len(file.cache)))
            file.cache[offset : offset + count] = data[:count]
            file.dirty.update(range(offset // SECTOR, -(-(offset + count) // SECTOR)))

        return self._step("write", lambda: take(len(data)), lambda part: take(int(len(data) * part)), len(data))

    def sync(self, fd: int) -> None:
        self._check_alive()
        self.on_sync()
        file = self._files[fd]
        self._step("sync", file.flush, lambda _: file.dirty.clear())

    def truncate(self, fd: int, size: int) -> None:
        def cut() -> None:
            file = self._files[fd]
            if self.writes_back:
                unasked = {sector for sector in file.dirty if self.writes_back.random() < 0.5}
                file.medium = file.kept(unasked, max(len(file.medium), len(file.cache)))
            del file.cache[size:]
            file.dirty = {sector for sector in file.dirty if sector * SECTOR < size}

        self._step("truncate", cut)

    def rename(self, old: Path, new: Path) -> None:
        def rename() -> None:
            file = self.names[old]
            self._name(new.parent, new, file)
            self._name(old.parent, old, None)

        self._step("rename", rename)

    def remove(self, path: Path) -> None:
        if path in self.names:
            self._step("remove", lambda: self._name(path.parent, path, None))

    def sync_dir(self, path: Path) -> None:
        def flush() -> None:
            for directory, name, file in self.pending:
                if directory == path:
                    _rename(self.durable_names, name, file)
            self.pending[:] = [change for change in self.pending if change[0] != path]

        self._step("sync_dir", flush)

    def close(self, fd: int) -> None:
        self._check_alive()
        self._locked.pop(fd, None)
        del self._files[fd]

    def _name(self, directory: Path, name: Path, file: File | None) -> None:
        _rename(self.names, name, file)
        self.pending.append((directory, name, file))

    def _step(
        self, kind: str, do: Callable[[], None], half: Callable[[float], None] = lambda _: None, size: int = 0
    ) -> int:
        self._check_alive()
        fault = self.faults.get(len(self.steps))
        self.steps.append(kind)
        if fault is None:
            do()
            return size
        if fault.is_after:
            do()
        elif fault.takes is not None:
            half(fault.takes)
            if fault.error is not None and kind == "write" and int(size * fault.takes) > 0:
                return self._short(size, fault)
        if fault.error is not None:
            raise OSError(fault.error, os.strerror(fault.error))
        self._is_dead = True
        raise Died

    def _short(self, size: int, fault: Fault) -> int:
        """A full disk takes some bytes and reports no error; the next write gets the error."""
        self.faults[len(self.steps)] = Fault(error=fault.error)
        return int(size * (fault.takes or 0))

    def _check_alive(self) -> None:
        if self._is_dead:
            raise Died


def _rename(names: dict[Path, File], name: Path | None, file: File | None) -> None:
    assert name is not None
    if file is None:
        names.pop(name, None)
    else:
        names[name] = file
