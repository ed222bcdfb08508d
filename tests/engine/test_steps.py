"""Steps and looks: against the plain way of writing the note and placing again."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from hypothesis import given, settings

from nearside.engine.merging import merge
from nearside.engine.shapes import Placing

from . import cases
from .cases import marks, note, pair_of, placed


def total_of(placing: Placing, number: str) -> int:
    total: int = next(each["total"] for each in placing["totals"] if each["number"] == number)
    return total


def judged(file: dict[str, Any]) -> list[dict[str, Any]]:
    sexes = set(file["class"]["sexes"])
    return [
        trait
        for criterion in file["class"]["standard"]["criteria"]
        for trait in criterion["traits"]
        if not trait.get("sexes") or set(trait["sexes"]) & sexes
    ]


def stood(file: dict[str, Any], number: str, trait: str, view: str) -> tuple[int, list[str]]:
    """The degree in force in a slot (0 for none) and its current notes."""
    checked = cases.checked(file)
    for slot in merge(checked["entries"], checked["notes"], "judge-a")["slots"]:
        if slot["slot"] == ["mark", "judge-a", number, trait, view]:
            return slot["used"]["degree"] or 0, slot["current"]
    return 0, []


def remarked(file: dict[str, Any], number: str, trait: str, view: str, degree: int) -> int:
    """The horse's total once this degree is written."""
    _, replaces = stood(file, number, trait, view)
    written = note(
        "mark", "step!", number=number, trait=trait, view=view, degree=degree or None, replaces=replaces, at=9
    )
    return total_of(cases.place_file(file | {"notes": [*file["notes"], written]}), number)


def changes(file: dict[str, Any], placing: Placing, number: str, direction: int) -> Iterator[int]:
    before = total_of(placing, number)
    for trait in judged(file):
        for view in trait["views"]:
            degree = stood(file, number, trait["key"], view)[0] + direction
            if abs(degree) > 3 or (degree > 0 and "good" not in trait):
                continue
            yield remarked(file, number, trait["key"], view, degree) - before


@settings(max_examples=25)
@given(cases.class_files(most=25))
def test_one_step_says_what_writing_every_single_step_says(file: dict[str, Any]) -> None:
    kept = ("mark", "looked", "over", "ruling")
    entries = file["entries"][:4]
    # Looked at from the first view whatever its marks, so that taking the last mark back leaves a horse in the placing.
    looks = [
        note("looked", f"look {each['number']}", number=each["number"], view="profile", done=True) for each in entries
    ]
    notes = [each for each in file["notes"] if each["kind"] in kept]
    file = file | {"notes": [*notes, *looks], "entries": entries}
    placing = cases.place_file(file)
    rises = {n: max(changes(file, placing, n, 1), default=0) for n in placing["placing"]}
    falls = {n: -min(changes(file, placing, n, -1), default=0) for n in placing["placing"]}
    for pair in placing["pairs"]:
        within = pair["margin"] <= max(rises[pair["lower"]], falls[pair["upper"]])
        assert pair["one_step"] is (pair["basis"] in ("notes", "even") and within)


@settings(max_examples=40)
@given(cases.class_files(most=25))
def test_looks_are_those_where_writing_one_clear_mark_would_close_the_pair(file: dict[str, Any]) -> None:
    kept = ("mark", "looked", "over", "ruling")
    file = file | {"notes": [each for each in file["notes"] if each["kind"] in kept], "entries": file["entries"][:5]}
    placing = cases.place_file(file)
    checked = cases.checked(file)
    seen = {
        (slot["slot"][2], slot["slot"][-1])
        for slot in merge(checked["entries"], checked["notes"], "judge-a")["slots"]
        if slot["slot"][0] in ("mark", "looked") and (slot["used"].get("degree") or slot["used"].get("done"))
    }
    expected = []
    for place, pair in enumerate(each for each in placing["pairs"] if each["adjacent"]):
        if pair["basis"] not in ("notes", "even"):
            continue
        for which, (number, degree) in enumerate(((pair["upper"], -2), (pair["lower"], 2))):
            for order, view in enumerate(file["class"]["standard"]["views"]):
                traits = [t for t in judged(file) if view in t["views"] and (degree < 0 or "good" in t)]
                if (number, view) in seen:
                    continue
                before = total_of(placing, number)
                moved = [abs(remarked(file, number, t["key"], view, degree) - before) for t in traits]
                if moved and pair["margin"] - max(moved) <= 0:
                    look = {"number": number, "view": view, "pair": [pair["upper"], pair["lower"]]}
                    expected.append(((pair["margin"], place, which, order), look))
    assert placing["look_again"] == [look for _, look in sorted(expected, key=lambda each: each[0])]


def test_a_fault_only_trait_ends_at_none() -> None:
    """The only thing that could still lift 12 is its knee, from a slight fault to none: 4 x 1 x 60 x W of structure."""
    of = cases.standard([cases.trait("a", weight=4)], [cases.trait("knees", fault_only=True, weight=1)])
    notes = [
        note("mark", "1", number="7", trait="a", view="profile", degree=3),
        note("mark", "2", number="12", trait="a", view="profile", degree=3),
        note("mark", "3", number="12", trait="knees", view="profile", degree=-1),
    ]
    pair = pair_of(placed(["7", "12"], notes, of=of), "7", "12")
    assert (pair["margin"], pair["one_step"]) == (60, True)


def test_a_wide_margin_is_not_one_step() -> None:
    notes = marks(_7={"topline": 3, "girth": 3, "neck": 3}, _12={"topline": -3, "girth": -3, "neck": -3})
    assert pair_of(placed(["7", "12"], notes), "7", "12")["one_step"] is False


def test_no_look_is_asked_for_where_every_view_was_taken() -> None:
    looked = [
        note("looked", f"l{number}{view}", number=number, view=view, done=True)
        for number in ("7", "12")
        for view in cases.VIEWS
    ]
    assert placed(["7", "12"], looked)["look_again"] == []
