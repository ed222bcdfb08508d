"""The classes of a show as TinyDB tables, and a watch on what TinyDB must go on doing for that to hold."""

import inspect
import threading
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from tinydb import TinyDB, where
from tinydb.operations import delete
from tinydb.storages import MemoryStorage
from tinydb.table import Document, Table

from nearside.store.notes import TinyNoteStore
from nearside.store.protocol import NoteKept, NoteUnfit, StoreClosed
from nearside.store.tables import NoteTable


@pytest.fixture
def store(tmp_path: Path) -> Iterator[TinyNoteStore]:
    store = TinyNoteStore(tmp_path / "show.journal")
    yield store
    store.close()


def note(note_id: str, class_id: str = "c1", **more: Any) -> dict[str, Any]:
    return {"id": note_id, "class": class_id, **more}


def table(store: TinyNoteStore, class_id: str = "c1") -> NoteTable:
    found = store.tables.table(class_id)
    assert isinstance(found, NoteTable)
    return found


# What we override. Each of these fails if TinyDB takes another way than through the two methods.

WRITES: dict[str, Callable[[Table], object]] = {
    "insert": lambda table: table.insert({"a": 1}),
    "insert_multiple": lambda table: table.insert_multiple([{"a": 1}]),
    "update": lambda table: table.update({"a": 2}),
    "update by id": lambda table: table.update({"a": 2}, doc_ids=[1]),
    "update_multiple": lambda table: table.update_multiple([({"a": 2}, where("a") == 1)]),
    "upsert": lambda table: table.upsert({"a": 2}, where("a") == 1),
    "remove": lambda table: table.remove(where("a") == 1),
    "remove by id": lambda table: table.remove(doc_ids=[1]),
    "truncate": lambda table: table.truncate(),
}
READS: dict[str, Callable[[Table], object]] = {
    "all": lambda table: table.all(),
    "search": lambda table: table.search(where("a") == 1),
    "get": lambda table: table.get(where("a") == 1),
    "get by id": lambda table: table.get(doc_id=1),
    "get by ids": lambda table: table.get(doc_ids=[1]),
    "contains": lambda table: table.contains(where("a") == 1),
    "count": lambda table: table.count(where("a") == 1),
    "len": len,
    "iter": list,
}


class Watched(Table):
    calls: list[str]

    def _read_table(self) -> Any:
        self.calls.append("read")
        return super()._read_table()

    def _update_table(self, updater: Any) -> None:
        self.calls.append("update")
        super()._update_table(updater)


def watched() -> Watched:
    database = TinyDB(storage=MemoryStorage)
    Watched(database.storage, "t").calls = []
    table = Watched.__new__(Watched)
    table.calls = []
    Watched.__init__(table, database.storage, "t")
    table.insert({"a": 1})
    table.calls.clear()
    return table


@pytest.mark.parametrize("write", WRITES)
def test_tinydb_sends_every_write_of_a_table_through_the_method_we_override(write: str) -> None:
    table = watched()
    WRITES[write](table)
    assert "update" in table.calls


@pytest.mark.parametrize("read", READS)
def test_tinydb_sends_every_read_of_a_table_through_the_method_we_override(read: str) -> None:
    table = watched()
    READS[read](table)
    assert set(table.calls) == {"read"}


def test_tinydb_has_no_further_public_ways_into_a_table() -> None:
    ours = {name.split(" ")[0] for name in [*WRITES, *READS]}
    public = {name for name, _ in inspect.getmembers(Table, inspect.isfunction) if not name.startswith("_")}
    assert public - ours == {"clear_cache"}


def test_tinydb_itself_touches_its_storage_only_by_these_ways() -> None:
    public = {name for name, _ in inspect.getmembers(TinyDB, inspect.isfunction) if not name.startswith("_")}
    assert public == {"table", "tables", "drop_tables", "drop_table", "close"}


def test_a_stock_insert_reads_nothing_and_writes_one_note(store: TinyNoteStore, monkeypatch: Any) -> None:
    store.append([note(f"n{number}") for number in range(50)])

    def refuse(*_: object) -> None:
        raise AssertionError("an insert must not look through the table")

    monkeypatch.setattr(store.tables.storage, "read", refuse)
    monkeypatch.setattr(store._shelf, "of_class", refuse)
    assert str(table(store).insert(note("new"))) == "new"
    assert store.since(50, 10).notes == [note("new")]


# What tables do.


def test_stock_queries_find_what_was_appended(store: TinyNoteStore) -> None:
    store.append([note("a", kind="mark", degree=2), note("b", kind="looked"), note("x", "c2", kind="mark")])
    marks = table(store).search(where("kind") == "mark")
    assert [(str(found.doc_id), dict(found)) for found in marks] == [("a", note("a", kind="mark", degree=2))]
    assert table(store).count(where("kind").one_of(["mark", "looked"])) == 2
    assert table(store).get(where("degree") > 1) == note("a", kind="mark", degree=2)
    assert len(table(store)) == 2
    assert [str(found.doc_id) for found in table(store)] == ["a", "b"]
    assert store.tables.tables() == {"c1", "c2"}


