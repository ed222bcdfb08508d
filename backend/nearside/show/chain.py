"""The hash chain of each class's log: whatever was changed before a signature shows.

A class's chain begins with the hash of a fixed text, its show and its id; the head after a note is the hash of the
head before it and of the note's digest. A signature is kept with the head before it (`_head`) and its own digest
(`_digest`), so anybody who has the log can work the heads out again and compare. The head
after the newest signature of a judge stands on the printed result: paper is what nobody can rewrite.

What somebody wrote in words is in the digest by a hash of its own, salted (`_salt` on the note), so that the words can
be taken out when the show is over: `TAKEN_OUT` stands for them, their hash goes into `_removed`, the salt goes away,
lest short words be guessed from their hash, and every head stays what it was.

Nothing is worked out when an ordinary note is kept; a class's chain goes on when somebody signs.
"""

from __future__ import annotations

import hashlib
import secrets
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from typing import Any, NamedTuple

from nearside.show.strict_json import canonical
from nearside.store.protocol import Note, NoteStore

FORMAT = "nearside-chain/1"
TAKEN_OUT = "(taken out)"  # stands for the words; where nothing can, as for identification marks, nothing does
_NOTHING_STANDS_FOR = frozenset(("identification",))

FREE_TEXT: dict[str, tuple[str, ...]] = {
    "remark": ("text",),
    "ruling": ("reason",),
    "sign": ("reason",),
    "lameness": ("gait", "limb", "circumstance", "text"),
    "entry": ("identification", "reason"),
}
"""What of a kind of note is somebody's own words, and may hold a name."""

# On the note, but no part of what its digest stands for.
_ABOUT_THE_DIGEST = frozenset(("_head", "_digest", "_salt", "_removed"))


class Chain:
    """The chains of one show's classes, each worked out as far as somebody signed."""

    def __init__(self, show_id: str) -> None:
        self._show_id = show_id
        self._reached: dict[str, tuple[int, str]] = {}  # how many notes of a class, and the head after them

    def complete(self, log: NoteStore, fresh: Sequence[Note]) -> None:
        """Put on notes that are about to be kept what the chain needs: salt, and a signature's head and digest.

        For the store to call with the new notes of one group, in the order of its log, while nobody else writes.
        """
        for place, note in enumerate(fresh):
            kind = note.get("kind")
            if kind in FREE_TEXT and any(note.get(field) is not None for field in FREE_TEXT[kind]):
                note["_salt"] = secrets.token_hex(16)
            if kind == "sign":
                class_id = note["class"]
                head = self._head(log, class_id)
                for earlier in fresh[:place]:
                    if earlier["class"] == class_id:
                        head = head_after(head, digest_of(earlier))
                note["_head"] = head
                note["_digest"] = digest_of(note)

    def _head(self, log: NoteStore, class_id: str) -> str:
        """The head after all that is kept of a class."""
        count, head = self._reached.get(class_id) or (0, first_head(self._show_id, class_id))
        notes = log.of_class(class_id)
        for note in notes[count:]:
            head = head_after(head, digest_of(note))
        self._reached[class_id] = (len(notes), head)
        return head


def printed_head(notes: Iterable[Mapping[str, Any]], judges: Collection[str]) -> str | None:
    """The head after the newest signature on a judge's card, to stand on the printed result of a class.

    It covers all that the result rests on. The newest head of all would change with every note that is sealed to those
    who print it, and so tell them of it.
    """
    signed = [note for note in notes if note["kind"] == "sign" and note["card"] in judges and "_head" in note]
    return head_after(signed[-1]["_head"], signed[-1]["_digest"]) if signed else None


def first_head(show_id: str, class_id: str) -> str:
    """The head of a class of which nothing is noted."""
    return _hash([FORMAT, show_id, class_id])


def head_after(head: str, digest: str) -> str:
    """The head after one more note, given by its digest."""
    return hashlib.sha256(f"{head} {digest}".encode()).hexdigest()


