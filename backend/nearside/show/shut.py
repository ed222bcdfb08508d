"""A signed card is shut: what may still be said on it.

Judged in the order of the log, note by note, against the signature that stands on the card at that place. What was
noted before the card was signed and only now arrives is kept aside as late, with the signature it came too late for: it
is on the record and changes nothing. What was noted after is refused, and so is another order over the one signed: the
signature is taken back first, with a reason. Two things the judge cannot know of are kept side by side, to be settled
if they differ: what the judge signed on the phone, and what the office entered from the judge's paper card meanwhile.

Each takes back what each signed: the office its paper card, the judge whatever stands on the judge's card, a trainee
the own signature until every judge has signed while it stands, for from then on it opens what the judges placed. What
the office is told here says nothing of a signature it does not read.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from nearside.show.running import RunningShow
from nearside.show.seats import Seat
from nearside.show.signing import Standing

LATE_REASON = (
    "late: the card was signed before this arrived; it is kept aside and changes nothing. To count it, have the "
    "signature taken back with a reason and note it again"
)
SHUT = "card: it is signed, and this was noted after; have the signature taken back with a reason, then note it again"
SIGNED = "numbers: a signature stands on this card; take it back first, with a reason, then sign again"
NOT_THE_OFFICE_S = (
    "replaces: the office takes back what it entered from a paper card, and names it here; a judge's own signature is "
    "taken back by that judge"
)
FINAL = "numbers: this signature is final, for it has opened to you what the judges placed"


def came_late(note: Mapping[str, Any], standing: Standing) -> bool:
    """Whether a note for a card with this signature was written before it."""
    return bool(note["at"] <= standing.at)


def why_not_sign(show: RunningShow, seat: Seat, note: Mapping[str, Any]) -> str | None:
    """Why a seat that signs this card may not sign, or take back, in this way now; None where it may."""
    class_id, card = note["class"], note["card"]
    replaced = frozenset(note["replaces"])
    if seat.role == "trainee" and card in show.signatures(class_id).since_release:
        return FINAL
    if note["numbers"] is None:
        if seat.role == "office" and not (replaced and replaced <= show.log.paper_cards(class_id, card)):
            return NOT_THE_OFFICE_S
        return None
    standing = show.log.standing.get((class_id, card))
    if standing is not None and (replaced & standing.ids or seat.id in standing.by):
        return SIGNED
    return None
