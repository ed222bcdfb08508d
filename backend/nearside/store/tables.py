"""The classes of a show as TinyDB tables, so that stock queries work on what the note store holds.

TinyDB sends every write of a table through `_update_table` and every read through `_read_table`; both are
overridden here, and `tests/store/test_tables.py` fails if TinyDB stops doing so. Stock TinyDB would read
all, convert all and write all for each insert. Here a write runs over an overlay that collects what it
adds, and the store keeps that as one group; a read looks straight at what is durable.

Refused: changing, removing, dropping. Notes are facts.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, MutableMapping
from typing import Any, NoReturn, cast

from tinydb import TinyDB
from tinydb.queries import QueryLike
from tinydb.storages import Storage
from tinydb.table import Document, Table
from tinydb.utils import LRUCache

from nearside.store.protocol import Note, NoteKept, NoteUnfit
from nearside.store.shelf import Shelf, copied, taken

# Takes its turn, asks what is new, keeps that as one group.
Write = Callable[[Callable[[], list[Note]]], None]


class NoteTables(TinyDB):
    """One table a class, named by the class's id: `tables.table("c4").search(where("kind") == "mark")`."""

    table_class: type[Table]

    def __init__(self, shelf: Shelf, write: Write, close: Callable[[], None]) -> None:
        super().__init__(shelf, write, close, storage=NoteStorage)


class NoteStorage(Storage):
    """What TinyDB reads from. It never writes: tables do, and dropping a table is refused."""

    def __init__(self, shelf: Shelf, write: Write, close: Callable[[], None]) -> None:
        self.shelf = shelf
        self.keep_new = write
        self._close = close

    def read(self) -> dict[str, dict[str, Any]]:
        return {class_id: self.shelf.of_class(class_id) for class_id in self.shelf.class_ids()}

    def write(self, data: dict[str, dict[str, Any]]) -> NoReturn:  # noqa: ARG002  # TinyDB's name for it
        _refuse_change()

    def close(self) -> None:
        self._close()


class _NoCache(LRUCache[QueryLike, list[Document]]):
    """Keeps no answer of a query: cleared by one thread while another fills it, an old answer would stay in it
    for good. TinyDB's own of size 0 will not do, for it holds each answer for a moment, and another thread may meet it.
    """

    def set(self, key: QueryLike, value: list[Document]) -> None:
        """Keep nothing."""


class NoteTable(Table):
    """The notes of one class; the note's id is the document's."""

    document_id_class = str  # type: ignore[assignment]  # TinyDB's own ids are numbers

    def __init__(self, storage: NoteStorage, name: str) -> None:
        super().__init__(storage, name)
        self._query_cache = _NoCache()
        self._shelf = storage.shelf
        self._write = storage.keep_new

    def insert(self, document: Mapping[str, Any]) -> int:
        return super().insert(self._with_id(document))

    def insert_multiple(self, documents: Iterable[Mapping[str, Any]]) -> list[int]:
        return super().insert_multiple([self._with_id(document) for document in documents])

    def _with_id(self, note: Mapping[str, Any]) -> Document:
        try:
            own = taken(dict(note))
        except NoteUnfit as error:
            raise NoteUnfit(f"This note {error}") from None
        if note["class"] != self.name:
            raise NoteUnfit(f"A note of the class {note['class']!r} cannot go into the table {self.name!r}.")
        if isinstance(note, Document) and note.doc_id != note["id"]:
            raise NoteUnfit(f"The note {note['id']!r} cannot have {note.doc_id!r} as its document's id.")
        return Document(own, own["id"])

    def _read_table(self) -> dict[str, Mapping[str, Any]]:
        return cast(dict[str, Mapping[str, Any]], _Shown(self._shelf, self.name))

    def _update_table(self, updater: Callable[[dict[int, Mapping[str, Any]]], None]) -> None:
        def new_notes() -> list[Note]:
            overlay = _Overlay(self._shelf.ids, self._shelf.live(self.name))
            updater(cast(dict[int, Mapping[str, Any]], overlay))
            return list(overlay.fresh.values())

        self._write(new_notes)


NoteTables.table_class = NoteTable


class _Shown(Mapping[str, Note]):
    """A table as TinyDB reads it: one note at once, all of them from a copy that stays still."""

    def __init__(self, shelf: Shelf, class_id: str) -> None:
        self._shelf = shelf
        self._class_id = class_id

    def __getitem__(self, note_id: str) -> Note:
        return self._shelf.live(self._class_id)[note_id]

    def __len__(self) -> int:
        return len(self._shelf.live(self._class_id))

    def __iter__(self) -> Iterator[str]:
        return iter(self._shelf.of_class(self._class_id))

    def items(self) -> Any:
        return self._shelf.of_class(self._class_id).items()


class _Overlay(MutableMapping[str, Note]):
    """A table as TinyDB's writers see it: what is there, fixed, and over it what this write adds."""

    def __init__(self, ids: dict[str, Note], shown: dict[str, Note]) -> None:
        self._ids = ids
        self._shown = shown
        self.fresh: dict[str, Note] = {}

    def __contains__(self, note_id: object) -> bool:
        return note_id in self._ids or note_id in self.fresh  # an id taken in another class is taken

    def __getitem__(self, note_id: str) -> Note:
        return _Fixed(copied(self.fresh.get(note_id) or self._shown[note_id]))

    def __setitem__(self, note_id: str, note: Note) -> None:
        if note_id in self:
            _refuse_change()
        self.fresh[note_id] = note

    def __delitem__(self, note_id: str) -> None:
        _refuse_change()

    def __iter__(self) -> Iterator[str]:
        yield from self._shown
        yield from self.fresh

    def __len__(self) -> int:
        return len(self._shown) + len(self.fresh)


def _refuse_change(*_: Any, **__: Any) -> NoReturn:
    raise NoteKept("A note is never changed or removed. Write another note that replaces it.")


class _Fixed(dict[str, Any]):
    """A note that TinyDB's `update` cannot change."""

    __setitem__ = __delitem__ = __ior__ = _refuse_change
    update = setdefault = pop = popitem = clear = _refuse_change
