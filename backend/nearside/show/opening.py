"""Opening a show: its classes from class files, its seats, a join code for each; and adding a class to one.

Everything is checked here and nothing is written: what comes back is one change for the catalogue. Notes
of the files are taken along only on request; their cards become the cards of the show's judges, in order.
"""

from __future__ import annotations

import re
import secrets
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any

from nearside.engine.shapes import DEFAULT_LAMENESS, ClassFile, Standard
from nearside.show.asked import TITLE_AT_MOST
from nearside.show.classfile import checked_class
from nearside.show.codes import new_code
from nearside.show.records import change_to
from nearside.show.refusals import CannotOpen
from nearside.show.seats import ROLES, Role, Seat, seat_of
from nearside.show.standards import shipped_keys, shipped_standard
from nearside.store.protocol import Catalogue, Change

CLASS_ID = re.compile("[A-Za-z0-9._-]{1,40}")  # it is part of addresses and file names
_MADE_BY_A_PHONE = re.compile("[0-9a-f]{8}-[0-9a-f]{4}-4[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}")
DEFAULT_SEATS = ("office", "steward", "judge", "scribe")


@dataclass(frozen=True, slots=True)
class OpenedSeat:
    """A seat and the code that leads to it."""

    seat: Seat
    code: str


def seats_asked(asked: Sequence[str], show_id: str) -> list[Seat]:
    """The seats for `role` or `role:Name`, each; an office is added where none is asked for.

    A scribe writes for the judge named last before it, a trainee shadows that judge. Raises: CannotOpen.

    >>> [seat.id for seat in seats_asked(["judge:A. Weaver", "scribe"], "s")]
    ['office', 'judge-a', 'scribe-a']
    """
    seats: list[Seat] = []
    counts: dict[str, int] = dict.fromkeys(ROLES, 0)
    judge: Seat | None = None
    roles = [each.partition(":")[0].strip() for each in asked]
    for each in asked if "office" in roles else ("office", *asked):
        role_name, _, name = each.partition(":")
        role = _role(role_name.strip(), each)
        place = counts[role]
        counts[role] += 1
        single = role in ("office", "steward", "announcer") and roles.count(role) < 2
        seat_id = role if single else f"{role}-{letters(place)}"
        name = name.strip() or role.capitalize() + ("" if single else f" {letters(place).upper()}")
        if len(name) > TITLE_AT_MOST:
            raise CannotOpen(f"--seat {role}: the name is longer than {TITLE_AT_MOST} characters")
        if role == "scribe" and judge is None:
            raise CannotOpen(f"--seat {each}: a scribe writes for a judge; name the judge's seat before it")
        card = seat_id if role in ("judge", "trainee") else judge.id if role == "scribe" and judge else None
        shadows = judge.id if role == "trainee" and judge else None
        seat = Seat(seat_id, show_id, role, name, card, shadows)
        judge = seat if role == "judge" else judge
        seats.append(seat)
    return seats


def opening_changes(
    catalogue: Catalogue,
    show_id: str,
    title: str,
    files: Sequence[tuple[ClassFile, Standard]],
    seats: Sequence[Seat],
    now_ms: int,
) -> tuple[list[Change], list[OpenedSeat]]:
    """The records of a new show as one change of the catalogue, and its seats with their codes. Raises: CannotOpen."""
    title = title.strip()
    if not title or len(title) > TITLE_AT_MOST:
        raise CannotOpen(f"--title must be 1 to {TITLE_AT_MOST} characters")
    if catalogue.get("shows", show_id) is not None:
        raise CannotOpen(f"a show {show_id} is open here already")
    _refuse_classes(files, {})
    taken = {each["code"] for each in catalogue.all("seats")}
    opened = []
    for seat in seats:
        while (code := new_code()) in taken:
            pass
        taken.add(code)
        opened.append(OpenedSeat(seat, code))
    changes = [Change("shows", show_id, show_record(show_id, title, now_ms))]
    for place, each in enumerate(opened):
        record = {**asdict(each.seat), "code": each.code, "position": place}
        changes.append(change_to("seats", record))
    for place, (class_file, _) in enumerate(files):
        changes += _class_changes(show_id, place, class_file)
    return changes, opened


def show_record(show_id: str, title: str, now_ms: int) -> dict[str, Any]:
    """The record of a show that is opened now, with its secret."""
    return {"id": show_id, "title": title, "opened_at": now_ms, "secret": new_secret()}


def new_show_id() -> str:
    """An id no other show has, here or elsewhere: a phone goes by it."""
    return f"show-{secrets.token_hex(4)}"


def new_secret() -> str:
    """What a show keys with that nobody else may work out."""
    return secrets.token_hex(32)


def adding_changes(
    catalogue: Catalogue, show_id: str, files: Sequence[tuple[ClassFile, Standard]]
) -> tuple[list[Change], list[str]]:
    """The records of classes that a show gets beside those it has, and its judges' cards. Raises: CannotOpen."""
    there = [each for each in catalogue.all("classes") if each["show"] == show_id]
    _refuse_classes(files, {each["class"]["id"]: each["class"] for each in there})
    changes: list[Change] = []
    for place, (class_file, _) in enumerate(files, 1 + max((each["position"] for each in there), default=-1)):
        changes += _class_changes(show_id, place, class_file)
    return changes, [each.seat.id for each in opened_seats(catalogue, show_id) if each.seat.role == "judge"]


