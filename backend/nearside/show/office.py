"""The show as its office sees it: everything it keeps, and of the cards nothing before all judges have signed.

Codes and names are in it, so it is for the office's own devices alone.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from typing import Any

from nearside.show.horses import Horse, horse_among, horses_of
from nearside.show.office_classes import method_of, own_standards, panel_problem, standard_in
from nearside.show.records import Records
from nearside.show.results import is_changed_since_announced, result_of_class
from nearside.show.standards import shipped_keys, shipped_standard
from nearside.store.protocol import Record

FORMAT = "nearside-office/1"


def office_for(
    records: Records, looked_at: Collection[str], devices: Sequence[Mapping[str, Any]], link: Callable[[str], str]
) -> dict[str, Any]:
    """A `nearside-office/1`, of records that need not hold marks and looks.

    `looked_at` are the classes in which somebody has looked at a horse; `link` makes a seat's link of its code.
    """
    return {
        "format": FORMAT,
        "show": {"id": records.id, "title": records.show["title"]},
        "standards": _standards(records),
        "seats": [
            {**{field: each[field] for field in _SEAT}, "link": link(each["code"])} for each in records.seated.values()
        ],
        "devices": [each for each in devices if each["seat"] in records.seated],
        "classes": [
            {**_class(records, class_id), "fixed": class_id in looked_at}
            for class_id, each in records.classes.items()
            if not each.get("gone")
        ],
        "championships": [
            {field: value for field, value in each.items() if field not in ("show", "position")}
            for each in records.championships.values()
        ],
    }


_SEAT = ("id", "role", "name", "card", "shadows", "code")


def _standards(records: Records) -> list[dict[str, str]]:
    titles = {key: shipped_standard(key)["title"] for key in shipped_keys()}
    titles |= {key: each["title"] for key, each in own_standards(records).items()}
    return [{"key": key, "title": title} for key, title in sorted(titles.items(), key=lambda each: each[1])]


def _class(records: Records, class_id: str) -> dict[str, Any]:
    record = records.classes[class_id]
    judges = records.judges_in(class_id)
    horses = horses_of(records, class_id)
    method, call_judges = method_of(record)
    result = result_of_class(records, class_id)
    released = result.signatures.is_released
    signed = [each for each in result.cards if each.numbers is not None] if released else []
    return {
        **record["class"],
        "standard": standard_in(record)["key"],
        "judges": record.get("judges"),
        "method": method,
        "call_judges": call_judges,
        "problem": panel_problem(records, record),
        "study_office": bool(record.get("study_office")),
        # A judge agrees once the own card is signed: before all have signed this would tell who has.
        "study_judges": (record.get("study_judges") or []) if released else [],
        "slips": (record.get("slips") or []) if released else [],
        "stage": record.get("stage"),
        "announced_at": record.get("announced_at"),
        "changed_since_announced": is_changed_since_announced(record, result),
        "divisions": record.get("divisions") or [],
        "folded": record.get("folded"),
        "strikes": [{**each, "number": _known_as(horses, each["number"])} for each in record.get("strikes") or ()],
        "signed": {
            each.judge: {"at": each.signed_at, "numbers": each.numbers, "from_paper": each.is_from_paper}
            for each in signed
        },
        # Before all have signed nobody learns how many have.
        "cards": {"signed": len(signed), "of": len(judges)},
        "released": released,
        "entries": [
            {
                "number": each.number,
                "identification": each.identification,
                "horse": (each.record or {}).get("horse"),
                "exhibitor": (each.record or {}).get("exhibitor"),
                "division": (each.record or {}).get("division"),
                "gone": _gone(each.record) if each.is_gone else None,
                "reads_as": each.known_as if each.known_as != each.number else None,
            }
            for each in horses
        ],
    }


def _known_as(horses: Sequence[Horse], number: str) -> str:
    horse = horse_among(horses, number)
    return number if horse is None else horse.known_as


def _gone(record: Record | None) -> Any:
    return None if record is None else record.get("gone")
