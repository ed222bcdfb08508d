"""A data folder's files read while another process holds and writes them: nothing is locked, nothing is changed.

Both kinds of file allow it by how they are written. The catalogue's name always leads to a whole content, for a new
one is put in its place in one step. A journal only grows, so whatever is read of it is a row of whole groups, perhaps
followed by one that is being written: that one is left out, for nobody was told yet that it is kept.

What belongs to one change stands in both, the catalogue first. So they are only read as they stood at one moment when
the catalogue was the same before the journals were read and after.
"""

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, NamedTuple

from nearside.store.catalogue import tables_in
from nearside.store.disk import refusal
from nearside.store.journal import content_of
from nearside.store.notes import notes_in
from nearside.store.protocol import Note, Record, StoreFailed

MOST_READINGS = 10  # only a show table or devices that join without a pause come in between so often


class StillNotes(NamedTuple):
    """A journal's content up to the end of its last whole group, and the notes in it, oldest first."""

    content: bytes
    notes: list[Note]


class StillCatalogue(NamedTuple):
    """A catalogue's content, and its records by table and key."""

    content: bytes
    tables: dict[str, dict[str, Any]]

    def all(self, table: str) -> list[Record]:
        """Every record of a table in order of key."""
        records = self.tables.get(table, {})
        return [records[key] for key in sorted(records)]


def read_notes(path: Path) -> StillNotes:
    """The journal at a path; one without notes where there is none. Raises `StoreDamaged` or `StoreFailed`."""
    data = _content(path) if path.exists() else b""
    notes, end = notes_in(data, path)
    return StillNotes(data[:end] or content_of([]), notes)


def read_catalogue(path: Path) -> StillCatalogue:
    """The catalogue at a path. Raises `StoreDamaged`, or `StoreFailed` where there is none to read."""
    data = _content(path)
    return StillCatalogue(data, tables_in(data, path))


def read_together(
    catalogue_path: Path, journals_of: Callable[[StillCatalogue], Mapping[str, Path]]
) -> tuple[StillCatalogue, dict[str, StillNotes]]:
    """A catalogue and journals it leads to, as they stood at one moment. Raises as the others do."""
    catalogue = read_catalogue(catalogue_path)
    for _ in range(MOST_READINGS):
        journals = {name: read_notes(path) for name, path in journals_of(catalogue).items()}
        before, catalogue = catalogue, read_catalogue(catalogue_path)
        if catalogue.content == before.content:
            return catalogue, journals
    raise StoreFailed(f"{catalogue_path} changed each time it was read, {MOST_READINGS} times over. Try again.")


def _content(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except FileNotFoundError:
        raise StoreFailed(f"There is no {path}: name the data folder of a show with --data.") from None
    except OSError as error:
        raise refusal(path, "could not be read", error) from error
