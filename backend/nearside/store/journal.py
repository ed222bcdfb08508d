"""The append-only file of one show's notes: one line a group commit, on the medium before anybody hears of it.

How a group is kept: the line is written after the last good one, then one `fdatasync`, then `append` returns. There
is no other way in, so the file is at any time a row of whole groups, perhaps followed by one that was being written.

What it does when the disk does not:

- Full, or an error while writing: the file is cut back to the last good end and synced, `StoreFull` or `StoreFailed`
  is raised, and the next append starts from a clean end.
- Failed sync: nobody can say what is on the medium and what the cache still holds, and asking again reports success
  without writing. The group is cut off as well as may be and the journal refuses to go on until it is opened anew.
- Failed cutting: likewise.

On opening, a torn last line is cut (nobody was told it is kept), damage anywhere else is refused with its place (see
`lines`), and the last good line is written once more and synced: the process that wrote it may have died before its
sync, and whoever sends those notes again must not be told they are known while only the cache holds them.
"""

from collections.abc import Iterable
from pathlib import Path
from typing import Any

from nearside.store import lines
from nearside.store.disk import Disk, hold, refusal, write_all
from nearside.store.protocol import StoreClosed, StoreDamaged, StoreFailed

FORMAT = "nearside-journal/1"
_HEADER = lines.to_json({"format": FORMAT})


class Journal:
    """One open journal, held by this process alone. Not for several threads at once: they take turns above."""

    def __init__(self, path: Path, disk: Disk) -> None:
        """Open or make the file. Raises `StoreLocked`, `StoreDamaged`, `StoreFull` or `StoreFailed`."""
        self._path = path
        self._disk = disk
        self._tail = lines.Tail(0, 0, 0)
        self._broken: str | None = None
        self._fd: int | None = None
        try:
            disk.make_dirs(path.parent)
            self._fd = disk.open(path)
            hold(disk, self._fd, path)
            self._groups = self._recover(self._fd)
        except OSError as error:
            self.close()
            raise refusal(path, "could not be opened", error) from error
        except BaseException:
            self.close()
            raise

    def take_groups(self) -> list[tuple[int, Any]]:
        """What was found on opening, oldest first: where each group begins and its JSON; handed out once."""
        groups, self._groups = self._groups, []
        return groups

    def append(self, payload: bytes) -> None:
        """Keep one group, given as `lines.to_json` made it. Returns when it is on the medium.

        Raises `StoreFull` or `StoreFailed`; the group is then not kept. After a failed sync or a failed
        cutting every further append raises `StoreFailed`.
        """
        fd = self._open_fd()
        line, crc = lines.line(payload, self._tail.crc)
        self._broken = f"A write to {self._path} was broken off"  # until it was not
        try:
            write_all(self._disk, fd, line, self._tail.end)
        except OSError as error:
            self._take_back(fd)
            raise refusal(self._path, "could not be written", error) from error
        try:
            self._disk.sync(fd)
        except OSError as error:
            self._take_back(fd)
            self._broken = f"{self._path} could not be synced ({error.strerror})"
            raise StoreFailed(self._refuses()) from error
        self._broken = None
        self._tail = lines.Tail(self._tail.end + len(line), self._tail.end, crc)

    def close(self) -> None:
        """Let the file and its lock go."""
        if self._fd is not None:
            fd, self._fd = self._fd, None
            self._disk.close(fd)

    def _recover(self, fd: int) -> list[tuple[int, Any]]:
        data = self._disk.read(fd)
        groups, self._tail = groups_in(data, self._path)
        if self._tail.end == 0:  # new, or its first line was torn
            return self._begin(fd)
        if self._tail.end < len(data):
            self._disk.truncate(fd, self._tail.end)
        write_all(self._disk, fd, data[self._tail.last : self._tail.end], self._tail.last)
        self._disk.sync(fd)
        self._disk.sync_dir(self._path.parent)
        return groups

    def _begin(self, fd: int) -> list[tuple[int, Any]]:
        header, crc = lines.line(_HEADER, 0)
        self._disk.truncate(fd, 0)
        write_all(self._disk, fd, header, 0)
        self._disk.sync(fd)
        self._disk.sync_dir(self._path.parent)
        self._tail = lines.Tail(len(header), 0, crc)
        return []

    def _take_back(self, fd: int) -> None:
        """Cut off what an append left behind; synced, lest its remains end up in the tail of a later one."""
        try:
            self._disk.truncate(fd, self._tail.end)
            self._disk.sync(fd)
        except OSError as error:
            self._broken = f"{self._path} could not be cut back to its last good end ({error.strerror})"
        else:
            self._broken = None

    def _refuses(self) -> str:
        return f"{self._broken}, so nothing more is kept until the server is started anew. Check the disk."

    def _open_fd(self) -> int:
        if self._fd is None:
            raise StoreClosed(f"{self._path} is closed.")
        if self._broken is not None:
            raise StoreFailed(self._refuses())
        return self._fd


def groups_in(data: bytes, path: Path) -> tuple[list[tuple[int, Any]], lines.Tail]:
    """The groups of a journal's content, oldest first: where each begins and its JSON; and where to write on.

    What is beyond `Tail.end` is a torn tail; with an end of 0 not even the first line is there yet. Raises
    `StoreDamaged`.
    """
    header, _ = lines.line(_HEADER, 0)
    if header.startswith(data.rstrip(b"\0")) and data != header:
        return [], lines.Tail(0, 0, 0)
    try:
        values, tail = lines.read(data)
    except lines.BadLine as bad:
        raise StoreDamaged(path, bad.offset, bad.reason) from bad
    found = values[0][1].get("format") if values and isinstance(values[0][1], dict) else None
    if found != FORMAT:
        raise StoreDamaged(path, 0, f"its first line should name the format {FORMAT}, not {found!r}")
    return values[1:], tail


def content_of(groups: Iterable[bytes]) -> bytes:
    """A whole journal of these groups, each given as `lines.to_json` made it."""
    content, crc = lines.line(_HEADER, 0)
    parts = [content]
    for payload in groups:
        line, crc = lines.line(payload, crc)
        parts.append(line)
    return b"".join(parts)
