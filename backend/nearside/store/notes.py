"""The embedded note store: notes in memory and TinyDB tables over them, one journal on the disk.

Stock TinyDB writes its whole file anew for each insert, which is slow and, in a crash, loses everything.
Here only what is new goes to the journal, and into memory only after it is on the medium. Readers in
other threads therefore see durable notes and no others, and an insert costs the same however many notes
there are.

Memory holds copies of its own, made of nothing but what JSON gives back exactly, so a store that has been
reopened does not differ from one that has not. `since` and `of_class` hand out copies; the documents of `tables` are
TinyDB's, whose lists belong to the store: look, do not change.
"""

import threading
from collections.abc import Callable, Container, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from nearside.store import lines
from nearside.store.disk import Disk
from nearside.store.journal import Journal, groups_in
from nearside.store.protocol import Complete, Note, NoteUnfit, Page, Receipt, StoreClosed, StoreDamaged
from nearside.store.shelf import Shelf, copied, is_same, taken
from nearside.store.tables import NoteTables


class TinyNoteStore:
    """The notes of one show in one journal file. Fit to be called from several threads."""

    def __init__(self, path: Path, disk: Disk | None = None, *, complete: Complete | None = None) -> None:
        """Open or make the journal and read it. Raises what `Journal` raises."""
        self._path = path
        self._complete = complete
        self._shelf = Shelf()
        self._writing = threading.Lock()  # one group at a time, held over the sync
        self._closed = False
        self._journal = self._open_journal(path, disk or Disk())
        try:
            for offset, group in self._journal.take_groups():
                self._shelf.show(notes_of(group, self._shelf.ids, path, offset))
        except BaseException:
            self._journal.close()
            raise
        self.tables = NoteTables(self._shelf, self._write, self.close)

    def append(self, notes: Sequence[Note]) -> list[Receipt]:
        """See `NoteStore.append`."""
        receipts: list[Receipt] = []

        def new_notes() -> list[Note]:
            ids, fresh = self._shelf.ids, dict[str, Note]()
            for note in notes:
                try:
                    own = taken(note)
                except NoteUnfit as error:
                    raise NoteUnfit(f"Note {len(receipts) + 1} {error}") from None
                note_id = own["id"]
                held = ids.get(note_id) or fresh.get(note_id)
                if held is None:
                    fresh[note_id] = own
                    receipts.append(Receipt(note_id, "kept"))
                else:
                    receipts.append(Receipt(note_id, "known" if is_same(held, own) else "clash"))
            return list(fresh.values())

        self._write(new_notes)
        return receipts

    def since(self, cursor: int, limit: int) -> Page:
        """See `NoteStore.since`."""
        if cursor < 0 or limit < 1:
            raise ValueError(f"A cursor is at least 0 and a limit at least 1, not {cursor} and {limit}.")
        head = self.head()
        if cursor > head:
            cursor = 0
        reached = min(cursor + limit, head)
        notes = [copied(note) for note in self._shelf.log[cursor:reached]]
        return Page(notes, reached, reached < head)

    def note(self, note_id: str) -> Note | None:
        """See `NoteStore.note`."""
        self._refuse_closed()
        held = self._shelf.ids.get(note_id)
        return None if held is None else copied(held)

    def of_class(self, class_id: str) -> list[Note]:
        """See `NoteStore.of_class`."""
        self._refuse_closed()
        return [copied(note) for note in self._shelf.of_class(class_id).values()]

    def head(self) -> int:
        """See `NoteStore.head`."""
        self._refuse_closed()
        return len(self._shelf.log)

    @contextmanager
    def held(self) -> Iterator[None]:
        """See `NoteStore.held`."""
        with self._writing:
            self._refuse_closed()
            yield

    def close(self) -> None:
        """See `NoteStore.close`. Waits for a group that is being written."""
        with self._writing:
            self._closed = True
            self._journal.close()

    def _open_journal(self, path: Path, disk: Disk) -> Journal:
        return Journal(path, disk)

    def _write(self, new_notes: Callable[[], list[Note]]) -> None:
        """Take a turn: find out what is new, now that nobody else writes, and keep it as one group."""
        with self._writing:
            self._refuse_closed()
            fresh = new_notes()
            if fresh:
                if self._complete is not None:
                    self._complete(self, fresh)
                self._keep(fresh)

    def _keep(self, fresh: list[Note]) -> None:
        self._journal.append(_payload(fresh))
        self._shelf.show(fresh)

    def _refuse_closed(self) -> None:
        if self._closed:
            raise StoreClosed(f"{self._path} is closed.")


def notes_in(data: bytes, path: Path) -> tuple[list[Note], int]:
    """The notes in a journal's content, oldest first, and where its last whole group ends. Raises `StoreDamaged`."""
    shelf = Shelf()
    groups, tail = groups_in(data, path)
    for offset, group in groups:
        shelf.show(notes_of(group, shelf.ids, path, offset))
    return shelf.log, tail.end


def notes_of(group: Any, held: Container[str], path: Path, offset: int) -> list[Note]:
    """A group as found in the journal. Its checksum was right, so what is wrong in it was written so."""
    ids, notes = set[str](), list[Note]()
    try:
        for note in group:
            own = taken(note)
            if own["id"] in held or own["id"] in ids:
                raise NoteUnfit("is there already.")
            ids.add(own["id"])
            notes.append(own)
    except TypeError as error:
        raise StoreDamaged(path, offset, "the line is no group of notes") from error
    except NoteUnfit as error:
        what = f"the line is no group of notes: note {len(notes) + 1} {str(error).rstrip('.')}"
        raise StoreDamaged(path, offset, what) from error
    return notes


def _payload(notes: list[Note]) -> bytes:
    """The notes as JSON. One that cannot be is named; the work is done twice only in that case."""
    try:
        return lines.to_json(notes)
    except (ValueError, TypeError):
        for note in notes:
            try:
                lines.to_json(note)
            except (ValueError, TypeError) as error:
                raise NoteUnfit(f"The note {note['id']!r} is not plain JSON: {error}.") from error
        raise
