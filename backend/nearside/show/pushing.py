"""Taking notes in: each checked and allowed by itself, all that pass kept in one group, then the bell.

A note is refused for its shape, for a class the show does not have, for a seat that may not write it, for a trait or
view its class does not judge, and for an id that holds another note. Nothing else: what a judge wrote of a horse
nobody entered, or of a class long over, is kept.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

from nearside.show.running import RunningClass, RunningShow
from nearside.show.seats import Seat, may_read, may_write, opened_by_signature, why_not_write
from nearside.show.strict_json import Refused
from nearside.show.wire import Unfit, read_sent

Receipt = dict[str, str | None]

CLASH = "id: a note with this id and other content is kept already; write the change as a new note"


async def push(show: RunningShow, seat: Seat, body: bytes) -> list[Receipt]:
    """A receipt for each note sent, in order, when what is kept is on the disk.

    Raises: Refusal where the list itself is wrong, StoreError where the disk does not keep it; nothing was kept then.
    """
    receipts: list[Receipt] = []
    passed: list[dict[str, Any]] = []
    places: list[int] = []
    rights: dict[tuple[str, str, str | None], _Right] = {}
    for note in read_sent(body, seat.id):
        if isinstance(note, Unfit):
            receipts.append({"id": note.id, "status": "refused", "reason": note.reason})
            continue
        asked = (note["class"], note["kind"], note.get("card"))
        right = rights.get(asked)
        if right is None:
            right = rights[asked] = _right(show, seat, note)
        reason = right.reason if right.reason is not None else _why_not_judged(note, right.of)
        if reason is None:
            places.append(len(receipts))
            passed.append(note)
        receipts.append({"id": note["id"], "status": "refused", "reason": reason})
    if not passed:
        return receipts
    fresh: list[dict[str, Any]] = []
    for place, note, (_, status) in zip(places, passed, await show.group.append(passed), strict=True):
        receipt = receipts[place]
        if status == "clash":
            receipt["reason"] = CLASH
        else:
            receipt["status"] = status
            if status == "kept":
                fresh.append(note)
    ring(show, fresh)
    return receipts


def ring(show: RunningShow, fresh: list[dict[str, Any]]) -> None:
    """Let the bell know of notes that are newly in the log."""
    signed = show.saw(fresh)
    if not len(show.bell) or not fresh:
        return
    # What decides who may read a note; a thousand marks on one card are one question.
    alike = {(note["class"], note["kind"], note.get("card"), note["by"]): note for note in fresh}
    opened = [note for class_id in signed for note in show.store.of_class(class_id)]
    facts = show.facts
    show.bell.ring(
        lambda seat: (
            any(may_read(seat, note, facts) for note in alike.values())
            or any(opened_by_signature(seat, note, facts) for note in opened)
        )
    )


class _Right(NamedTuple):
    """What a seat may do with notes of one kind on one card of one class: the class, or why nothing."""

    of: RunningClass | None
    reason: str | None


def _right(show: RunningShow, seat: Seat, note: Mapping[str, Any]) -> _Right:
    of = show.classes.get(note["class"])
    if of is None:
        return _Right(None, "class: this show has no such class")
    return _Right(of, None if may_write(seat, note, show.facts) else why_not_write(seat, note))


def _why_not_judged(note: Mapping[str, Any], of: RunningClass | None) -> str | None:
    """Why a note speaks of what its class does not judge; None where it does not."""
    assert of is not None
    if note["kind"] == "mark" and (note["trait"], note["view"], note["degree"]) in of.marks:
        return None
    try:
        of.check.check(note)  # type: ignore[arg-type]
    except Refused as refused:
        return str(refused)
    return None
