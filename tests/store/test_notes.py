"""The embedded note store beyond the contract of its seam: what is in its file and what it says of a wrong one."""

from pathlib import Path
from typing import Any

import pytest

from nearside.store import lines
from nearside.store.disk import Disk
from nearside.store.journal import Journal
from nearside.store.notes import TinyNoteStore
from nearside.store.protocol import NoteUnfit, StoreDamaged, StoreLocked


def note(note_id: str, class_id: str = "c1", **more: Any) -> dict[str, Any]:
    return {"id": note_id, "class": class_id, **more}


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "show.journal"


def test_only_new_notes_are_written_and_an_append_of_known_ones_writes_nothing(path: Path) -> None:
    store = TinyNoteStore(path)
    store.append([note("a"), note("b")])
    size = path.stat().st_size
    store.append([note("a"), note("b"), note("a", degree=1)])
    assert path.stat().st_size == size
    store.append([note("a"), note("c")])
    assert path.read_text()[size:].count('"id"') == 1
    store.close()


def test_one_append_is_one_line_whatever_its_classes(path: Path) -> None:
    store = TinyNoteStore(path)
    store.append([note("a", "c1"), note("b", "c2"), note("c", "c3")])
    assert path.read_text().count("\n") == 2
    store.close()


def test_memory_holds_what_a_reopened_store_would_read(path: Path) -> None:
    store = TinyNoteStore(path)
    store.append([note("a", pair=("12", "7"), share=1e3)])
    shown = store.since(0, 9).notes
    store.close()
    again = TinyNoteStore(path)
    assert shown == again.since(0, 9).notes == [note("a", pair=["12", "7"], share=1000.0)]
    again.close()


def test_the_refusal_of_a_note_that_is_no_json_names_it(path: Path) -> None:
    store = TinyNoteStore(path)
    with pytest.raises(NoteUnfit, match=r"^Note 2 is not plain JSON: it holds a set"):
        store.append([note("a"), note("b", degree={1, 2}), note("c")])
    with pytest.raises(NoteUnfit, match="The note 'b' is not plain JSON"):
        store.append([note("a"), note("b", at=float("nan")), note("c")])
    with pytest.raises(NoteUnfit, match=r"^Note 2 needs the field 'id'"):
        store.append([note("a"), {"class": "c1"}])
    store.close()


def test_two_stores_on_one_file_are_refused(path: Path) -> None:
    store = TinyNoteStore(path)
    with pytest.raises(StoreLocked):
        TinyNoteStore(path)
    store.close()


WRONG_GROUPS: dict[str, Any] = {
    "no list": {"id": "b"},
    "a number": 7,
    "a note without id": [{"class": "c1"}],
    "a note that is no object": ["b"],
    "a note held already": [note("a")],
    "a note twice in one group": [note("b"), note("b")],
}


@pytest.mark.parametrize("what", WRONG_GROUPS)
def test_a_line_with_a_right_checksum_and_wrong_content_is_refused_with_its_place(path: Path, what: str) -> None:
    store = TinyNoteStore(path)
    store.append([note("a")])
    store.close()
    size = path.stat().st_size
    journal = Journal(path, Disk())
    journal.append(lines.to_json(WRONG_GROUPS[what]))
    journal.append(lines.to_json([note("z")]))
    journal.close()
    content = path.read_bytes()
    with pytest.raises(StoreDamaged, match="no group of notes") as damage:
        TinyNoteStore(path)
    assert damage.value.offset == size
    assert path.read_bytes() == content
    with pytest.raises(StoreDamaged):  # and the lock was let go
        TinyNoteStore(path)
