"""The day: all a device needs to work until the evening without a network."""

from __future__ import annotations

from typing import Any

from nearside.engine.shapes import Standard
from nearside.show.running import RunningShow
from nearside.show.seats import Seat
from nearside.show.standards import about_standards, words

FORMAT = "nearside-day/1"


def day_for(show: RunningShow, seat: Seat) -> dict[str, Any]:
    """A `nearside-day/1` for one seat; every class names its standard by key, the standards stand beside them."""
    standards: dict[str, Standard] = {}
    classes = []
    for each in show.classes.values():
        standards[each.standard["key"]] = each.standard
        classes.append({**each.fields, "standard": each.standard["key"], "entries": each.entries})
    return {
        "format": FORMAT,
        "show": show.on_the_wire(),
        "seat": seat.on_the_wire(),
        "seats": _of_the_card(show, seat),
        "classes": classes,
        "standards": [standards[key] for key in sorted(standards)],
        "words": words(),
        "about_standards": about_standards(),
    }


def _of_the_card(show: RunningShow, seat: Seat) -> list[dict[str, str]]:
    """Who writes on the seat's card, for naming the two sides of a dispute; nobody else's name goes to a device."""
    if seat.card is None or seat.role not in ("judge", "scribe"):
        return []
    both = (each for each in show.seats.values() if each.card == seat.card and each.role in ("judge", "scribe"))
    return [{"id": each.id, "name": each.name, "role": each.role} for each in both]
