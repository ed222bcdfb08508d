"""Which signatures stand, read from the `sign` notes alone in the order they arrived.

A card is signed while the note in force in its slot has numbers. A server that starts again reads the same notes in
the same order and so comes to the same answer, at every place of the log.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple, cast

from nearside.engine.merging import is_empty, merge
from nearside.engine.shapes import Note


def is_from_paper(sign: Mapping[str, Any]) -> bool:
    """Whether somebody else than the card's own seat entered a signature: the office, from paper."""
    return bool(sign["by"] != sign["card"])


class Standing(NamedTuple):
    """The signature that stands on a card: the note in force, and all that stand beside it where they differ."""

    id: str
    at: int
    ids: frozenset[str]
    """The current notes with numbers: the office may have entered from paper what the judge signed as well."""
    by: frozenset[str]
    """Who wrote those."""


def standing_on(card: str, signs: Sequence[dict[str, Any]]) -> Standing | None:
    """What stands on a card after these `sign` notes of it, in any order; None where it is open."""
    if not signs:
        return None
    (slot,) = merge([], cast("list[Note]", signs), card)["slots"]
    used = slot["used"]
    if is_empty(used):
        return None
    current = set(slot["current"])
    signed = [note for note in signs if note["id"] in current and note["numbers"] is not None]
    return Standing(
        id=used["id"],
        at=used["at"],
        ids=frozenset(note["id"] for note in signed),
        by=frozenset(note["by"] for note in signed),
    )
