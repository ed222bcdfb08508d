"""The notes of a show in memory: only durable ones, readable from any thread while the next group is being written.

Pure bookkeeping and the rule of what a note must be to be kept at all. It refuses what could not be given
back unchanged; whether a note makes sense is decided above the store.
"""

import json
import threading
from typing import Any

from nearside.store.protocol import Note, NoteUnfit, as_sent

_PLAIN = frozenset((str, int, float, bool, type(None)))
_DEEPEST = 8  # lists and objects within a note; real notes need 2, and reading must never run out of stack


class Shelf:
    """Notes by arrival, by id and by class. One thread adds at a time; readers take still copies."""

    def __init__(self) -> None:
        self.log: list[Note] = []
        self.ids: dict[str, Note] = {}
        self._classes: dict[str, dict[str, Note]] = {}
        self._changing = threading.Lock()  # held for a moment: readers never wait for the disk

    def show(self, kept: list[Note]) -> None:
        """Add notes that are on the medium."""
        with self._changing:
            for note in kept:
                self.ids[note["id"]] = note
                self._classes.setdefault(note["class"], {})[note["id"]] = note
            self.log.extend(kept)

    def class_ids(self) -> list[str]:
        """The classes somebody wrote about."""
        with self._changing:
            return list(self._classes)

    def of_class(self, class_id: str) -> dict[str, Note]:
        """The notes of a class by id, oldest first: a copy that stays still, of the notes themselves."""
        with self._changing:
            return dict(self._classes.get(class_id, {}))

    def live(self, class_id: str) -> dict[str, Note]:
        """The same, not copied: for looking up one id, or for the thread that adds."""
        return self._classes.get(class_id, {})


def taken(note: Any) -> Note:
    """The note as the store's own: a copy that JSON gives back exactly as it is.

    Raises `NoteUnfit` unless it is an object with an id and a class, made of what JSON knows and not deeper
    than notes are. (Not a number, and half a surrogate pair, are left to the writing of the JSON, which
    refuses them.) Done for every note that arrives, hence in one pass.
    """
    if not isinstance(note, dict):
        raise NoteUnfit("is not a JSON object.")
    own = dict(note)
    for field, value in own.items():
        if type(value) not in _PLAIN:  # nearly everything in a note is
            own[field] = _taken_within(value, _DEEPEST)
    for field in ("id", "class"):
        text = own.get(field)
        if type(text) is not str or not text:
            raise NoteUnfit(f"needs the field {field!r}: text that is not empty.")
    _check_names(own)
    return own


def is_same(one: Note, other: Note) -> bool:
    """Same content, but for the server's own fields: the same JSON but for the order of fields, so that 1, 1.0 and true
    are three things.
    """
    try:
        return json.dumps(as_sent(one), sort_keys=True) == json.dumps(as_sent(other), sort_keys=True)
    except (ValueError, TypeError):
        return False  # a note that is no JSON is not the one we hold


def copied(value: Any) -> Any:
    """A copy that shares no list or object with the original."""
    if isinstance(value, dict):
        return {key: copied(inner) if isinstance(inner, dict | list) else inner for key, inner in value.items()}
    return [copied(inner) if isinstance(inner, dict | list) else inner for inner in value]


def _taken_within(value: Any, allowed: int) -> Any:
    if type(value) in _PLAIN:
        return value
    if not isinstance(value, (dict, list, tuple)):
        raise NoteUnfit(f"is not plain JSON: it holds a {type(value).__name__}.")
    if allowed == 0:
        raise NoteUnfit(f"holds lists or objects more than {_DEEPEST} deep.")
    if isinstance(value, dict):
        _check_names(value)
        return {name: _taken_within(inner, allowed - 1) for name, inner in value.items()}
    return [_taken_within(inner, allowed - 1) for inner in value]


def _check_names(value: dict[Any, Any]) -> None:
    try:
        "".join(value)  # the quickest way to ask whether all are text
    except TypeError:
        raise NoteUnfit("is not plain JSON: a name in it is not text.") from None
