"""The day: all a device needs to work until the evening without a network.

The office changes it while the show runs, so a day has a revision, and every pull says which is the newest. What such a
change opens to a seat lies behind that seat's cursor and would be skipped: `opened` of the class then changes, and the
device fetches that class afresh.
"""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

from nearside.engine.shapes import Standard
from nearside.show.running import RunningClass, RunningShow
from nearside.show.seats import Seat, readable_before_and_after_signing
from nearside.show.standards import about_standards, words

FORMAT = "nearside-day/1"


def day_for(show: RunningShow, seat: Seat) -> dict[str, Any]:
    """A `nearside-day/1` for one seat; every class names its standard by key, the standards stand beside them."""
    standards: dict[str, Standard] = {}
    classes = []
    for each in show.classes.values():
        standards[each.standard["key"]] = each.standard
        classes.append({**each.fields, "standard": each.standard["key"], "entries": each.entries})
    day = {
        "format": FORMAT,
        "show": show.on_the_wire(),
        "seat": seat.on_the_wire(),
        "seats": _seats_named(show, seat),
        "classes": classes,
        "standards": [standards[key] for key in sorted(standards)],
        "words": words(),
        "about_standards": about_standards(),
        # Those the seat judges; who comes back and who is named is asked for with a network.
        "championships": [
            {"id": each["id"], "title": each["title"]} for each in show.championships if each["judge"] == seat.id
        ],
        "about_classes": {class_id: _about(show, seat, class_id, each) for class_id, each in show.classes.items()},
    }
    return {**day, "revision": show.cursors.opaque(seat.id, json.dumps(day))}


def revision_of(show: RunningShow, seat: Seat) -> str:
    """The revision of the seat's day: worked out when first asked for after a change."""
    known_by = seat.id, _studied(show, seat)
    revision = show.revisions.get(known_by)
    if revision is None:
        revision = show.revisions[known_by] = day_for(show, seat)["revision"]
    return revision


def _studied(show: RunningShow, seat: Seat) -> frozenset[str]:
    """The classes in which a trainee reads a card opened for study.

    A judge agrees to it on a signed card. A trainee told of it before the judges and the trainee had signed would
    learn who has; from then on it opens what lies behind the cursor.
    """
    if seat.role != "trainee":
        return frozenset()
    return frozenset(
        class_id for class_id, _ in show.facts.study if seat.card in show.signatures(class_id).since_release
    )


def _about(show: RunningShow, seat: Seat, class_id: str, of: RunningClass) -> dict[str, Any]:
    facts = show.facts if class_id in _studied(show, seat) else replace(show.facts, study=frozenset())
    readable = readable_before_and_after_signing(seat, class_id, facts)
    # From whose signatures on there is something to read depends on who judges the class.
    judges = sorted(show.facts.judges_in(class_id))
    about: dict[str, Any] = {
        "stage": of.record.get("stage"),
        "opened": show.cursors.opaque(seat.id, json.dumps([class_id, readable, judges])),
    }
    if seat.role in ("judge", "scribe") and seat.card not in show.facts.judges_in(class_id):
        about["is_yours"] = False  # its marks would be refused: the page opens no card of it
    divisions = of.record.get("divisions")
    if divisions:
        here = [entry for entry in of.entry_records if not entry.get("gone")]
        about["divisions"] = [
            {
                "id": each["id"],
                "title": each["title"],
                "numbers": [entry["number"] for entry in here if entry.get("division") == each["id"]],
            }
            for each in divisions
        ]
    return about


def _seats_named(show: RunningShow, seat: Seat) -> list[dict[str, Any]]:
    """Who else a device is told of by name, and no more.

    A judge and the scribe: those who write on their card, for naming the two sides of a dispute. A steward and the
    office: the judges with their classes, for writing down what one of them says.
    """
    if seat.role in ("steward", "office"):
        judges = (each for each in show.seats.values() if each.role == "judge")
        classes = {each.id: [key for key in show.classes if each.id in show.facts.judges_in(key)] for each in judges}
        return [
            {"id": key, "name": show.seats[key].name, "role": "judge", "classes": of} for key, of in classes.items()
        ]
    if seat.card is None or seat.role not in ("judge", "scribe"):
        return []
    both = (each for each in show.seats.values() if each.card == seat.card and each.role in ("judge", "scribe"))
    return [{"id": each.id, "name": each.name, "role": each.role} for each in both]
