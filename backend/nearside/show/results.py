"""What the classes came to, once their cards are released: places, ties, who was shown, who was struck out.

Worked out anew each time from the signatures that stand, read through the entries, so that a corrected card or a
corrected number is right everywhere at once. A signature that was taken back after the release leaves its class
without a result until the card is signed again: nobody reads out what is being corrected.

**Places.** One judge's card is the result. Several cards make one result by the class's method, or, as separate
cards, each its own; where the method can't be used (a majority of two) they stand separately and it is said why. A
horse the office strikes out is taken from the finished result and those below move up; divisions are placed apart in
the order they were judged in together. Neither places the others anew, so neither changes their order.

**Shown.** A horse counts as shown if it stands on a signed card. One that does not, as one excused or disqualified,
counts unless the gate has it absent; and where the gate checked numbers of the class in, only if it was one of them.
"""

from __future__ import annotations

import hashlib
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple, cast

from nearside.engine.merging import merge
from nearside.engine.panel import NoResult, PanelCard, Shared, among, card_result, panel_result
from nearside.engine.shapes import Entry, Merged, Note
from nearside.show.horses import Horse, horses_of, signatures_in
from nearside.show.log import LATE
from nearside.show.records import Records
from nearside.show.seats import Signatures
from nearside.show.signing import is_from_paper
from nearside.show.strict_json import canonical

_KINDS = frozenset(("sign", "entry", "presence"))
_NO_MARKS = ""  # no card: the gate and the entries alone


@dataclass(frozen=True, slots=True)
class SignedCard:
    """A judge's card as it stands: `numbers` is None while the signature is taken back."""

    judge: str
    numbers: list[str] | None
    signed_at: int
    is_from_paper: bool
    is_corrected: bool
    is_disputed: bool
    """Two signatures that differ stand side by side; the latest is used."""


class Known(NamedTuple):
    """What is known of the horse with a number of today."""

    identification: str | None
    horse: str | None
    exhibitor: str | None
    division: str | None


_UNKNOWN = Known(None, None, None, None)


class Part(NamedTuple):
    """One result within a class: of one judge's card or, with no judge, of them all."""

    judge: str | None
    places: list[Shared]


@dataclass(frozen=True, slots=True)
class ClassResult:
    """The result of a class. No part has a place where a card it rests on is taken back."""

    id: str
    title: str
    places: int
    method: str | None
    """None where one judge judged alone."""
    call_judges: list[str]
    problem: str | None
    """Why the method was not used."""
    cards: list[SignedCard]
    parts: list[Part]
    divisions: list[dict[str, Any]]
    stricken: list[dict[str, Any]]
    shown: frozenset[str]
    horses: dict[str, Known]
    signatures: Signatures
    """What they open."""
    reads_as: dict[str, str]
    """What numbers written before are read as, where they were corrected."""

    def known(self, number: str) -> Known:
        """What is known of a horse; nothing of one that a judge placed and nobody entered."""
        return self.horses.get(number, _UNKNOWN)

    def of_division(self, part: Part, division: str | None) -> list[Shared]:
        """The part placed apart for one division; None: for the horses that are in none of the class's."""
        return among(part.places, lambda number: self.division_of(number) == division)

    def shown_in(self, division: str | None) -> int:
        """How many of a division were shown."""
        return sum(self.division_of(number) == division for number in self.shown)

    def division_of(self, number: str) -> str | None:
        """The division of the class a horse is in."""
        own = self.known(number).division
        return own if any(each["id"] == own for each in self.divisions) else None


def result_of_class(records: Records, class_id: str) -> ClassResult:
    """The result of a class. To be told nobody before its cards are released; the horses may be known to all."""
    record = records.classes[class_id]
    notes = [each for each in records.notes(class_id) if each["kind"] in _KINDS and LATE not in each]
    judges = records.judges_in(class_id)
    horses = horses_of(records, class_id)
    entered = [Entry(number=each.number, identification=None) for each in horses]
    gate = _merged(entered, notes, _NO_MARKS)
    cards = [_signed_card(judge, _merged(entered, notes, judge)) for judge in judges]
    struck = {_read(each["number"], gate): each.get("reason") for each in record.get("strikes") or ()}
    method = (record.get("method") or "separate") if len(judges) > 1 else None
    parts, problem = _parts(cards, method, record.get("call_judges") or [])
    return ClassResult(
        id=class_id,
        title=record["class"]["title"],
        places=record["class"]["places"],
        method=method,
        call_judges=list(record.get("call_judges") or []),
        problem=problem,
        cards=cards,
        parts=[part._replace(places=among(part.places, lambda number: number not in struck)) for part in parts],
        divisions=list(record.get("divisions") or []),
        stricken=[{"number": number, "reason": reason} for number, reason in struck.items()],
        shown=_shown({each.known_as for each in horses if not each.is_gone}, gate, notes, cards),
        horses=_known(horses),
        signatures=signatures_in(notes, frozenset(judges)),
        reads_as=gate["reads_as"],
    )