def test_an_answer_is_never_an_old_one(store: TinyNoteStore) -> None:
    query = where("kind") == "mark"
    assert table(store).search(query) == []
    store.append([note("a", kind="mark")])
    assert len(table(store).search(query)) == 1


def test_a_class_nobody_wrote_about_is_an_empty_table(store: TinyNoteStore) -> None:
    assert table(store, "c9").all() == []
    assert not table(store, "c9").contains(doc_id="a")  # type: ignore[arg-type]
    assert store.tables.tables() == set()


def test_inserts_are_as_durable_as_appends_and_share_their_order(store: TinyNoteStore, tmp_path: Path) -> None:
    store.append([note("a")])
    added = table(store).insert_multiple([note("b"), Document(note("c"), "c")])  # type: ignore[arg-type]
    added += table(store).upsert(note("d"), where("id") == "d")
    assert [str(note_id) for note_id in added] == ["b", "c", "d"]
    store.append([note("e", "c2")])
    store.close()
    again = TinyNoteStore(tmp_path / "show.journal")
    assert [found["id"] for found in again.since(0, 10).notes] == ["a", "b", "c", "d", "e"]
    again.close()


def test_an_insert_of_an_id_that_is_taken_in_any_class_is_refused(store: TinyNoteStore) -> None:
    store.append([note("a", "c2")])
    with pytest.raises(ValueError, match="already exists"):
        table(store).insert(note("a"))
    with pytest.raises(ValueError, match="already exists"):
        table(store).insert_multiple([note("b"), note("b")])
    assert store.head() == 1


@pytest.mark.parametrize(
    "document",
    [
        note("a", "c2"),
        {"class": "c1"},
        {"id": "a"},
        Document(note("a"), 7),
        note("a", at=float("nan")),
        note("a", text="\ud800"),
    ],
)
def test_an_insert_that_does_not_fit_the_table_is_refused(store: TinyNoteStore, document: Any) -> None:
    with pytest.raises(NoteUnfit):
        table(store).insert(document)
    assert store.head() == 0


CHANGES: dict[str, Callable[[Table], object]] = {
    "update": lambda table: table.update({"degree": 3}),
    "update by id": lambda table: table.update({"degree": 3}, doc_ids=["a"]),  # type: ignore[list-item]
    "update by an operation": lambda table: table.update(delete("degree")),
    "update_multiple": lambda table: table.update_multiple([({"degree": 3}, where("id") == "a")]),
    "upsert": lambda table: table.upsert(note("a", degree=3), where("id") == "a"),
    "remove": lambda table: table.remove(where("id") == "a"),
    "remove by id": lambda table: table.remove(doc_ids=["a"]),  # type: ignore[list-item]
    "truncate": lambda table: table.truncate(),
}


@pytest.mark.parametrize("change", CHANGES)
def test_a_note_is_never_changed_or_removed(store: TinyNoteStore, tmp_path: Path, change: str) -> None:
    store.append([note("a", degree=2)])
    written = (tmp_path / "show.journal").read_bytes()
    with pytest.raises(NoteKept, match="replaces it"):
        CHANGES[change](table(store))
    assert store.since(0, 9).notes == [note("a", degree=2)]
    assert (tmp_path / "show.journal").read_bytes() == written


def test_a_change_that_meets_no_note_changes_nothing_and_is_no_error(store: TinyNoteStore) -> None:
    store.append([note("a", degree=2)])
    assert table(store).update({"degree": 3}, where("id") == "b") == []
    assert table(store).remove(where("id") == "b") == []
    table(store, "c9").truncate()


def test_a_table_is_never_dropped(store: TinyNoteStore) -> None:
    store.append([note("a")])
    with pytest.raises(NoteKept):
        store.tables.drop_tables()
    with pytest.raises(NoteKept):
        store.tables.drop_table("c1")
    assert len(table(store)) == 1


def test_searching_while_others_write_never_fails_and_sees_whole_groups(store: TinyNoteStore) -> None:
    wrong: list[object] = []
    is_done = threading.Event()

    def search() -> None:
        while not is_done.is_set():
            found = [document.doc_id for document in table(store).search(where("kind") == "mark")]
            if len(found) % 2:
                wrong.append(found)

    def guarded() -> None:
        try:
            search()
        except BaseException as error:
            wrong.append(error)

    readers = [threading.Thread(target=guarded) for _ in range(2)]
    for reader in readers:
        reader.start()
    for number in range(100):
        store.append([note(f"a{number}", kind="mark"), note(f"b{number}", kind="mark")])
    is_done.set()
    for reader in readers:
        reader.join()
    assert wrong == []


def test_closing_the_tables_closes_the_store(store: TinyNoteStore) -> None:
    store.tables.close()
    with pytest.raises(StoreClosed):
        table(store).insert(note("a"))
    with pytest.raises(StoreClosed):
        store.head()