def opened_seats(catalogue: Catalogue, show_id: str) -> list[OpenedSeat]:
    """The seats of a show with their codes, in the order they were asked for."""
    records = [each for each in catalogue.all("seats") if each["show"] == show_id and not each.get("gone")]
    return [OpenedSeat(seat_of(each), each["code"]) for each in sorted(records, key=lambda each: each["position"])]


def notes_with_cards(files: Iterable[ClassFile], judges: Sequence[str]) -> list[dict[str, Any]]:
    """Every note of the files as a show keeps it: with its class, its card the card of one of the judges.

    A card that goes by a judge's name is that judge's; the others, in order of appearance, become the cards of the
    judges left; who wrote on a card as its own now wrote on the judge's. Ids of different classes are kept apart.
    Raises: CannotOpen where there are more cards than judges, or one note is in two classes.
    """
    files = list(files)
    named = {card for each in files for card in (each["card"], *(note.get("card") for note in each["notes"]))}
    cards = {judge: judge for judge in judges if judge in named}
    free = [judge for judge in judges if judge not in named]
    notes: dict[str, dict[str, Any]] = {}
    for each in files:
        class_id = each["class"]["id"]
        for card in (each["card"], *(note.get("card") for note in each["notes"])):
            if card is not None and card not in cards:
                if not free:
                    raise CannotOpen(f"the files hold more cards than the show has judges ({len(judges)})")
                cards[card] = free.pop(0)
        for note in each["notes"]:
            own: dict[str, Any] = {field: value for field, value in note.items() if value is not None or field in _NULL}
            if own.get("card") is not None:
                own["card"] = cards[own["card"]]
            own["by"] = cards.get(own["by"], own["by"])
            kept = {**_renamed(own, class_id), "class": class_id}
            known = notes.setdefault(kept["id"], kept)
            if known["class"] != class_id:
                raise CannotOpen(f"the classes {known['class']} and {class_id} hold the same note: give one of them")
    return list(notes.values())


# Fields that a note of their kind always has, even when they are null.
_NULL = frozenset(("degree", "done", "number", "text", "tag", "winner", "outcome", "numbers", "grade", "state", "now"))


def _renamed(note: dict[str, Any], class_id: str) -> dict[str, Any]:
    """Ids are unique over a show. One that a phone made is so everywhere, and stays: should the phone bring in the
    same notes as well, they are known. A file that numbers its own gets the class in front of each.
    """

    def in_show(note_id: str) -> str:
        return note_id if _MADE_BY_A_PHONE.fullmatch(note_id) else f"{class_id}/{note_id}"

    note["id"] = in_show(note["id"])
    note["replaces"] = [in_show(each) for each in note["replaces"]]
    if note.get("about") is not None:
        note["about"] = in_show(note["about"])
    return note


def _class_changes(show_id: str, place: int, class_file: ClassFile) -> list[Change]:
    fields = dict(class_file["class"])
    fields["lameness"] = fields.get("lameness") or dict(DEFAULT_LAMENESS)
    changes = [change_to("classes", {"show": show_id, "position": place, "class": fields})]
    for position, entry in enumerate(class_file["entries"]):
        record = {
            "show": show_id,
            "class": fields["id"],
            "position": position,
            "number": entry["number"],
            "identification": entry.get("identification"),
        }
        changes.append(change_to("entries", record))
    return changes


def _role(name: str, asked: str) -> Role:
    for role in ROLES:
        if role == name:
            return role
    raise CannotOpen(f"--seat {asked}: the role must be one of {', '.join(ROLES)}")


def letters(place: int) -> str:
    """a, b, ... z, aa, ab, ..."""
    before, letter = divmod(place, 26)
    return (letters(before - 1) if before else "") + chr(ord("a") + letter)


def _refuse_classes(files: Sequence[tuple[ClassFile, Standard]], classes: Mapping[str, dict[str, Any]]) -> None:
    """Refuse classes that cannot stand side by side, or beside those the show has."""
    ids = [each["class"]["id"] for each, _ in files]
    for class_id in ids:
        if class_id in classes:
            raise CannotOpen(f"the show has a class {class_id} already: its judge brings the notes in on the phone")
        if ids.count(class_id) > 1:
            raise CannotOpen(f"two of the files are of the class {class_id}: give each class one file")
        if not CLASS_ID.fullmatch(class_id):
            raise CannotOpen(
                f"the class id {class_id[:40]!r} must be 1 to 40 of a-z, A-Z, 0-9, dot, dash and underscore"
            )
    refuse_two_of_a_key([*(checked_class(each)[1] for each in classes.values()), *(standard for _, standard in files)])


def refuse_two_of_a_key(standards: Iterable[Standard]) -> None:
    """Refuse two standards that go by one key, or one that goes by a shipped one's. Raises: CannotOpen."""
    seen: dict[str, Standard] = {}
    for standard in standards:
        key = standard["key"]
        known = seen.setdefault(key, shipped_standard(key) if key in shipped_keys() else standard)
        if known != standard:
            raise CannotOpen(f"two different standards are called {key}: rename the one in your file")
