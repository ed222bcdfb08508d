"""Seats: who may write and who may read which note.

Theory of operation. A seat is one person's place at a show; its role and its card decide everything, and both stand
in the catalogue, never in what a device sends. Two tables below say all there is to say: `WRITES` and `READS`, a row
a kind of note (lameness calls twice, for they live on a card or on none), a column a role, in each cell the grounds
on which that role may do it; any one of them is enough and an empty cell means never. A ground is a small claim
about the seat, the note and a few facts of the show. What has no cell is refused, so a kind or a role added later is
sealed until somebody writes its cell.

Sealing, which the rows add up to: a judge's card is read and written by that judge and the judge's scribe alone. The
office and the stewards read the signature, and that only when every judge of the class has signed; then a trainee
whose own signature stands may not take it back any more (`shut`), and reads the whole card of a judge where office and
judge both allow it. A trainee's card is the trainee's, and read by the judge the trainee shadows once both had
signed at one time: neither is swayed by the other. A steward reads the calls on a card that same steward wrote down,
and no others. What the gate says is for everyone; calls without a card are for
everyone but trainees and the announcer. The announcer writes nothing, and reads what is announced: the gate, and the
signatures once all have signed.

Readability changes with nothing but signatures and records of the catalogue; signatures only ever open.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, fields, replace
from typing import Any, Literal, NamedTuple, get_args

Role = Literal["office", "steward", "judge", "scribe", "trainee", "announcer"]
ROLES: tuple[Role, ...] = get_args(Role)


@dataclass(frozen=True, slots=True)
class Seat:
    """One person's place at a show. `card` is the card the seat writes on; `shadows` a trainee's judge."""

    id: str
    show: str
    role: Role
    name: str
    card: str | None
    shadows: str | None = None

    def on_the_wire(self) -> dict[str, str | None]:
        """What the seat's own devices are told of it."""
        return {"id": self.id, "role": self.role, "name": self.name, "card": self.card}


def seat_of(record: Mapping[str, Any]) -> Seat:
    """A seat from its record in the catalogue."""
    return Seat(**{field.name: record[field.name] for field in fields(Seat)})


class Signatures(NamedTuple):
    """What the signatures of one class open, from the beginning to a place in the log.

    What was opened once stays open when a signature is taken back: nobody can unread it.
    """

    moments: frozenset[frozenset[str]] = frozenset()
    """The cards that stood signed together, at each moment."""
    is_released: bool = False
    """Every judge of the class had signed at some moment: from then on the signed order is known."""
    since_release: frozenset[str] = frozenset()
    """The cards that stood signed at that moment or a later one."""

    def after(self, standing: frozenset[str], judges: frozenset[str]) -> Signatures:
        """The same once these cards stand signed, in a class of these judges."""
        is_released = self.is_released or (bool(judges) and judges <= standing)
        since = self.since_release | standing if is_released else self.since_release
        return Signatures(self.moments | {standing}, is_released, since)

    def stood_together(self, *cards: str | None) -> bool:
        """Whether all these cards stood signed at one moment."""
        return any(moment.issuperset(cards) for moment in self.moments)


NO_SIGNATURES = Signatures()


def _none_signed(_class_id: str) -> Signatures:
    return NO_SIGNATURES


@dataclass(frozen=True, slots=True)
class Facts:
    """What besides seat and note decides: whose cards there are, who may study, and what is signed."""

    judges: frozenset[str] = frozenset()
    """Every judge's card of the show."""
    judges_of: Mapping[str, frozenset[str]] = field(default_factory=dict)
    """The judges of a class; of one that is not here, all of the show's."""
    study: frozenset[tuple[str, str]] = frozenset()
    """Class and judge's card that office and judge both allow trainees to study."""
    shadowed_by: Mapping[str, str] = field(default_factory=dict)
    """A trainee's card, and the judge that trainee shadows."""
    signatures: Callable[[str], Signatures] = _none_signed
    """The signatures of a class."""

    def judges_in(self, class_id: str) -> frozenset[str]:
        """The cards of the judges of a class."""
        return self.judges_of.get(class_id, self.judges)


Ground = Callable[[Seat, Mapping[str, Any], Facts], bool]
Row = dict[Role, tuple[Ground, ...]]


def _anyone(_seat: Seat, _note: Mapping[str, Any], _facts: Facts) -> bool:
    return True


def _own_card(seat: Seat, note: Mapping[str, Any], facts: Facts) -> bool:
    """The seat's card; a judge's only in a class that judge judges."""
    card = note.get("card")
    if card is None or card != seat.card:
        return False
    return seat.role == "trainee" or card in facts.judges_in(note["class"])


def _a_judge_s_card(_seat: Seat, note: Mapping[str, Any], facts: Facts) -> bool:
    """Any card of a judge of the class: for what is written down for a judge."""
    return note.get("card") in facts.judges_in(note["class"])


def _wrote_it(seat: Seat, note: Mapping[str, Any], _facts: Facts) -> bool:
    return bool(note["by"] == seat.id)


def _all_signed(_seat: Seat, note: Mapping[str, Any], facts: Facts) -> bool:
    """A judge's card, when every judge of the class has signed."""
    class_id = note["class"]
    return note.get("card") in facts.judges_in(class_id) and facts.signatures(class_id).is_released


def _may_study(seat: Seat, note: Mapping[str, Any], facts: Facts) -> bool:
    """A judge's card open for study, when every judge of the class had signed and the trainee's signature stood."""
    class_id, card = note["class"], note.get("card")
    return (
        (class_id, card) in facts.study
        and card in facts.judges_in(class_id)
        and seat.card in facts.signatures(class_id).since_release
    )


