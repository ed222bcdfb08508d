"""What the signatures of a class open.

Read from the `sign` notes alone, in the order they arrived, so that a server that starts again comes to the same
answer: it asks after each of them whether every judge's signature stood then. Once it did, the signed order is out,
and stays out when a signature is taken back: nobody can unread it.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, cast

from nearside.engine.merging import is_empty, merge
from nearside.engine.shapes import Note
from nearside.show.seats import Signatures


def signatures_of(notes: Iterable[dict[str, Any]], judges: frozenset[str]) -> Signatures:
    """The signatures among the notes of one class, given in order of arrival."""
    signs: dict[str, list[dict[str, Any]]] = {}
    ids: set[str] = set()
    standing: set[str] = set()
    signed: set[str] = set()
    is_released = False
    for note in notes:
        if note["kind"] != "sign":
            continue
        card = note["card"]
        ids.add(note["id"])
        signs.setdefault(card, []).append(note)
        if _stands(signs[card], card):
            standing.add(card)
            signed.add(card)
        else:
            standing.discard(card)
        is_released = is_released or (bool(judges) and judges <= standing)
    return Signatures(frozenset(ids), frozenset(signed), is_released)


def _stands(signs: list[dict[str, Any]], card: str) -> bool:
    slots = merge([], cast("list[Note]", signs), card)["slots"]
    return not is_empty(slots[0]["used"])
