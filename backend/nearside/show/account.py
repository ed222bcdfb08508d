"""A placing for a person to read: the order, what decides each adjacent pair, and all that is left to see to.

Plain text for a terminal or a printer; the words of the comparisons are the engine's.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from nearside.engine.merging import merge
from nearside.engine.reasons import view_phrase
from nearside.engine.shapes import ClassFile, Merged, Placing, Standard

DECIDES = "A suggestion from the notes. The judge decides; the show's rules and its veterinarian stand above it."


def account(class_file: ClassFile, standard: Standard, placing: Placing, words: Mapping[str, Any]) -> str:
    """The whole account, lines ended by a line feed."""
    show_class = class_file["class"]
    merged = merge(class_file["entries"], class_file["notes"], class_file["card"])
    marks = {entry["number"]: entry["identification"] for entry in merged["entries"]}
    paragraphs = [
        [f"{show_class['title']} (class {show_class['id']})", f"Card {placing['card']}, standard {standard['title']}"],
        _order(placing, marks, show_class["places"]),
        _left_out(placing, words),
        _put_right(merged),
        _to_see_to(placing, words),
        _looks(placing, words),
        _own(placing),
        [DECIDES],
    ]
    return "\n".join("".join(f"{line}\n" for line in lines) for lines in paragraphs if lines)


def spoken_account(reasons: Mapping[str, Any], *, is_short: bool) -> str:
    """Oral reasons to read aloud: a paragraph for each pair, and how long they take."""
    if is_short:
        return "".join(f"{each['text']}\n" for each in reasons["short"])
    paragraphs: list[list[str]] = []
    for each in reasons["statements"]:
        if each["part"] in ("opening", "pair", "last", "closing"):
            paragraphs.append([])
        paragraphs[-1].append(each["text"])
    minutes, seconds = divmod(reasons["seconds"], 60)
    text = "\n\n".join(" ".join(paragraph) for paragraph in paragraphs)
    return f"{text}\n\n({reasons['words']} words, about {minutes} min {seconds} s read aloud)\n"


def standard_account(standard: Standard) -> str:
    """What a standard holds: its criteria in their order, and by view how many traits."""
    lines = [f"{standard['title']} ({standard['key']}) is a standard."]
    for place, criterion in enumerate(standard["criteria"], start=1):
        faults = sum(trait.get("good") is None for trait in criterion["traits"])
        lines.append(f"{place:>3}  {criterion['title']}: {len(criterion['traits'])} traits, {faults} only as faults")
    for view in standard["views"]:
        traits = [trait for each in standard["criteria"] for trait in each["traits"] if view in trait["views"]]
        first = sum(bool(trait.get("first")) for trait in traits)
        lines.append(f"     {view}: {len(traits)} traits, {first} shown first")
    return "".join(f"{line}\n" for line in lines)


def _order(placing: Placing, marks: Mapping[str, str | None], places: int) -> list[str]:
    if not placing["placing"]:
        return ["No horse is placed."]
    between = {pair["upper"]: pair["sentence"] for pair in placing["pairs"] if pair["adjacent"]}
    lines: list[str] = []
    for place, number in enumerate(placing["placing"], start=1):
        last = "last by rule" if number in placing["last_by_rule"] else ""
        about = ", ".join(each for each in (marks.get(number) or "", last) if each)
        lines.append(f"{place:>3}  {number:<6} {about}".rstrip())
        if place == places and len(placing["placing"]) > places:
            lines.append("     ---- places end here ----")
        if number in between:
            lines.append(f"       {between[number]}")
    return lines


def _left_out(placing: Placing, words: Mapping[str, Any]) -> list[str]:
    if not placing["unplaced"]:
        return []
    lines = ["Not placed:"]
    for each in placing["unplaced"]:
        reason = f" ({each['reason']})" if each["reason"] else ""
        lines.append(f"  {each['number']:<6} {words['standings'][each['standing']]}{reason}")
    return lines


def _put_right(merged: Merged) -> list[str]:
    """Numbers that were noted for another horse's, and why."""
    lines = []
    for slot in merged["slots"]:
        note = slot["used"]
        if note["kind"] == "entry" and note.get("now") is not None:
            reason = f": {note['reason']}" if note.get("reason") else ""
            lines.append(f"  {note['number']} is now {note['now']}{reason}")
    return ["Numbers put right:", *lines] if lines else []


def _to_see_to(placing: Placing, words: Mapping[str, Any]) -> list[str]:
    """What is open: each line says what, and which horses."""
    lines = [
        *(f"  Even, settle by eye: {_numbers(run)}" for run in placing["even"]),
        *(f"  Direct calls in a circle, set aside: {_numbers(circle)}" for circle in placing["circles"]),
        *(f"  Call set aside: {each['winner']} over {each['loser']}" for each in placing["calls_set_aside"]),
        *(
            f"  The steward asks for another look: {each['number']}, seen as grade {each['grade']} (no diagnosis)"
            for each in placing["asks"]
        ),
    ]
    if placing["conflicts"]:
        lines.append(f"  Gate and card disagree on: {_numbers(placing['conflicts'])}")
    if placing["strangers"]:
        lines.append(f"  Noted but never entered: {_numbers(placing['strangers'])}")
    for dispute in placing["disputes"]:
        kind, *where = dispute["slot"]
        lines.append(f"  Disputed {words['slots'][kind]}: {', '.join(where)} ({len(dispute['notes'])} notes differ)")
    return ["To see to:", *lines] if lines else []


def _looks(placing: Placing, words: Mapping[str, Any]) -> list[str]:
    looks = [
        f"  {each['number']} {view_phrase(each['view'], words)}: could settle {each['pair'][0]} over {each['pair'][1]}"
        for each in placing["look_again"]
    ]
    return ["Worth another look:", *looks] if looks else []


def _own(placing: Placing) -> list[str]:
    if placing["own"] is None:
        return []
    lines = [f"The judge's own order: {_numbers(placing['own'])}"]
    lines += [f"  {each['upper']} over {each['lower']} goes against the notes" for each in placing["against"]]
    return lines


def _numbers(numbers: Iterable[str]) -> str:
    return ", ".join(numbers)
