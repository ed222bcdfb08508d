"""The office's plans for seats: added, renamed, given a new code, taken away.

What is written on a card keeps its seat: a judge's stays once one of the judge's classes is being judged, a trainee's
once the card holds notes. A scribe's seat on which anybody sat stays with its judge, whose card was open there.
"""

from __future__ import annotations

from dataclasses import asdict

from typing_extensions import TypedDict

from nearside.show.asked import NAME_AT_MOST, needed_text
from nearside.show.codes import new_code
from nearside.show.horses import written_cards
from nearside.show.office_classes import is_begun, next_position, title_of
from nearside.show.opening import letters
from nearside.show.records import Asking, Planned, Records, change_to
from nearside.show.refusals import Refusal
from nearside.show.seats import Role, Seat
from nearside.store.protocol import Change, Record

MOST_SEATS = 200
SINGLE_ROLES = ("office", "steward", "announcer")


class SeatAsked(TypedDict):
    """A seat as it shall be. `id` null: a new one; `judge` null: of a trainee, none; others but a scribe have none."""

    id: str | None
    role: Role
    name: str
    judge: str | None


class OneSeat(TypedDict):
    id: str


def plan_seat(records: Records, _asking: Asking, asked: SeatAsked) -> Planned:
    """A new seat with a code of its own, or an old one with another name or judge."""
    name = needed_text(asked["name"], "name", NAME_AT_MOST)
    judge = _judge(records, asked)
    if asked["id"] is None:
        return _new_seat(records, asked["role"], name, judge)
    record = seat_record(records, asked["id"])
    if record["role"] != asked["role"]:
        raise Refusal("not_now", "role: a seat keeps its role; add another seat for the other task.", "role")
    after = {**record, "name": name}
    if record["role"] == "scribe" and record["card"] != judge:
        if _was_used(records, record["id"]):
            raise Refusal(
                "not_now",
                "judge: on this seat another judge's card was open to a scribe, so it stays with that judge. Add a new "
                "scribe's seat for whoever writes for this one.",
                "judge",
            )
        after["card"] = judge
    if record["role"] == "trainee" and record["shadows"] != judge:
        _refuse_written(records, record, "judge")
        after["shadows"] = judge
    return Planned([change_to("seats", after)] if after != record else [])


def plan_seat_code(records: Records, asking: Asking, asked: OneSeat) -> Planned:
    """A new code for a seat. Its devices have to join again; the one that asks stays."""
    record = seat_record(records, asked["id"])
    changes = [change_to("seats", {**record, "code": _code(records)})]
    return Planned(changes + _turned_away(records, record["id"], asking.device))


def plan_seat_gone(records: Records, asking: Asking, asked: OneSeat) -> Planned:
    """A seat taken away, and its devices turned away."""
    record = seat_record(records, asked["id"])
    seat_id = record["id"]
    if seat_id == asking.seat:
        raise Refusal("not_now", "This is your own seat; only another office seat can take it away.", "id")
    for each in records.seated.values():
        if each["id"] != seat_id and seat_id in (each["card"], each["shadows"]):
            raise Refusal("not_now", f"{each['name']} belongs to this judge; take that seat away first.", "id")
    if record["role"] == "judge":
        _refuse_judging(records, record)
    elif record["role"] == "trainee":
        _refuse_written(records, record, "id")
    changes = [change_to("seats", {**record, "gone": {"at": asking.now_ms}})]
    for each in records.judged.values():
        if each.get("judges") == [seat_id]:
            raise Refusal("not_now", f"{title_of(each)} has no other judge; give it one first.", "id")
        after = {
            field: [judge for judge in each[field] if judge != seat_id]
            for field in ("judges", "call_judges", "study_judges", "slips")
            if seat_id in (each.get(field) or ())
        }
        changes += [change_to("classes", {**each, **after})] if after else []
    for championship in records.championships.values():
        if championship["judge"] == seat_id:
            raise Refusal(
                "not_now", f"The championship {championship['title']} has no other judge; give it one first.", "id"
            )
    return Planned(changes + _turned_away(records, seat_id, None))


def seat_record(records: Records, seat_id: str, where: str = "id") -> Record:
    """A seat there is. Raises: Refusal."""
    record = records.seated.get(seat_id)
    if record is None:
        raise Refusal("unknown_seat", "This show has no such seat; open the list of seats again.", where)
    return record


def _new_seat(records: Records, role: Role, name: str, judge: str | None) -> Planned:
    if len(records.seats) >= MOST_SEATS:
        raise Refusal(
            "not_now", f"A show has {MOST_SEATS} seats at most; give a seat nobody uses a new name and code.", "role"
        )
    seat_id = _free_id(records, role)
    card = seat_id if role in ("judge", "trainee") else judge if role == "scribe" else None
    seat = Seat(seat_id, records.id, role, name, card, judge if role == "trainee" else None)
    record = {**asdict(seat), "code": _code(records), "position": next_position(records.seats)}
    changes = [change_to("seats", record)]
    if role == "judge":
        # A new judge comes to the classes that wait, not to those that are being judged.
        for class_id, each in records.judged.items():
            judges = records.judges_in(class_id)
            if each.get("judges") is None and judges and written_cards(records.notes(class_id)):
                changes.append(change_to("classes", {**each, "judges": judges}))
    return Planned(changes)


def _free_id(records: Records, role: Role) -> str:
    """An id no seat of the show has or had: its notes would be taken for the other one's."""
    if role in SINGLE_ROLES and role not in records.seats:
        return role
    place = 0
    while (seat_id := f"{role}-{letters(place)}") in records.seats:
        place += 1
    return seat_id


def _judge(records: Records, asked: SeatAsked) -> str | None:
    judge = asked["judge"]
    if asked["role"] not in ("scribe", "trainee"):
        if judge is not None:
            raise Refusal("bad_request", "judge: only a scribe or a trainee belongs to a judge; leave it out.", "judge")
        return None
    if judge is None and asked["role"] == "trainee":
        return None
    if judge not in records.judges():
        raise Refusal("bad_request", "judge: choose the judge this seat belongs to.", "judge")
    return judge


def _was_used(records: Records, seat_id: str) -> bool:
    """Whether anybody sat on a seat: a device joined, be it turned away since, or something was written from it."""
    return any(each["seat"] == seat_id for each in records.devices.values()) or any(
        each["by"] == seat_id for each in records.every_note()
    )


def _refuse_judging(records: Records, record: Record) -> None:
    """Raises: Refusal once a class of this judge is being judged, whoever of its judges has begun."""
    seat_id = record["id"]
    theirs = [class_id for class_id in records.classes if seat_id in records.judges_in(class_id)]
    if any(is_begun(records, each) for each in theirs) or any(
        each.get("card") == seat_id for each in records.every_note()
    ):
        raise Refusal(
            "not_now",
            f"A class of {record['name']} is being judged, so its judges stay. For another device give the seat a new "
            "code.",
            "id",
        )


def _refuse_written(records: Records, record: Record, where: str) -> None:
    if any(each.get("card") == record["card"] for each in records.every_note()):
        raise Refusal(
            "not_now",
            f"{record['name']} has a card with notes on it, which stay. For another device give it a new code.",
            where,
        )


def _turned_away(records: Records, seat_id: str, but: str | None) -> list[Change]:
    return [
        Change("devices", key, {**each, "revoked": True})
        for key, each in records.devices.items()
        if each["seat"] == seat_id and key != but and not each["revoked"]
    ]


def _code(records: Records) -> str:
    while (code := new_code()) in records.codes:
        pass
    return code