def announced_as(result: ClassResult) -> str:
    """What stands for all that is read out of a result: places, horses and ties, of each card and division.

    It changes when, and only when, somebody would have to be told that the result is another one.
    """
    lists = [
        [[part.judge, each], [shared for shared in result.of_division(part, each) if shared["place"] <= result.places]]
        for part in result.parts
        for each in [*(division["id"] for division in result.divisions), None]
    ]
    return hashlib.sha256(canonical(lists).encode()).hexdigest()


def is_changed_since_announced(record: Mapping[str, Any], result: ClassResult) -> bool:
    """Whether a class was announced, and its result is another one now."""
    return record.get("announced_at") is not None and record.get("announced_as") != announced_as(result)


def _merged(entered: Sequence[Entry], notes: Iterable[Mapping[str, Any]], card: str) -> Merged:
    return merge(entered, cast("list[Note]", list(notes)), card)


def _read(number: str, gate: Merged) -> str:
    return gate["reads_as"].get(number, number)


def _signed_card(judge: str, merged: Merged) -> SignedCard:
    slot = next((each for each in merged["slots"] if each["slot"] == ["sign", judge]), None)
    if slot is None:
        return SignedCard(judge, None, 0, False, False, False)
    used = slot["used"]
    return SignedCard(
        judge=judge,
        numbers=None if used["numbers"] is None else list(used["numbers"]),
        signed_at=used["at"],
        is_from_paper=is_from_paper(used),
        is_corrected=bool(used["replaces"]),
        is_disputed=any(each["slot"] == slot["slot"] for each in merged["disputes"]),
    )


def _parts(cards: Sequence[SignedCard], method: str | None, calling: Sequence[str]) -> tuple[list[Part], str | None]:
    """The results the cards give, and why not one by the method where it can't be used."""
    panel: list[PanelCard] = [
        {"judge": each.judge, "placing": each.numbers} for each in cards if each.numbers is not None
    ]
    apart = [Part(each["judge"], card_result(each)) for each in panel]
    if method is None or method == "separate":
        return apart, None
    if len(panel) < len(cards):
        return [Part(None, [])], None
    try:
        known = [judge for judge in calling if any(each.judge == judge for each in cards)]
        return [Part(None, panel_result(panel, method, known))], None
    except NoResult as error:
        return apart, str(error)


def _shown(
    entered: Collection[str], gate: Merged, notes: Iterable[Mapping[str, Any]], cards: Iterable[SignedCard]
) -> frozenset[str]:
    signed = {number for card in cards for number in card.numbers or ()}
    absent = {
        str(slot["used"]["number"])
        for slot in gate["slots"]
        if slot["used"]["kind"] == "presence" and slot["used"]["state"] == "absent"
    }
    # Who was once checked in was there, also when checked out again.
    checked_in = {_read(each["number"], gate) for each in notes if each.get("state") == "present"}
    there = set(entered) - absent
    return frozenset(signed | (there & checked_in if checked_in else there))


def _known(horses: Iterable[Horse]) -> dict[str, Known]:
    """The horses by the numbers of today; where records meet in one, that of the number itself speaks first."""
    found: dict[str, list[Horse]] = {}
    for each in sorted(horses, key=lambda each: (each.is_gone, each.number != each.known_as)):
        found.setdefault(each.known_as, []).append(each)
    return {
        number: Known(
            next((each.identification for each in met if each.identification), None),
            *(_first([each.record or {} for each in met], field) for field in ("horse", "exhibitor", "division")),
        )
        for number, met in found.items()
    }


def _first(records: Iterable[Mapping[str, Any]], field: str) -> str | None:
    return next((str(each[field]) for each in records if each.get(field)), None)
