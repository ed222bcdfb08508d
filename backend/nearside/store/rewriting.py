"""A journal written anew, for the one case in which notes do not stay as they are: words are taken out of them.

The whole new journal goes into a second file, is synced, and takes the first one's place in one step. Before that
step every note is as it was, after it every note is as it shall be; a crash leaves one or the other, and doing it again
is harmless.
"""

from collections.abc import Callable
from pathlib import Path

from nearside.store import lines
from nearside.store.disk import Disk, refusal, write_file
from nearside.store.journal import Journal, content_of
from nearside.store.notes import notes_of
from nearside.store.protocol import Note


def rewrite(path: Path, change: Callable[[Note], Note], disk: Disk | None = None) -> int:
    """Put what `change` makes of each note in its place; how many it changed.

    The order of the notes and their groups stay; id and class have to. Raises `StoreLocked` while a server holds the
    journal, `StoreDamaged`, `StoreFull` or `StoreFailed`; then every note is as it was, but for a `StoreFailed` by the
    very last step, which says that neither can be promised.
    """
    disk = disk or Disk()
    journal = Journal(path, disk)  # held to the end, so that nobody adds a note meanwhile
    try:
        held: set[str] = set()
        count = 0
        payloads = []
        for offset, group in journal.take_groups():
            notes = notes_of(group, held, path, offset)
            held |= {note["id"] for note in notes}
            changed = [change(note) for note in notes]
            assert [(each["id"], each["class"]) for each in changed] == [(each["id"], each["class"]) for each in notes]
            count += sum(new != old for new, old in zip(changed, notes, strict=True))
            payloads.append(lines.to_json(changed))
        if count:
            _put_in_place(path, content_of(payloads), disk)
        return count
    finally:
        journal.close()


def _put_in_place(path: Path, content: bytes, disk: Disk) -> None:
    new = path.with_name(path.name + ".new")
    try:
        try:
            write_file(disk, new, content)
            disk.rename(new, path)
        except OSError:
            disk.remove(new)
            raise
        disk.sync_dir(path.parent)
    except OSError as error:
        raise refusal(path, "could not be replaced", error) from error
