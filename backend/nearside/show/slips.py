"""Slips for the exhibitors: what a judge's card says of their own horse, if that judge agrees.

The judge looks the slips over once the card is signed and agrees, class by class; the office has them when the class
is released, for the judges who agreed. They go along the signed order without the horses stricken out, each division
by itself, so that a slip speaks of no horse the exhibitor does not see placed above.
"""

from __future__ import annotations

from typing import Any

from pydantic import TypeAdapter, with_config
from typing_extensions import TypedDict

from nearside.engine.slips import slips
from nearside.show.asked import checked_body
from nearside.show.cards import card_file
from nearside.show.horses import signatures_in
from nearside.show.notes import STRICT
from nearside.show.records import Planned, Records, change_to
from nearside.show.refusals import Refusal, unknown_class
from nearside.show.results import ClassResult, SignedCard, result_of_class
from nearside.show.seats import Seat
from nearside.show.standards import words

FORMAT = "nearside-slips/1"


class AgreedAsked(TypedDict):
    """What the judge agrees to for the own card of a class; null: as it was."""

    study: bool | None
    slips: bool | None


_AGREED: TypeAdapter[Any] = TypeAdapter(with_config(STRICT)(AgreedAsked))


def checked_agreed(value: Any) -> AgreedAsked:
    """What a judge agrees to. Raises: Refusal with the field."""
    asked: AgreedAsked = checked_body(_AGREED, value)
    return asked


def plan_agreeing(records: Records, seat: Seat, class_id: str, asked: AgreedAsked) -> Planned:
    """The class with what its judge agrees to, or takes back. Raises: Refusal.

    It is done on a signed card, so nobody hears of it before all have signed: then the office does, and whoever reads
    other notes by it.
    """
    _refuse_others(records, seat, class_id)
    before = records.classes[class_id]
    after = dict(before)
    for says, field in ((asked["study"], "study_judges"), (asked["slips"], "slips")):
        agree = before.get(field) or []
        if says is not None and says != (seat.id in agree):
            after[field] = [*agree, seat.id] if says else [each for each in agree if each != seat.id]
    if after == before:
        return Planned([])
    opened = signatures_in(records.notes(class_id), frozenset(records.judges_in(class_id)))
    is_study = bool(before.get("study_office")) and after.get("study_judges") != before.get("study_judges")

    def concerns(each: Seat) -> bool:
        if each.role == "office":
            return opened.is_released
        return is_study and each.role == "trainee" and each.card in opened.since_release

    return Planned([change_to("classes", after)], concerns=concerns)


def agreed(records: Records, seat: Seat, class_id: str) -> dict[str, Any]:
    """What this judge agrees to in a class. Raises: Refusal."""
    _refuse_others(records, seat, class_id)
    record = records.classes[class_id]
    return {
        "class": class_id,
        "study": seat.id in (record.get("study_judges") or ()),
        "slips": seat.id in (record.get("slips") or ()),
    }


def slips_for(records: Records, seat: Seat, class_id: str) -> dict[str, Any]:
    """A `nearside-slips/1`: for a judge of the own signed card, for the office of those agreed to. Raises: Refusal."""
    if seat.role != "office":
        _refuse_others(records, seat, class_id)
    elif class_id not in records.judged:
        raise unknown_class("class")
    result = result_of_class(records, class_id)
    agreeing = records.classes[class_id].get("slips") or ()
    if seat.role == "judge":
        cards = [card for card in result.cards if card.judge == seat.id]
        if cards[0].numbers is None:
            raise Refusal("not_now", "Sign the card first: slips go along the signed order.", "class")
    else:
        if not result.signatures.is_released:
            raise Refusal("not_now", "Slips are there when every judge of the class has signed.", "class")
        cards = [card for card in result.cards if card.judge in agreeing and card.numbers is not None]
    return {
        "format": FORMAT,
        "class": class_id,
        "title": result.title,
        "cards": [
            {
                "judge": card.judge,
                "name": records.seats[card.judge]["name"] if seat.role == "office" else None,
                "agreed": card.judge in agreeing,
                "slips": _slips(records, result, card, is_named=seat.role == "office"),
            }
            for card in cards
        ],
    }


def _slips(records: Records, result: ClassResult, card: SignedCard, *, is_named: bool) -> list[dict[str, Any]]:
    file, standard = card_file(records, result.id, card.judge)
    struck = {each["number"] for each in result.stricken}
    order = [number for number in card.numbers or () if number not in struck]
    titles: dict[str | None, str | None] = {each["id"]: each["title"] for each in result.divisions}
    made: list[dict[str, Any]] = []
    for division in (*titles, None):
        apart = [number for number in order if result.division_of(number) == division]
        for slip in slips(file, standard, words(), apart):
            known = result.known(slip["number"])
            told = {**slip, "division": titles.get(division), "identification": known.identification}
            made.append({**told, "horse": known.horse, "exhibitor": known.exhibitor} if is_named else told)
    return made


def _refuse_others(records: Records, seat: Seat, class_id: str) -> None:
    """Raises: Refusal for a class there is not, and for whoever is no judge of it."""
    if class_id not in records.judged:
        raise unknown_class("class")
    if seat.role != "judge" or seat.id not in records.judges_in(class_id):
        raise Refusal("not_your_task", "Slips and study are for the judges of the class to agree to.", "class")
