"""Taking notes in: each checked and allowed by itself, all that pass kept in one group, then the bell.

A note is refused for its shape, for a class the show does not have, for a seat that may not write it, for a trait or
view its class does not judge, and for an id that holds another note. Nothing else: what a judge wrote of a horse
nobody entered, or of a class long over, is kept.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from nearside.show.running import RunningShow
from nearside.show.seats import Facts, Seat, may_read, may_write, opened_by_signature, why_not_write
from nearside.show.strict_json import Refused
from nearside.show.wire import read_sent

Receipt = dict[str, str | None]

CLASH = "id: a note with this id and other content is kept already; write the change as a new note"


async def push(show: RunningShow, seat: Seat, body: bytes) -> list[Receipt]:
    """A receipt for each note sent, in order, when what is kept is on the disk.

    Raises: Refusal where the list itself is wrong, StoreError where the disk does not keep it; nothing was kept then.
    """
    receipts: list[Receipt] = []
    passed: list[dict[str, Any]] = []
    places: list[int] = []
    allowed: dict[tuple[Any, ...], str | None] = {}
    for note_id, note, reason in read_sent(body, seat.id):
        if note is not None:
            reason = _why_refused(show, seat, note, allowed)
            if reason is None:
                places.append(len(receipts))
                passed.append(note)
        receipts.append({"id": note_id, "status": "refused", "reason": reason})
    if not passed:
        return receipts
    fresh: list[dict[str, Any]] = []
    for place, note, kept in zip(places, passed, await show.group.append(passed), strict=True):
        receipt = receipts[place]
        if kept.status == "clash":
            receipt["reason"] = CLASH
        else:
            receipt["status"] = kept.status
            if kept.status == "kept":
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


def _why_refused(
    show: RunningShow, seat: Seat, note: Mapping[str, Any], allowed: dict[tuple[Any, ...], str | None]
) -> str | None:
    class_id, card = note["class"], note.get("card")
    question = (class_id, note["kind"], card)
    if question in allowed:
        reason = allowed[question]
    else:
        reason = allowed[question] = _why_not_allowed(show, seat, note, show.facts)
    if reason is not None:
        return reason
    try:
        show.classes[class_id].check.check(note)  # type: ignore[arg-type]
    except Refused as refused:
        return str(refused)
    return None


def _why_not_allowed(show: RunningShow, seat: Seat, note: Mapping[str, Any], facts: Facts) -> str | None:
    if note["class"] not in show.classes:
        return "class: this show has no such class"
    return None if may_write(seat, note, facts) else why_not_write(seat, note)
