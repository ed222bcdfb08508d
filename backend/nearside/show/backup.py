"""A backup of a data folder in one file, taken while it is served, and put back on any machine.

The file (`nearside-backup/1`) is a zip that anybody can open: `nearside-backup.json` lists what is in it with its size
and SHA-256, beside it are the catalogue and each show's journal, byte for byte as the server keeps them and as they
stood at one moment: a change is in it with all its notes, or with the promise of them, or not at all. Whatever was
acknowledged before the backup began is in it.

A backup is opened and read in full before it gets its name, and before it is put back; nothing half-done is ever in
the place of either. It holds the seats' codes: it is for the eyes that may see the data folder.
"""

from __future__ import annotations

import hashlib
import io
import re
import secrets
import shutil
import zipfile
import zlib
from pathlib import Path
from typing import Any, NamedTuple

from nearside.show.folder import catalogue_path, notes_path
from nearside.show.refusals import CannotOpen
from nearside.show.strict_json import canonical, read_json
from nearside.store.catalogue import tables_in
from nearside.store.disk import Disk, put_new_file, refusal, write_file
from nearside.store.notes import notes_in
from nearside.store.protocol import StoreDamaged
from nearside.store.still import read_together

FORMAT = "nearside-backup/1"
LIST = "nearside-backup.json"
CATALOGUE = catalogue_path(Path()).name
MOST_BYTES = 2 * 1024**3  # a million notes come to a third of a GiB
_LIST_AT_MOST = 1024**2
_NAME = re.compile(r"catalogue\.db|shows/[A-Za-z0-9_-][A-Za-z0-9._-]{0,99}\.notes")
_NOT_WHOLE = (
    zipfile.BadZipFile,
    zlib.error,
    EOFError,
    OSError,
    RuntimeError,  # encrypted
    NotImplementedError,  # packed in a way unknown here
    ValueError,
    TypeError,
    KeyError,
)


class Held(NamedTuple):
    """A show in a backup, and how many notes of it."""

    title: str
    notes: int


def back_up(data: Path, file: Path, now_ms: int, disk: Disk | None = None) -> list[Held]:
    """Copy a data folder into a new file. Raises: CannotOpen, StoreError; there is no file of that name then."""
    if file.exists():
        raise CannotOpen(f"{file} is there already: a backup takes no other's place, give it another name")
    if not file.parent.is_dir():
        raise CannotOpen(f"{file.parent} is no folder that is there")
    files = _copied(data)
    size = sum(len(content) for content in files.values())
    if size > MOST_BYTES:
        raise CannotOpen(
            f"{data} holds {size:,} bytes of shows, and a backup at most {MOST_BYTES:,}: stop the server and copy the "
            "folder itself, or take single shows out with nearside show-out"
        )
    packed = _packed(files, now_ms)
    return put_new_file(disk or Disk(), file, packed, lambda content: _unpacked(content, file)[1])


def restore(file: Path, data: Path, disk: Disk | None = None) -> list[Held]:
    """Put a backup into a folder that is not there yet, or holds nothing. Raises: CannotOpen, StoreError; the folder
    is as it was then.
    """
    disk = disk or Disk()
    data = data.absolute()
    if data.exists() and (not data.is_dir() or any(data.iterdir())):
        raise CannotOpen(f"{data} holds something already: restore into a folder that is new or empty")
    try:
        packed = file.read_bytes()
    except OSError as error:
        raise CannotOpen(f"{file}: can't be read: {error.strerror}") from None
    files, held = _unpacked(packed, file)
    beside = data.with_name(f".{data.name}.{secrets.token_hex(4)}")
    try:
        disk.make_dirs(beside / "shows")
        for name, content in files.items():
            write_file(disk, beside / name, content)
        disk.sync_dir(beside / "shows")
        disk.sync_dir(beside)
        disk.rename(beside, data)
        disk.sync_dir(data.parent)
    except OSError as error:
        raise refusal(data, "could not be put in place", error) from error
    finally:
        shutil.rmtree(beside, ignore_errors=True)
    return held


def _copied(data: Path) -> dict[str, bytes]:
    """The files of a data folder by their names in it."""
    catalogue, journals = read_together(
        catalogue_path(data),
        lambda found: {_journal(each["id"]): notes_path(data, each["id"]) for each in found.all("shows")},
    )
    return {**{name: journal.content for name, journal in journals.items()}, CATALOGUE: catalogue.content}


def _journal(show_id: str) -> str:
    """The name of a show's journal in a data folder and in a backup."""
    return notes_path(Path(), show_id).as_posix()


def _packed(files: dict[str, bytes], now_ms: int) -> bytes:
    listed = [
        {"name": name, "bytes": len(content), "sha256": hashlib.sha256(content).hexdigest()}
        for name, content in sorted(files.items())
    ]
    whole = io.BytesIO()
    with zipfile.ZipFile(whole, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr(LIST, canonical({"format": FORMAT, "made_at": now_ms, "files": listed}))
        for name in sorted(files):
            packed.writestr(name, files[name])
    return whole.getvalue()


def _unpacked(packed: bytes, file: Path) -> tuple[dict[str, bytes], list[Held]]:
    """The files of a backup, each proved whole, and the shows in them. Raises: CannotOpen."""
    try:
        with zipfile.ZipFile(io.BytesIO(packed)) as content:
            files = {each["name"]: _file(content, each) for each in _listed(content)}
    except _NOT_WHOLE:
        raise CannotOpen(f"{file} is no backup of a show, or not whole: take another copy of it") from None
    try:
        held = [
            Held(show["title"], len(notes_in(files[_journal(show_id)], file)[0]))
            for show_id, show in tables_in(files[CATALOGUE], file).get("shows", {}).items()
        ]
    except (StoreDamaged, KeyError):
        raise CannotOpen(f"{file} holds a damaged show: take another copy of it") from None
    return files, held


def _listed(content: zipfile.ZipFile) -> list[dict[str, Any]]:
    with content.open(LIST) as file:
        read = read_json(file.read(_LIST_AT_MOST))
    files = read["files"]
    sizes = [each["bytes"] for each in files]
    # A size below 0 would make room for others in the sum.
    if (
        read["format"] != FORMAT
        or not all(type(size) is int and size >= 0 for size in sizes)
        or sum(sizes) > MOST_BYTES
    ):
        raise ValueError
    return list(files)


def _file(content: zipfile.ZipFile, listed: dict[str, Any]) -> bytes:
    if not _NAME.fullmatch(listed["name"]):
        raise ValueError
    with content.open(listed["name"]) as file:
        data = file.read(listed["bytes"] + 1)
    if len(data) != listed["bytes"] or hashlib.sha256(data).hexdigest() != listed["sha256"]:
        raise ValueError
    return data