def _shadowed(seat: Seat, note: Mapping[str, Any], facts: Facts) -> bool:
    """The card of a trainee who shadows this judge, when both had signed."""
    card = note.get("card")
    return facts.shadowed_by.get(str(card)) == seat.id and facts.signatures(note["class"]).stood_together(
        card, seat.card
    )


_BY_CARD_HOLDERS: Row = {"judge": (_own_card,), "scribe": (_own_card,), "trainee": (_own_card,)}
_AT_THE_GATE: Row = dict.fromkeys(("steward", "office", "judge", "scribe"), (_anyone,))
_CARD_READERS: Row = {
    "judge": (_own_card, _shadowed),
    "scribe": (_own_card,),
    "trainee": (_own_card, _may_study),
}

LAMENESS_ON_CARD = "lameness on a card"

WRITES: dict[str, Row] = {
    "mark": _BY_CARD_HOLDERS,
    "looked": _BY_CARD_HOLDERS,
    "remark": _BY_CARD_HOLDERS,
    "over": _BY_CARD_HOLDERS,
    "ruling": {"judge": (_own_card,), "scribe": (_own_card,)},
    "order": _BY_CARD_HOLDERS,
    "sign": {"judge": (_own_card,), "trainee": (_own_card,), "office": (_a_judge_s_card,)},
    LAMENESS_ON_CARD: {**_BY_CARD_HOLDERS, "steward": (_a_judge_s_card,)},
    "lameness": {"steward": (_anyone,), "office": (_anyone,)},
    "presence": _AT_THE_GATE,
    "entry": _AT_THE_GATE,
}

READS: dict[str, Row] = {
    "mark": _CARD_READERS,
    "looked": _CARD_READERS,
    "remark": _CARD_READERS,
    "over": _CARD_READERS,
    "ruling": _CARD_READERS,
    "order": _CARD_READERS,
    "sign": {
        **_CARD_READERS,
        "office": (_wrote_it, _all_signed),
        "steward": (_all_signed,),
        "announcer": (_all_signed,),
    },
    LAMENESS_ON_CARD: {**_CARD_READERS, "steward": (_wrote_it,)},
    "lameness": dict.fromkeys(("steward", "office", "judge", "scribe"), (_anyone,)),
    "presence": dict.fromkeys(ROLES, (_anyone,)),
    "entry": dict.fromkeys(ROLES, (_anyone,)),
}


def row_of(note: Mapping[str, Any]) -> str:
    """The row of the tables a note belongs to."""
    kind = str(note["kind"])
    return LAMENESS_ON_CARD if kind == "lameness" and note.get("card") is not None else kind


def may_write(seat: Seat, note: Mapping[str, Any], facts: Facts) -> bool:
    """Whether the seat may write this note; `by` is not looked at, for the server sets it."""
    grounds = WRITES.get(row_of(note), {}).get(seat.role, ())
    return any(ground(seat, note, facts) for ground in grounds)


def may_read(seat: Seat, note: Mapping[str, Any], facts: Facts) -> bool:
    """Whether the seat may read this note now."""
    grounds = READS.get(row_of(note), {}).get(seat.role, ())
    return any(ground(seat, note, facts) for ground in grounds)


def may_read_card(seat: Seat, class_id: str, card: str, facts: Facts) -> bool:
    """Whether the seat may read all of a card, and so the placing that follows from it."""
    return may_read(seat, {"kind": "mark", "class": class_id, "card": card, "by": ""}, facts)


def readable_before_and_after_signing(seat: Seat, class_id: str, facts: Facts) -> tuple[list[list[str]], ...]:
    """The rows and cards of a class the seat reads while nobody has signed, and once everybody has.

    It changes with the catalogue alone: where it does, notes that came before may have become readable.
    """
    cards = facts.judges.union(facts.shadowed_by, [seat.card or ""])
    all_signed = Signatures(frozenset({cards}), is_released=True, since_release=cards)
    rows = {READS[row].get(seat.role, ()): row for row in reversed(READS)}  # rows of the same grounds are one question
    return tuple(
        [
            [row, card]
            for grounds, row in sorted(rows.items(), key=lambda each: each[1])
            for card in sorted(cards)
            if any(ground(seat, {"class": class_id, "card": card, "by": ""}, then) for ground in grounds)
        ]
        for then in (
            replace(facts, signatures=lambda _: NO_SIGNATURES),
            replace(facts, signatures=lambda _: all_signed),
        )
    )


def why_not_write(seat: Seat, note: Mapping[str, Any]) -> str:
    """What to tell somebody whose note was refused; it gives nothing away about a card that is not theirs."""
    row = row_of(note)
    who = ("an " if seat.role in ("office", "announcer") else "a ") + seat.role
    if not any(seat.role in by_role for by_role in WRITES.values()):
        return f"kind: {who} writes nothing; ask the seat whose task it is"
    if row == LAMENESS_ON_CARD and seat.role == "office":
        return "kind: the office writes lameness calls without a card; leave the card out, or let the judge call it"
    if seat.role not in WRITES.get(row, {}):
        what = "lameness calls without a card" if row == "lameness" else f"notes of the kind '{row}'"
        return f"kind: {who} does not write {what}; ask the seat whose task it is"
    if seat.card is None:
        return "card: it must be the card of a judge of this class"
    return "card: this seat does not write on that card in this class; write on its own"
