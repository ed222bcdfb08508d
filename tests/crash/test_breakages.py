"""The crash checks can fail: stores broken on purpose, each caught by a check, for the reason it should be.

Each breakage is a mistake somebody could make in good faith.
"""

import zlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from nearside.store import lines
from nearside.store.catalogue import AtomicStorage, TinyCatalogue
from nearside.store.disk import Disk, write_all
from nearside.store.journal import Journal
from nearside.store.notes import TinyNoteStore
from nearside.store.protocol import Note
from tests.crash import catalogue_checks, checks


class Without(Disk):
    """A disk on which one call does nothing."""

    def __init__(self, disk: Disk, call: str) -> None:
        self._wrapped = disk
        self._call = call

    def __getattribute__(self, name: str) -> Any:
        if name.startswith("_"):
            return object.__getattribute__(self, name)
        if name == self._call:
            return lambda *_: None
        return getattr(self._wrapped, name)


def opens(journal: type[Journal]) -> checks.Opener:
    class Broken(TinyNoteStore):
        def _open_journal(self, path: Path, disk: Disk) -> Journal:
            return journal(path, disk)

    return lambda disk: Broken(checks.PATH, disk)


class NeverSyncs(Journal):
    def append(self, payload: bytes) -> None:
        disk = self._disk
        self._disk = Without(disk, "sync")
        super().append(payload)
        self._disk = disk


class KeepsTornTail(Journal):
    """Writes on after a torn line, as a file opened for appending would."""

    def _recover(self, fd: int) -> list[tuple[int, Any]]:
        size = len(self._disk.read(fd))
        disk = self._disk
        self._disk = Without(disk, "truncate")
        groups = super()._recover(fd)
        self._disk = disk
        self._tail = self._tail._replace(end=max(size, self._tail.end))
        return groups


class LeavesHalfLine(Journal):
    """Writes on after the half line that a full disk took."""

    def _take_back(self, fd: int) -> None:
        self._tail = self._tail._replace(end=len(self._disk.read(fd)))
        self._broken = None


class CutsWithoutSync(Journal):
    def _take_back(self, fd: int) -> None:
        self._disk.truncate(fd, self._tail.end)
        self._broken = None


class GoesOnAfterFailedSync(Journal):
    def append(self, payload: bytes) -> None:
        try:
            super().append(payload)
        finally:
            self._broken = None


class TrustsTheCacheOnOpening(Journal):
    """Does not put the last line on the medium before it is shown."""

    def _recover(self, fd: int) -> list[tuple[int, Any]]:
        disk = self._disk
        self._disk = Without(disk, "sync")
        groups = super()._recover(fd)
        self._disk = disk
        return groups


class SyncsNoDirectory(Journal):
    def __init__(self, path: Path, disk: Disk) -> None:
        super().__init__(path, Without(disk, "sync_dir"))


class CutsDamageToo(Journal):
    """Takes every bad last line for a torn one."""

    def _recover(self, fd: int) -> list[tuple[int, Any]]:
        try:
            return super()._recover(fd)
        except Exception:
            data = self._disk.read(fd)
            self._disk.truncate(fd, data.rindex(b"\n", 0, -1) + 1)
            return super()._recover(fd)


class ShowsBeforeDurable(TinyNoteStore):
    def _keep(self, fresh: list[Note]) -> None:
        self._shelf.show(fresh)
        self._journal.append(lines.to_json(fresh))


JOURNALS: list[tuple[type[Journal], Callable[[checks.Opener], None], str]] = [
    (NeverSyncs, checks.check_every_death, "acknowledged notes are missing"),
    (KeepsTornTail, checks.check_every_cut, "written on after a torn tail"),
    (LeavesHalfLine, checks.check_full_disk, "something half-done was left"),
    (CutsWithoutSync, checks.check_full_disk_then_torn, "does not open again"),
    (GoesOnAfterFailedSync, checks.check_failed_sync, "went on after a failed sync"),
    (TrustsTheCacheOnOpening, checks.check_every_death, "notes were shown that were not on the medium"),
    (SyncsNoDirectory, checks.check_every_death, "acknowledged notes are missing"),
    (CutsDamageToo, checks.check_every_flip, "damage was not seen|the damaged file was changed"),
]


@pytest.mark.parametrize(("journal", "check", "reason"), JOURNALS, ids=lambda what: getattr(what, "__name__", ""))
def test_a_broken_journal_is_caught(
    journal: type[Journal], check: Callable[[checks.Opener], None], reason: str
) -> None:
    with pytest.raises(AssertionError, match=reason):
        check(opens(journal))


def test_a_store_that_shows_notes_before_they_are_durable_is_caught() -> None:
    with pytest.raises(AssertionError, match="visible before they were on the medium"):
        checks.check_visible_only_when_durable(lambda disk: ShowsBeforeDurable(checks.PATH, disk))


@pytest.mark.parametrize(
    ("check", "reason"),
    [
        (checks.check_every_flip, "damage was not seen"),
        (checks.check_missing_sectors, "does not open again|not the whole groups"),
        (checks.check_moved_lines, "damage was not seen|refused at"),
    ],
)
def test_a_store_that_checks_no_checksum_is_caught(
    check: Callable[[checks.Opener], None], reason: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(lines, "crc32", lambda data, crc=0: 0)  # noqa: ARG005
    with pytest.raises(AssertionError, match=reason):
        check(lambda disk: TinyNoteStore(checks.PATH, disk))


def test_a_checksum_of_each_line_alone_is_caught_by_moved_lines(monkeypatch: pytest.MonkeyPatch) -> None:
    whole = zlib.crc32
    monkeypatch.setattr(lines, "crc32", lambda data, crc=0: whole(data))  # noqa: ARG005
    with pytest.raises(AssertionError, match=r"damage was not seen|refused at"):
        checks.check_moved_lines(lambda disk: TinyNoteStore(checks.PATH, disk))


class WritesInPlace(AtomicStorage):
    def _write_beside(self, data: bytes) -> None:
        super()._write_beside(data)
        fd = self._disk.open(self._path)
        self._disk.truncate(fd, 0)
        write_all(self._disk, fd, data, 0)
        self._disk.sync(fd)
        self._disk.close(fd)


CATALOGUES: list[tuple[Callable[[Disk], Disk], str]] = [
    (lambda disk: Without(disk, "sync"), "does not open again|is missing|neither the old"),
    (lambda disk: Without(disk, "sync_dir"), "is missing|not on the medium"),
]


@pytest.mark.parametrize(("worse", "reason"), CATALOGUES, ids=["never syncs", "syncs no directory"])
def test_a_broken_catalogue_is_caught(worse: Callable[[Disk], Disk], reason: str) -> None:
    with pytest.raises(AssertionError, match=reason):
        catalogue_checks.check_every_death(lambda disk: TinyCatalogue(catalogue_checks.PATH, worse(disk)))


def test_a_catalogue_written_in_place_is_caught(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("nearside.store.catalogue.AtomicStorage", WritesInPlace)
    with pytest.raises(AssertionError, match="does not open again"):
        catalogue_checks.check_every_death(lambda disk: TinyCatalogue(catalogue_checks.PATH, disk))
