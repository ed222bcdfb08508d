"""Taking notes in: each checked and allowed by itself, all that pass kept in one group, then the bell.

A note is refused for its shape, for a class the show does not have, for a seat that may not write it, for a trait or
view its class does not judge, for an id that holds another note, and for a card that is shut by a signature (`shut`).
Nothing else: what a judge wrote of a horse nobody entered, or of a class long over, is kept.
"""

from __future__ import annotations

import asyncio
from collections.abc import Iterator, Mapping
from typing import Any

from nearside.show.log import LATE
from nearside.show.running import RunningShow
from nearside.show.seats import Seat, may_write, why_not_write
from nearside.show.shut import LATE_REASON, SHUT, came_late, why_not_sign
from nearside.show.strict_json import Refused
from nearside.show.wire import Unfit, read_sent

Receipt = dict[str, str | None]
Sent = dict[str, Any] | Unfit

CLASH = "id: a note with this id and other content is kept already; write the change as a new note"


async def push(show: RunningShow, seat: Seat, body: bytes) -> list[Receipt]:
    """A receipt for each note sent, in order, when what is kept is on the disk.

    A signature ends a group of its own, for what follows it is judged by what has become of it. Raises: Refusal where
    the list itself is wrong, StoreError where the disk does not keep a group; then nothing of that one was kept.
    """
    receipts: list[Receipt] = []
    for part in _up_to_each_signature(read_sent(body, seat.id)):
        if show.signing:
            await _signatures_on_their_way(show, part)
        card = _card_signed(show, seat, part)
        if card is None:
            receipts += await _keep(show, seat, part)
        else:
            show.signing[card] = asyncio.get_running_loop().create_future()
            # A caller that goes away meanwhile stops nothing: others wait to hear what has become of the signature.
            receipts += await asyncio.shield(asyncio.ensure_future(_sign(show, seat, part, card)))
    return receipts


def _up_to_each_signature(sent: list[Sent]) -> Iterator[list[Sent]]:
    start = 0
    for place, note in enumerate(sent, 1):
        if not isinstance(note, Unfit) and note["kind"] == "sign":
            yield sent[start:place]
            start = place
    if start < len(sent):
        yield sent[start:]


async def _signatures_on_their_way(show: RunningShow, part: list[Sent]) -> None:
    cards = {(note["class"], note.get("card")) for note in part if not isinstance(note, Unfit)}
    while waited_for := [settled for card, settled in show.signing.items() if card in cards]:
        await asyncio.wait(waited_for)


def _card_signed(show: RunningShow, seat: Seat, part: list[Sent]) -> tuple[str, str] | None:
    """Class and card of the signature that ends this part, if the seat may sign there."""
    last = part[-1]
    if isinstance(last, Unfit) or last["kind"] != "sign" or _why_refused(show, seat, last) is not None:
        return None
    return last["class"], last["card"]


async def _sign(show: RunningShow, seat: Seat, part: list[Sent], card: tuple[str, str]) -> list[Receipt]:
    try:
        receipts = await _keep(show, seat, part)
        show.log.look()
        return receipts
    finally:
        show.signing.pop(card).set_result(None)


async def _keep(show: RunningShow, seat: Seat, part: list[Sent]) -> list[Receipt]:
    """Judge the notes and hand on what passes: between the two nothing else comes to the log."""
    refused: dict[int, Receipt] = {}
    passed: list[dict[str, Any]] = []
    standing = show.log.standing
    for place, note in enumerate(part):
        if isinstance(note, Unfit):
            refused[place] = {"id": note.id, "status": "refused", "reason": note.reason}
            continue
        reason = _why_refused(show, seat, note)
        card = note.get("card")
        if reason is None and card is not None and (note["kind"] == "sign" or (note["class"], card) in standing):
            if show.store.note(note["id"]) is not None:
                pass  # the store says whether it is known, whatever has become of the card, or another note of this id
            elif note["kind"] == "sign":
                reason = why_not_sign(show, seat, note)
            elif came_late(note, standing[note["class"], card]):
                note[LATE] = standing[note["class"], card].id
            else:
                reason = SHUT
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
        else {"id": note_id, "status": status, "reason": _told_of(show, note, status)}
        for note, (note_id, status) in zip(passed, kept, strict=True)
    ]
    for place, receipt in refused.items():  # in ascending order, so each finds its place
        receipts.insert(place, receipt)
    return receipts


def _told_of(show: RunningShow, note: Mapping[str, Any], status: str) -> str | None:
    """What the sender of a note that is held is told: that it came late, also when it is sent again."""
    held = show.store.note(note["id"]) if status == "known" else note
    return LATE_REASON if held is not None and LATE in held else None


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
        of.check_note(note)  # type: ignore[arg-type]  # `read_sent` gave it its shape
    except Refused as refused:
        return str(refused)
    return None
