"""Championships: who comes back, what is named, and every version of it with its reason.

A championship names classes, earlier championships that feed it, and the judge. Who is named is the judge's word,
written by the judge or the office; a first version needs no reason, nor does the reserve chosen after it, each later
one does, and all are kept. Before one is kept it can be read back: who comes in for reserve, what is warned of.

**A horse last by rule does not come back.** That it is last stands on the judge's card, which the office does not
read; so the judge's own list leaves it out, and the list everybody else has is made of the released orders alone, and
may hold it. What a version was warned of is kept with it in that wider sense, so that nothing of the card is told.

**Who sees what.** Office, steward and announcer see every championship; a judge those that judge judges, with the own
places and nobody else's: of a class another judge placed only who came back.
"""

from __future__ import annotations

from typing import Any

from pydantic import TypeAdapter, with_config
from typing_extensions import TypedDict

from nearside.engine.champions import Horse
from nearside.show.asked import checked_body, text_in
from nearside.show.comeback import Day, standing_names
from nearside.show.notes import STRICT, Number
from nearside.show.office_championships import championship_record, unknown_championship
from nearside.show.records import Asking, Planned, Records, change_to
from nearside.show.refusals import Refusal
from nearside.show.resultlist import WITH_NAMES
from nearside.show.seats import Seat
from nearside.store.protocol import Record

_SEE_ALL = ("office", "steward", "announcer")

HorseAsked = TypedDict("HorseAsked", {"class": str, "number": Number})


class NamingAsked(TypedDict):
    """Who is named; both null: what was named is taken back."""

    champion: HorseAsked | None
    reserve: HorseAsked | None
    reason: str | None


_NAMING: TypeAdapter[Any] = TypeAdapter(with_config(STRICT)(NamingAsked))


def checked_naming(value: Any) -> NamingAsked:
    """What is asked to be named. Raises: Refusal with the field."""
    asked: NamingAsked = checked_body(_NAMING, value)
    return asked


def championships_for(records: Records, seat: Seat) -> dict[str, Any]:
    """The championships the seat sees; for a judge also the own placings of the day. Raises: Refusal."""
    if seat.role not in (*_SEE_ALL, "judge"):
        raise Refusal("not_your_task", "Championships are for the judge who judges them, and for the show's officers.")
    day = Day(records)
    answer: dict[str, Any] = {
        "championships": [
            day.told(record, seat)
            for record in records.championships.values()
            if seat.role in _SEE_ALL or record["judge"] == seat.id
        ]
    }
    if seat.role == "judge":
        answer["placings"] = day.own_placings(seat.id)
    return answer


def named_for(records: Records, seat: Seat) -> list[dict[str, Any]]:
    """What was named so far, to be announced and pinned up beside the results the seat sees."""
    day = Day(records)
    told = []
    for record in records.championships.values():
        is_own = seat.role in ("judge", "scribe") and record["judge"] == seat.card
        named = standing_names(record)
        if (is_own or seat.role in _SEE_ALL) and named["champion"] is not None:
            judge = records.seats.get(record["judge"])
            told.append(
                {
                    "id": record["id"],
                    "title": record["title"],
                    "judge": judge["name"] if judge is not None and seat.role in WITH_NAMES else None,
                    "champion": day.horse(named["champion"], seat),
                    "reserve": day.horse(named["reserve"], seat),
                }
            )
    return told


def read_back(records: Records, seat: Seat, championship_id: str, asked: NamingAsked) -> dict[str, Any]:
    """The championship as it would stand if these were named: who comes in for reserve, and what is warned of.

    Raises: Refusal as naming them would; nothing is kept.
    """
    day = Day(records)
    record = _own_championship(records, seat, championship_id)
    champion, reserve = _both(day, asked)
    drafted = {"champion": _as_record(champion), "reserve": _as_record(reserve)}
    return {**day.told({**record, "named": [drafted]}, seat), "versions": len(record["named"])}


def plan_naming(records: Records, seat: Seat, asking: Asking, championship_id: str, asked: NamingAsked) -> Planned:
    """A championship with one more version of who is named; nothing where that is what stands. Raises: Refusal."""
    day = Day(records)
    record = _own_championship(records, seat, championship_id)
    champion, reserve = _both(day, asked)
    before = standing_names(record)
    champion_before, reserve_before = day.now(before["champion"]), day.now(before["reserve"])
    if (champion, reserve) == (champion_before, reserve_before):
        return Planned([])
    # The reserve is chosen once the champion is named: that changes nothing of what was said.
    is_added = reserve_before is None and champion is not None and champion == champion_before
    reason = text_in(asked["reason"], "reason")
    if record["named"] and not is_added and reason is None:
        raise Refusal("bad_request", "reason: something was named here already; say why it changes.", "reason")
    named = {
        "champion": _as_record(champion),
        "reserve": _as_record(reserve),
        "reason": reason,
        "warned": day.warned_of(record, champion, reserve),
        "at": asking.now_ms,
        "by": asking.seat,
    }
    after = {**record, "named": [*record["named"], named]}
    return Planned([change_to("championships", after)])


def _own_championship(records: Records, seat: Seat, championship_id: str) -> Record:
    """A championship for who names it. Raises: Refusal."""
    record = championship_record(records, championship_id)
    if not (seat.role in _SEE_ALL or record["judge"] == seat.id):
        raise unknown_championship("id")
    if seat.role not in ("office", "judge"):
        raise Refusal("not_your_task", "The judge of the championship names the champion, or the office for the judge.")
    return record


def _both(day: Day, asked: NamingAsked) -> tuple[Horse | None, Horse | None]:
    """Champion and reserve somebody means. Raises: Refusal."""
    champion = day.known(asked["champion"], "champion")
    reserve = day.known(asked["reserve"], "reserve")
    if champion is None and reserve is not None:
        raise Refusal("bad_request", "reserve: name the champion first.", "reserve")
    if champion is not None and champion == reserve:
        raise Refusal("bad_request", "reserve: it is the champion; name another horse.", "reserve")
    return champion, reserve


def _as_record(horse: Horse | None) -> dict[str, str] | None:
    return None if horse is None else {"class": horse[0], "number": horse[1]}
