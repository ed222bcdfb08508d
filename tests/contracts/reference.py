"""The two seams of the store in the plainest way, in memory: a second implementation, to keep the suites
honest.

A suite that only ever ran on one implementation tends to test that one. These keep their content in an
object that outlives them, so that they can be "opened again".
"""

import json
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from threading import Lock

from nearside.store.protocol import Change, Complete, Note, NoteUnfit, Page, Receipt, Record, RecordUnfit, StoreClosed

TABLES = ("shows", "classes", "entries", "championships", "seats", "devices")


class MemoryNoteStore:
    """A list of notes as JSON text."""

    def __init__(self, texts: list[str], complete: Complete | None = None) -> None:
        self.texts = texts
        self.complete = complete
        self.is_open = True
        self.writing = Lock()

    def append(self, notes: Sequence[Note]) -> list[Receipt]:
        with self.writing:
            return self._append(notes)

    def _append(self, notes: Sequence[Note]) -> list[Receipt]:
        self._check_open()
        held = {note["id"]: note for note in map(json.loads, self.texts)}
        fresh: list[Note] = []
        receipts: list[Receipt] = []
        for note in notes:
            text = _as_text(note)
            for field in ("id", "class"):
                if not isinstance(note.get(field), str) or not note[field]:
                    raise NoteUnfit(f"no {field}")
            if note["id"] not in held:
                held[note["id"]] = json.loads(text)
                fresh.append(json.loads(text))
                receipts.append(Receipt(note["id"], "kept"))
            else:
                is_same = _sent(held[note["id"]]) == _sent(note)
                receipts.append(Receipt(note["id"], "known" if is_same else "clash"))
        if fresh and self.complete is not None:
            self.complete(self, fresh)
        self.texts.extend(map(_as_text, fresh))
        return receipts

    def since(self, cursor: int, limit: int) -> Page:
        self._check_open()
        if cursor < 0 or limit < 1:
            raise ValueError("no such page")
        start = cursor if cursor <= len(self.texts) else 0
        end = min(start + limit, len(self.texts))
        return Page([json.loads(text) for text in self.texts[start:end]], end, end < len(self.texts))

    def note(self, note_id: str) -> Note | None:
        self._check_open()
        return next((note for note in map(json.loads, self.texts) if note["id"] == note_id), None)

    def of_class(self, class_id: str) -> list[Note]:
        self._check_open()
        return [note for note in map(json.loads, self.texts) if note["class"] == class_id]

    def head(self) -> int:
        self._check_open()
        return len(self.texts)

    @contextmanager
    def held(self) -> Iterator[None]:
        with self.writing:
            self._check_open()
            yield

    def close(self) -> None:
        self.is_open = False

    def _check_open(self) -> None:
        if not self.is_open:
            raise StoreClosed("closed")


class MemoryCatalogue:
    """A dict of records as JSON text."""

    def __init__(self, texts: dict[tuple[str, str], str]) -> None:
        self.texts = texts
        self.is_open = True

    def get(self, table: str, key: str) -> Record | None:
        self._check(table)
        text = self.texts.get((table, key))
        return None if text is None else dict(json.loads(text))

    def all(self, table: str) -> list[Record]:
        self._check(table)
        return [json.loads(self.texts[at]) for at in sorted(self.texts) if at[0] == table]

    def change(self, changes: Sequence[Change]) -> None:
        new = dict(self.texts)
        for table, key, record in changes:
            self._check(table)
            if not isinstance(key, str) or not key:
                raise RecordUnfit("no key")
            if any("\ud800" <= character <= "\udfff" for character in key):
                raise RecordUnfit("a key that is no text")
            new.pop((table, key), None)
            if record is not None:
                if not isinstance(record, dict):
                    raise RecordUnfit("no object")
                try:
                    new[table, key] = _as_text(record)
                except NoteUnfit as error:
                    raise RecordUnfit(str(error)) from error
        self.texts.clear()
        self.texts.update(new)

    def close(self) -> None:
        self.is_open = False

    def _check(self, table: str) -> None:
        if not self.is_open:
            raise StoreClosed("closed")
        if table not in TABLES:
            raise RecordUnfit("no such table")


def _sent(note: Note) -> str:
    """What makes a note the same: all but the fields the server puts on it."""
    return _as_text({name: note[name] for name in note if name[:1] != "_"}, in_order=True)


def _as_text(value: object, *, in_order: bool = False) -> str:
    """JSON, or `NoteUnfit` for what JSON cannot carry."""
    if not isinstance(value, dict):
        raise NoteUnfit("no object")
    try:
        text = json.dumps(value, sort_keys=in_order, allow_nan=False, ensure_ascii=False)
        text.encode()
    except (ValueError, TypeError, RecursionError) as error:
        raise NoteUnfit(str(error)) from error
    return text
