"""A journal written anew: every note as it shall be, in the order and the groups it was in."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from nearside.store.journal import groups_in
from nearside.store.notes import TinyNoteStore
from nearside.store.protocol import Note, StoreDamaged, StoreLocked
from nearside.store.rewriting import rewrite


def upper(note: Note) -> Note:
    return {**note, "text": note["text"].upper()}


def filled(path: Path) -> None:
    store = TinyNoteStore(path)
    store.append([{"id": "a", "class": "c1", "text": "x"}, {"id": "b", "class": "c2", "text": "Y"}])
    store.append([{"id": "c", "class": "c1", "text": "z"}])
    store.close()


def groups(path: Path) -> list[list[Any]]:
    return [[(each["id"], each["text"]) for each in group] for _, group in groups_in(path.read_bytes(), path)[0]]


def test_each_note_is_changed_in_its_place_and_the_store_goes_on(tmp_path: Path) -> None:
    path = tmp_path / "show.notes"
    filled(path)
    assert rewrite(path, upper) == 2
    assert groups(path) == [[("a", "X"), ("b", "Y")], [("c", "Z")]]
    store = TinyNoteStore(path)
    assert [each["text"] for each in store.of_class("c1")] == ["X", "Z"]
    store.append([{"id": "d", "class": "c1", "text": "w"}])
    store.close()
    assert rewrite(path, upper) == 1
    assert [each.name for each in tmp_path.iterdir()] == ["show.notes"]


def test_where_nothing_changes_the_file_stays_as_it_is(tmp_path: Path) -> None:
    path = tmp_path / "show.notes"
    filled(path)
    before = path.stat().st_ino
    assert rewrite(path, lambda note: note) == 0
    assert path.stat().st_ino == before


def test_a_journal_somebody_holds_or_that_is_damaged_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "show.notes"
    filled(path)
    before = path.read_bytes()
    store = TinyNoteStore(path)
    with pytest.raises(StoreLocked):
        rewrite(path, upper)
    store.close()
    assert path.read_bytes() == before
    path.write_bytes(before.replace(b"Y", b"y"))
    with pytest.raises(StoreDamaged):
        rewrite(path, upper)
    assert path.read_bytes() == before.replace(b"Y", b"y")


def test_a_change_that_fails_changes_nothing(tmp_path: Path) -> None:
    path = tmp_path / "show.notes"
    filled(path)
    before = path.read_bytes()
    with pytest.raises(KeyError):
        rewrite(path, lambda note: {**note, "text": note["nothing"]})
    assert path.read_bytes() == before
    rewrite(path, upper)  # and nobody holds it
