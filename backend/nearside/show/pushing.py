"""Taking notes in: each checked and allowed by itself, all that pass kept in one group, then the bell.

A note is refused for its shape, for a class the show does not have, for a seat that may not write it, for a trait or
view its class does not judge, and for an id that holds another note. Nothing else: what a judge wrote of a horse
nobody entered, or of a class long over, is kept.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from nearside.show.running import RunningShow
from nearside.show.seats import Seat, may_write, why_not_write
from nearside.show.strict_json import Refused
from nearside.show.wire import Unfit, read_sent

Receipt = dict[str, str | None]

CLASH = "id: a note with this id and other content is kept already; write the change as a new note"


async def push(show: RunningShow, seat: Seat, body: bytes) -> list[Receipt]:
    """A receipt for each note sent, in order, when what is kept is on the disk.

    Raises: Refusal where the list itself is wrong, StoreError where the disk does not keep it; nothing was kept then.
    """
    sent = read_sent(body, seat.id)
    refused: dict[int, Receipt] = {}
    passed: list[dict[str, Any]] = []
    for place, note in enumerate(sent):
        if isinstance(note, Unfit):
            refused[place] = {"id": note.id, "status": "refused", "reason": note.reason}
            continue
        reason = _why_refused(show, seat, note)
        if reason is None:
            passed.append(note)
        else:
            refused[place] = {"id": note["id"], "status": "refused", "reason": reason}
    if not passed:
        return list(refused.values())
    kept = await show.group.append(passed)
    if any(status == "kept" for _, status in kept):
        ring(show)
    receipts: list[Receipt] = [
        {"id": note_id, "status": "refused", "reason": CLASH}
        if status == "clash"
        else {"id": note_id, "status": status, "reason": None}
        for note_id, status in kept
    ]
    for place, receipt in refused.items():  # in ascending order, so each finds its place
        receipts.insert(place, receipt)
    return receipts


def ring(show: RunningShow) -> None:
    """Let the bell know that something is newly in the log: it rings for the seats that are given any of it."""
    rung, show.rung = show.rung, show.store.head()
    if len(show.bell):
        show.bell.ring(lambda seat: show.reader(seat).has_from(rung))


def _why_refused(show: RunningShow, seat: Seat, note: Mapping[str, Any]) -> str | None:
    asked = (seat.id, note["class"], note["kind"], note.get("card"))
    of = show.rights.get(asked)
    if of is None:
        of = show.known_classes.get(note["class"])
        if of is None:
            return "class: this show has no such class"
        if not may_write(seat, note, show.facts):
            return why_not_write(seat, note)
        show.rights[asked] = of  # only what is allowed, so there are no more of them than cards, classes and kinds
    if note["kind"] == "mark" and (note["trait"], note["view"], note["degree"]) in of.marks:
        return None
    try:
        of.check.check(note)  # type: ignore[arg-type]  # `read_sent` gave it its shape
    except Refused as refused:
        return str(refused)
    return None
