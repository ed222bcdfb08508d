"""The results as a seat gets them: all that is released, or one class, as JSON or as a table.

Names of horses, exhibitors and judges, and the reasons of the office, go to office and announcer alone. A judge and a
judge's scribe see the classes that judge judged, and of separate cards their own; a trainee the classes of which the
own card was signed when they were released, or since.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterable, Mapping
from typing import Any

from nearside.engine.panel import Shared
from nearside.show.records import Records
from nearside.show.refusals import unknown_class
from nearside.show.results import ClassResult, Part, is_changed_since_announced, result_of_class
from nearside.show.seats import Role, Seat

FORMAT = "nearside-results/1"
WITH_NAMES: frozenset[Role] = frozenset(("office", "announcer"))


def results_for(
    records: Records, seat: Seat, head_of: Callable[[str], str | None], class_id: str | None = None
) -> dict[str, Any]:
    """A `nearside-results/1` of all released classes that the seat sees, or of one. Raises: Refusal.

    `head_of` gives the head of a class to be printed; those have it who print it.
    """
    if class_id is not None and class_id not in records.judged:
        raise unknown_class("class")
    results = [result_of_class(records, each) for each in records.judged if class_id in (None, each)]
    return {
        "format": FORMAT,
        "show": {"id": records.id, "title": records.show["title"]},
        "classes": [_on_the_wire(records, result, seat, head_of) for result in results if _sees(seat, result)],
    }


COLUMNS = (
    *("class", "title", "division", "judge", "method", "place", "tied", "awarded", "number", "identification"),
    *("horse", "exhibitor", "shown", "from_paper"),
)


def results_csv(results: Mapping[str, Any]) -> str:
    """A `nearside-results/1` as a table, a row a horse (RFC 4180: lines end in CRLF, what needs quotes has them).

    A cell that a spreadsheet would take for a formula gets an apostrophe in front, which such programs do not show.
    """
    text = io.StringIO()
    rows = csv.writer(text, lineterminator="\r\n")
    rows.writerow(COLUMNS)
    for each in results["classes"]:
        judges = {judge["card"]: judge for judge in each["judges"]}
        alone = None if each["method"] else each["judges"][0]["card"]
        for part in each.get("cards", [{**each, "judge": alone}]):
            judge = judges.get(part["judge"])
            sources = list(judges.values()) if judge is None else [judge]
            common = {
                "class": each["id"],
                "title": each["title"],
                "judge": "" if judge is None else judge.get("name") or judge["card"],
                "method": each["method"] or "",
                "from_paper": _yes(any(source["from_paper"] for source in sources)),
            }
            for group in part.get("divisions") or [{"title": "", "shown": each["shown"], "result": part["result"]}]:
                for row in group["result"]:
                    told = {"tied": _yes(row["tied"]), "awarded": _yes(row["awarded"])}
                    cells = {**common, **row, **told, "division": group["title"] or "", "shown": group["shown"]}
                    rows.writerow([_defused(cells.get(column)) for column in COLUMNS])
    return text.getvalue()


def _yes(claim: bool) -> str:
    return "yes" if claim else ""


def _defused(cell: Any) -> str:
    text = "" if cell is None else str(cell)
    return f"'{text}" if text.startswith(("=", "+", "-", "@", "\t", "\r")) else text


def _sees(seat: Seat, result: ClassResult) -> bool:
    if not result.signatures.is_released:
        return False
    if seat.role in ("judge", "scribe"):
        return any(card.judge == seat.card for card in result.cards)
    return seat.role != "trainee" or seat.card in result.signatures.since_release


def _on_the_wire(
    records: Records, result: ClassResult, seat: Seat, head_of: Callable[[str], str | None]
) -> dict[str, Any]:
    is_named = seat.role in WITH_NAMES
    is_told = is_named or seat.role == "steward"  # of how the card came to be: those who read the signature itself
    parts = result.parts
    if seat.role in ("judge", "scribe"):
        parts = [part for part in parts if part.judge in (None, seat.card)]
    told: dict[str, Any] = {
        "id": result.id,
        "title": result.title,
        "method": result.method,
        "call_judges": result.call_judges,
        "problem": result.problem,
        "shown": len(result.shown),
        "places": result.places,
        "judges": [
            {
                "card": card.judge,
                "name": _name(records, card.judge) if is_named else None,
                "from_paper": card.is_from_paper,
                **(
                    {"signed_at": card.signed_at, "corrected": card.is_corrected, "disputed": card.is_disputed}
                    if is_told
                    else {}
                ),
            }
            for card in result.cards
        ],
        "awaited": [card.judge for card in result.cards if card.numbers is None],
        "stricken": [{**each, "reason": each["reason"] if is_named else None} for each in result.stricken],
        "head": head_of(result.id) if is_named else None,
        **(_announced(records, result) if is_named else {}),
    }
    if result.method is not None and (result.method == "separate" or result.problem):
        told["cards"] = [
            {
                "judge": part.judge,
                "name": _name(records, str(part.judge)) if is_named else None,
                **_placed(result, part, is_named=is_named),
            }
            for part in parts
        ]
        return told
    return {**told, **_placed(result, parts[0] if parts else Part(None, []), is_named=is_named)}


def _announced(records: Records, result: ClassResult) -> dict[str, Any]:
    record = records.classes[result.id]
    return {
        "stage": record.get("stage"),
        "announced_at": record.get("announced_at"),
        "changed_since_announced": is_changed_since_announced(record, result),
    }


def _name(records: Records, seat_id: str) -> str | None:
    seat = records.seats.get(seat_id)
    return None if seat is None else seat["name"]


def _placed(result: ClassResult, part: Part, *, is_named: bool) -> dict[str, Any]:
    """The rows of a part, or those of its divisions; of horses in none only where there are any."""
    if not result.divisions:
        return {"result": _rows(result, part.places, is_named=is_named)}
    divisions = [*result.divisions, {"id": None, "title": None}]
    told = [
        {
            "id": each["id"],
            "title": each["title"],
            "shown": result.shown_in(each["id"]),
            "result": _rows(result, result.of_division(part, each["id"]), is_named=is_named),
        }
        for each in divisions
    ]
    return {"divisions": told if told[-1]["shown"] or told[-1]["result"] else told[:-1]}


def _rows(result: ClassResult, places: Iterable[Shared], *, is_named: bool) -> list[dict[str, Any]]:
    rows = []
    for shared in places:
        for number in shared["numbers"]:
            known = result.known(number)
            row: dict[str, Any] = {
                "place": shared["place"],
                "tied": len(shared["numbers"]) > 1,
                "awarded": shared["place"] <= result.places,
                "number": number,
                "identification": known.identification,
            }
            rows.append({**row, "horse": known.horse, "exhibitor": known.exhibitor} if is_named else row)
    return rows
