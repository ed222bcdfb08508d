"""A whole show out of a data folder and into another, as one file."""

from __future__ import annotations

from pathlib import Path

from nearside.show.folder import catalogue_path, notes_path
from nearside.show.records import Kept
from nearside.show.refusals import CannotOpen, Refusal
from nearside.show.showfile import BYTES_AT_MOST, TABLES, read_show_file, show_file, taking_in
from nearside.show.strict_json import Refused, canonical
from nearside.store.catalogue import TinyCatalogue
from nearside.store.disk import Disk, put_new_file
from nearside.store.notes import TinyNoteStore
from nearside.store.protocol import Note, Record
from nearside.store.still import read_together

_AT_ONCE = 500


def show_out(data: Path, show_id: str | None, file: Path, disk: Disk | None = None) -> tuple[Record, int]:
    """Write a show of a data folder, which may be served meanwhile, into a new file; the show, and how many notes.

    What was written is read again as it will be on the way in, before it gets its name. Raises: CannotOpen, StoreError;
    there is no file of that name then.
    """
    if file.exists():
        raise CannotOpen(f"{file} is there already: give the show's file another name")
    catalogue, journals = read_together(
        catalogue_path(data), lambda found: {"notes": notes_path(data, show_asked(found, show_id)["id"])}
    )
    show, notes = show_asked(catalogue, show_id), journals["notes"].notes
    try:
        content = canonical(show_file({table: catalogue.all(table) for table in TABLES}, show, notes)).encode()
        put_new_file(disk or Disk(), file, content, read_show_file)
    except (Refusal, Refused) as refused:
        raise CannotOpen(f"the show {show['id']} can't be put into a file: {refused}") from None
    return show, len(notes)


def show_in(file: Path, data: Path) -> tuple[Record, int]:
    """Take the show of a file into a data folder that is not being served; the show, and how many notes.

    As when a show is opened, the notes go first: it is there whole or not at all, and taking it in again after an
    interruption doubles none. Raises: CannotOpen, StoreError; nothing was changed then.
    """
    try:
        with file.open("rb") as content:
            given = read_show_file(content.read(BYTES_AT_MOST + 1))
    except Refused as refused:
        raise CannotOpen(f"{file}: {refused}") from None
    except OSError as error:
        raise CannotOpen(f"{file}: can't be read: {error.strerror}") from None
    show: Record = dict(given["show"])
    catalogue = TinyCatalogue(catalogue_path(data))
    try:
        if catalogue.get("shows", show["id"]) is not None:
            raise CannotOpen(f"{data} has the show {show['id']} already: nothing was changed")
        changes = taking_in(given, (each["code"] for each in catalogue.all("seats")))
        _keep(notes_path(data, show["id"]), given["notes"])
        catalogue.change(changes)
    finally:
        catalogue.close()
    return show, len(given["notes"])


def show_asked(catalogue: Kept, show_id: str | None) -> Record:
    """The show of this id, or the only one where none is asked for. Raises: CannotOpen."""
    shows = [each for each in catalogue.all("shows") if show_id in (None, each["id"])]
    if len(shows) == 1:
        return shows[0]
    there = ", ".join(each["id"] for each in catalogue.all("shows")) or "none"
    raise CannotOpen(f"say with --show which show; there are: {there}")


def _keep(path: Path, notes: list[Note]) -> None:
    """Notes with all the server put on them, into a log that holds nothing but a beginning of them."""
    store = TinyNoteStore(path)
    try:
        held = store.head()
        if held > len(notes) or (held and store.since(0, held).notes != notes[:held]):
            raise CannotOpen(f"{path} holds notes of another show, left by one that was never opened: move it away")
        for start in range(held, len(notes), _AT_ONCE):
            store.append(notes[start : start + _AT_ONCE])
    finally:
        store.close()