def digest_of(note: Mapping[str, Any]) -> str:
    """What stands for the whole note, its words by their salted hashes."""
    said = {field: value for field, value in note.items() if field not in _ABOUT_THE_DIGEST}
    removed = note.get("_removed") or {}
    for field in FREE_TEXT.get(str(note.get("kind")), ()):
        value = note.get(field)
        if field in removed and value == _stand_in(field):
            said[field] = {"hash": removed[field]}
        elif value is not None:
            said[field] = {"hash": _hash([note.get("_salt"), field, value])}
    return _hash(said)


def digest_in_copy(note: Mapping[str, Any]) -> str:
    """The same in a copy that holds of some notes no more than their digest, as `sealed`."""
    return str(note["sealed"]) if "sealed" in note else digest_of(note)


def without_words(note: Note) -> Note:
    """The note with somebody's own words taken out and its digest as it was; the note itself where it has none.

    >>> without_words({"id": "n1", "class": "c1", "kind": "remark", "text": None})
    {'id': 'n1', 'class': 'c1', 'kind': 'remark', 'text': None}
    """
    known = note.get("_removed") or {}
    fields = [
        field
        for field in FREE_TEXT.get(str(note.get("kind")), ())
        if note.get(field) is not None and not (field in known and note[field] == _stand_in(field))
    ]
    if not fields:
        return note
    left = {field: value for field, value in note.items() if field != "_salt"}
    removed = {field: _hash([note.get("_salt"), field, note[field]]) for field in fields}
    return {**left, **{field: _stand_in(field) for field in fields}, "_removed": {**known, **removed}}


def _stand_in(field: str) -> str | None:
    return None if field in _NOTHING_STANDS_FOR else TAKEN_OUT


class Span(NamedTuple):
    """Part of a class's log that a signature covers: notes `first` to `last`, counted from 1, and whether it holds."""

    first: int
    last: int
    signature: Note
    is_whole: bool
    """What is before the signature is what was there when it was given."""
    is_own_whole: bool
    """The signature itself is what was kept."""


class Verified(NamedTuple):
    """What was found of one class."""

    spans: list[Span]
    notes: int
    head: str
    after: dict[str, int]
    """How many notes there were at each head that ever was."""
    taken_out: int
    """How many texts were taken out."""

    @property
    def uncovered(self) -> int:
        """How many notes no signature covers."""
        return self.notes - (self.spans[-1].last + 1 if self.spans else 0)

    @property
    def is_whole(self) -> bool:
        return all(span.is_whole and span.is_own_whole for span in self.spans)


def verified(
    show_id: str, class_id: str, notes: Iterable[Note], digest: Callable[[Mapping[str, Any]], str] = digest_of
) -> Verified:
    """A class's log, given oldest first, held against the head in each signature.

    After a part that does not hold it goes on from the head that stands in the signature, so that each part is judged
    by itself. In a log nothing may stand for a note but the note: only for a copy is `digest` another one.
    """
    head = first_head(show_id, class_id)
    after = {head: 0}
    spans: list[Span] = []
    count = taken_out = 0
    for note in notes:
        if note.get("kind") == "sign":
            first = spans[-1].last + 1 if spans else 1
            spans.append(Span(first, count, note, note.get("_head") == head, note.get("_digest") == digest(note)))
            head = note.get("_head") or head
        head = head_after(head, digest(note))
        count += 1
        after[head] = count
        taken_out += len(note.get("_removed") or ())
    return Verified(spans, count, head, after, taken_out)


def by_class(notes: Iterable[Note]) -> dict[str, list[Note]]:
    """The notes of a log by class, each oldest first."""
    classes: dict[str, list[Note]] = {}
    for note in notes:
        classes.setdefault(note["class"], []).append(note)
    return classes


def _hash(value: Any) -> str:
    return hashlib.sha256(canonical(value).encode()).hexdigest()
