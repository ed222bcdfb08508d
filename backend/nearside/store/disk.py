"""The few things a store asks of a file system, in one small class, so that tests can put a worse disk in its place.

Everything durable in Nearside goes through these calls and no others. Each is one step at which a machine
may die or a disk refuse; `tests/crash/` stands in for this class with a disk that has a volatile cache,
counts the steps, and fails at any one of them. Nothing here retries or decides: a refusal comes up as the
`OSError` it is.
"""

import errno
import fcntl
import os
import secrets
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from nearside.store.protocol import StoreFailed, StoreFull, StoreLocked

Checked = TypeVar("Checked")
_FULL = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)


class Disk:
    """A real file system, by descriptor."""

    def make_dirs(self, path: Path) -> None:
        """Make a directory and those above it that are missing; each new name is made durable in its parent."""
        missing = [path] if not path.is_dir() else []
        while missing and not missing[-1].parent.is_dir():
            missing.append(missing[-1].parent)
        for directory in reversed(missing):
            directory.mkdir(exist_ok=True)
            self.sync_dir(directory.parent)

    def exists(self, path: Path) -> bool:
        """Whether there is such a name."""
        return path.exists()

    def open(self, path: Path) -> int:
        """Open for reading and writing, made if it is missing."""
        return os.open(path, os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, 0o600)

    def lock(self, fd: int) -> None:
        """Take the file for this process alone. Raises `BlockingIOError` if another holds it."""
        fcntl.flock(fd, fcntl.LOCK_EX | fcntl.LOCK_NB)

    def read(self, fd: int) -> bytes:
        """The whole file."""
        size, parts, at = os.fstat(fd).st_size, [], 0
        while at < size:
            part = os.pread(fd, size - at, at)
            if not part:
                break
            parts.append(part)
            at += len(part)
        return b"".join(parts)

    def write(self, fd: int, data: bytes, offset: int) -> int:
        """Write at an offset; returns how many bytes were taken, which a full disk makes fewer than all."""
        return os.pwrite(fd, data, offset)

    def sync(self, fd: int) -> None:
        """Return when the content, and the size needed to read it back, are on the medium."""
        os.fdatasync(fd)

    def truncate(self, fd: int, size: int) -> None:
        """Cut the file to a size."""
        os.ftruncate(fd, size)

    def rename(self, old: Path, new: Path) -> None:
        """Give a file a new name in one step, in the place of whatever had it."""
        os.rename(old, new)

    def remove(self, path: Path) -> None:
        """Take a name away if it is there."""
        path.unlink(missing_ok=True)

    def sync_dir(self, path: Path) -> None:
        """Return when the names in a directory are on the medium."""
        fd = os.open(path, os.O_RDONLY | os.O_DIRECTORY | os.O_CLOEXEC)
        try:
            os.fsync(fd)
        finally:
            os.close(fd)

    def close(self, fd: int) -> None:
        """Let a file go, and the lock with it."""
        os.close(fd)


def hold(disk: Disk, fd: int, path: Path) -> None:
    """Take a store's file for this process alone. Raises `StoreLocked`."""
    try:
        disk.lock(fd)
    except BlockingIOError as error:
        raise StoreLocked(
            f"{path} is in use by another process. Stop that one first, or take another data folder."
        ) from error


def write_all(disk: Disk, fd: int, data: bytes, offset: int) -> None:
    """Write all of it, in as many goes as the disk needs; one that takes nothing is full."""
    done = 0
    while done < len(data):
        taken = disk.write(fd, data[done:] if done else data, offset + done)
        if taken == 0:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        done += taken


def write_file(disk: Disk, path: Path, content: bytes) -> None:
    """A file with this content and no other, on the medium when this returns; its name is its folder's to sync."""
    fd = disk.open(path)
    try:
        disk.truncate(fd, 0)
        write_all(disk, fd, content, 0)
        disk.sync(fd)
    finally:
        disk.close(fd)


def put_new_file(disk: Disk, path: Path, content: bytes, check: Callable[[bytes], Checked]) -> Checked:
    """Give a name that nobody has to a file once it is whole; returns what `check` makes of its content, read back.

    Until then it is beside it, under a name of its own. Raises: what `check` raises, `StoreFull` or `StoreFailed`;
    there is neither file then.
    """
    beside = path.with_name(f".{path.name}.{secrets.token_hex(4)}")
    try:
        write_file(disk, beside, content)
        checked = check(beside.read_bytes())
        disk.rename(beside, path)
        try:
            disk.sync_dir(path.parent)
        except OSError:
            disk.remove(path)
            raise
    except OSError as error:
        raise refusal(path, "could not be written", error) from error
    finally:
        disk.remove(beside)
    return checked


def refusal(path: Path, what: str, error: OSError) -> StoreFull | StoreFailed:
    """A disk's error as the store's, with what to do."""
    if error.errno in _FULL:
        return StoreFull(f"{path} {what}: the disk is full ({error.strerror}). Free some space and try again.")
    return StoreFailed(f"{path} {what}: {error.strerror or error}. Check the disk and the rights on this folder.")
