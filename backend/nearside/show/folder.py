"""The folder a show's data is in: where its files are, and opening a show or adding classes while it is not served.

The notes go first, into a log nobody looks for until the catalogue names the show or the class: so each is there whole,
or not at all.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from nearside.engine.shapes import ClassFile, Standard
from nearside.show.chain import Chain
from nearside.show.classfile import same_content
from nearside.show.opening import OpenedSeat, adding_changes, notes_with_cards, opening_changes
from nearside.show.refusals import CannotOpen
from nearside.show.seats import Seat
from nearside.show.strict_json import shown
from nearside.store.catalogue import TinyCatalogue
from nearside.store.notes import TinyNoteStore
from nearside.store.protocol import Catalogue, Change, Record, as_sent


def catalogue_path(data: Path) -> Path:
    """Where a data folder keeps its catalogue."""
    return data / "catalogue.db"


def notes_path(data: Path, show_id: str) -> Path:
    """Where a data folder keeps the log of a show."""
    return data / "shows" / f"{show_id}.notes"


def open_notes(data: Path, show_id: str) -> TinyNoteStore:
    """The log of a show, each class's notes a chain. Raises: StoreError."""
    return TinyNoteStore(notes_path(data, show_id), complete=Chain(show_id).complete)


def open_in_folder(
    data: Path,
    show_id: str,
    title: str,
    files: Sequence[tuple[ClassFile, Standard]],
    seats: Sequence[Seat],
    notes: Sequence[dict[str, Any]],
    finish: Callable[[Sequence[Change]], Sequence[Change]] = list,
) -> list[OpenedSeat]:
    """Open a show in a data folder that is not being served. Raises: CannotOpen, StoreError.

    `finish` may add to the records before they are written.
    """
    catalogue = TinyCatalogue(catalogue_path(data))
    try:
        changes, opened = opening_changes(catalogue, show_id, title, files, seats, time.time_ns() // 1_000_000)
        _append(data, show_id, notes)
        catalogue.change(finish(changes))
    finally:
        catalogue.close()
    return opened


def add_in_folder(
    data: Path, show_id: str | None, files: Sequence[tuple[ClassFile, Standard]], *, with_notes: bool
) -> str:
    """Add classes to a show of a data folder that is not being served; returns the show's title.

    Adding them again after an interruption doubles no note. Raises: CannotOpen, StoreError.
    """
    catalogue = TinyCatalogue(catalogue_path(data))
    try:
        show = _show_asked(catalogue, show_id)
        changes, judges = adding_changes(catalogue, show["id"], files)
        if with_notes:
            _append(data, show["id"], notes_with_cards([each for each, _ in files], judges))
        catalogue.change(changes)
        title: str = show["title"]
    finally:
        catalogue.close()
    return title


def _show_asked(catalogue: Catalogue, show_id: str | None) -> Record:
    """The show of this id, or the only one where none is asked for. Raises: CannotOpen."""
    shows = [each for each in catalogue.all("shows") if show_id in (None, each["id"])]
    if len(shows) == 1:
        return shows[0]
    there = ", ".join(each["id"] for each in catalogue.all("shows")) or "none"
    raise CannotOpen(f"say with --show which show gets the class; there are: {there}")


def _append(data: Path, show_id: str, notes: Sequence[dict[str, Any]]) -> None:
    """Put notes into a show's log. Raises: CannotOpen where one is in it with other content; then none is put there."""
    store = open_notes(data, show_id)
    try:
        held: dict[str, dict[str, Any]] = {}
        page = store.since(0, 500)
        while page.notes:
            held |= {each["id"]: as_sent(each) for each in page.notes}
            page = store.since(page.cursor, 500)
        for note in notes:
            other = held.get(note["id"], note)
            if not same_content(other, note):
                raise CannotOpen(
                    f"the show holds the note {shown(note['id'])} already, in class {shown(other['class'])} and with "
                    "other content: add the class without --with-notes, or to another show"
                )
        given = {note["id"] for note in notes}
        classes = {note["class"] for note in notes}
        for other in held.values():
            if other["class"] in classes and other["id"] not in given:
                raise CannotOpen(
                    f"the show's log holds notes of class {shown(other['class'])} from another file, whose adding was "
                    "broken off: add that file again first, or give this class another id"
                )
        for start in range(0, len(notes), 500):
            store.append(notes[start : start + 500])
    finally:
        store.close()
