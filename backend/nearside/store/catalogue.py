"""The catalogue: the few records that change, in a small TinyDB whose file is only ever replaced whole.

A change writes the new content to a second file, syncs it, renames it over the first and syncs the
directory. Before the rename the old file is untouched, after it the new one is complete, so a crash
leaves one or the other, and any number of changes given at once are made together or not at all. The file
proves itself as the journal does (see `lines`): a damaged one is refused whole, with its place, never
half-read.

The lock is on a file of its own beside it, since the catalogue's own file is a new one after each change.
"""

import json
import threading
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from tinydb import TinyDB
from tinydb.storages import Storage
from tinydb.table import Table

from nearside.store import lines
from nearside.store.disk import Disk, hold, refusal, write_file
from nearside.store.protocol import (
    Change,
    Record,
    RecordUnfit,
    StoreClosed,
    StoreDamaged,
    StoreFailed,
)
from nearside.store.shelf import copied

FORMAT = "nearside-catalogue/1"
TABLES = ("shows", "classes", "entries", "championships", "seats", "devices")

_Tables = dict[str, dict[str, Any]]


class TinyCatalogue:
    """The catalogue in one file, held by this process alone. Fit to be called from several threads."""

    def __init__(self, path: Path, disk: Disk | None = None) -> None:
        """Open or make the file. Raises `StoreLocked`, `StoreDamaged`, `StoreFull` or `StoreFailed`."""
        self._storage = AtomicStorage(path, disk or Disk())
        self._changing = threading.Lock()
        self._tables = _CatalogueTables(self._storage)

    def get(self, table: str, key: str) -> Record | None:
        """See `Catalogue.get`."""
        record = self._table(table).get(doc_id=key)  # type: ignore[call-overload]  # our ids are text
        return None if record is None else copied(record)

    def all(self, table: str) -> list[Record]:
        """See `Catalogue.all`."""
        documents = self._table(table).all()
        return [copied(record) for record in sorted(documents, key=lambda document: str(document.doc_id))]

    def change(self, changes: Sequence[Change]) -> None:
        """See `Catalogue.change`."""
        with self._changing:
            new = dict(self._storage.read())
            for table in {change.table for change in changes if change.table in TABLES}:
                new[table] = dict(new.get(table, {}))
            for change in changes:
                _make(change, new)
            if changes:
                self._storage.write(new)

    def close(self) -> None:
        """See `Catalogue.close`."""
        with self._changing:
            self._storage.close()

    def _table(self, name: str) -> Table:
        if name not in TABLES:
            raise RecordUnfit(f"The catalogue has no table {name!r}, only {', '.join(TABLES)}.")
        return self._tables.table(name)


class AtomicStorage(Storage):
    """A TinyDB storage whose `write` puts a whole new file in the place of the old one, or changes nothing.

    Reads are from memory: the content only changes through `write`, and each content is a new object, so
    readers in other threads keep the one they have.
    """

    def __init__(self, path: Path, disk: Disk) -> None:
        self._path = path
        self._new = path.with_name(path.name + ".new")
        self._disk = disk
        self._tables: _Tables = {}
        self._broken: str | None = None
        self._lock_fd: int | None = None
        try:
            disk.make_dirs(path.parent)
            self._lock_fd = disk.open(path.with_name(path.name + ".lock"))
            hold(disk, self._lock_fd, path)
            disk.remove(self._new)
            self._tables = self._found()
        except OSError as error:
            self.close()
            raise refusal(path, "could not be opened", error) from error
        except BaseException:
            self.close()
            raise

    def read(self) -> _Tables:
        """The content as it last was made durable."""
        if self._lock_fd is None:
            raise StoreClosed(f"{self._path} is closed.")
        return self._tables

    def write(self, data: Mapping[str, Mapping[str, Any]]) -> None:
        """Replace the content. Raises `RecordUnfit`, `StoreFull` or `StoreFailed`; the content is then as before."""
        self.read()
        if self._broken is not None:
            raise StoreFailed(f"{self._broken}, so nothing more is changed until the server is started anew.")
        try:
            payload = lines.to_json(data)
            tables: _Tables = json.loads(payload)
        except (ValueError, TypeError, RecursionError) as error:
            raise RecordUnfit(f"A record is not plain JSON: {error}.") from error
        header, crc = lines.line(lines.to_json({"format": FORMAT}), 0)
        body, _ = lines.line(payload, crc)
        try:
            self._write_beside(header + body)
            self._disk.rename(self._new, self._path)
        except OSError as error:
            raise refusal(self._path, "could not be replaced", error) from error
        try:
            self._disk.sync_dir(self._path.parent)
        except OSError as error:
            # The new file is there, but a crash may bring the old one back: neither can be promised.
            self._broken = f"The folder of {self._path} could not be synced ({error.strerror})"
            raise StoreFailed(f"{self._broken}. Check the disk, then start the server anew.") from error
        self._tables = tables

    def close(self) -> None:
        """Let the lock go. Closing twice is no error."""
        if self._lock_fd is not None:
            fd, self._lock_fd = self._lock_fd, None
            self._disk.close(fd)

    def _write_beside(self, data: bytes) -> None:
        write_file(self._disk, self._new, data)

    def _found(self) -> _Tables:
        if not self._disk.exists(self._path):
            return {}
        self._disk.sync_dir(self._path.parent)  # the one who put it there may have died before doing so
        fd = self._disk.open(self._path)
        try:
            data = self._disk.read(fd)
        finally:
            self._disk.close(fd)
        return tables_in(data, self._path)


def tables_in(data: bytes, path: Path) -> _Tables:
    """The tables in a catalogue's content, each record by its key. Raises `StoreDamaged`."""
    try:
        values, tail = lines.read(data)
    except lines.BadLine as bad:
        raise StoreDamaged(path, bad.offset, bad.reason) from bad
    if tail.end < len(data) or not values:
        raise StoreDamaged(path, tail.end, "the last line is not whole")
    header = values[0][1]
    if not isinstance(header, dict) or header.get("format") != FORMAT:
        raise StoreDamaged(path, 0, f"its first line should name the format {FORMAT}")
    tables = values[1][1] if len(values) == 2 else None
    if not isinstance(tables, dict) or not all(
        isinstance(table, dict) and all(isinstance(record, dict) for record in table.values())
        for table in tables.values()
    ):
        raise StoreDamaged(path, 0, "after the first line there should be one with tables of records")
    return tables


class _CatalogueTable(Table):
    document_id_class = str  # type: ignore[assignment]  # keys are text


class _CatalogueTables(TinyDB):
    table_class = _CatalogueTable

    def __init__(self, storage: AtomicStorage) -> None:
        super().__init__(storage=lambda: storage)


def _make(change: Change, tables: _Tables) -> None:
    """Make one change to tables that are ours to change; raise `RecordUnfit` if it cannot be made."""
    if change.table not in TABLES:
        raise RecordUnfit(f"The catalogue has no table {change.table!r}, only {', '.join(TABLES)}.")
    if not isinstance(change.key, str) or not change.key:
        raise RecordUnfit(f"A key is text that is not empty, not {change.key!r}.")
    if change.record is None:
        tables[change.table].pop(change.key, None)
    elif isinstance(change.record, dict):
        tables[change.table][change.key] = change.record
    else:
        raise RecordUnfit(f"The record {change.key!r} of {change.table} is not a JSON object.")
