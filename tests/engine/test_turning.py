"""What would turn a pair: every step it lists does, no other does, the worst first."""

from __future__ import annotations

from typing import Any

from hypothesis import given, settings

from nearside.engine.turning import turning_steps
from nearside.show.classfile import checked_class_file

from . import cases
from .test_steps import judged, remarked, stood, total_of


@settings(max_examples=30)
@given(cases.class_files(most=25))
def test_the_steps_are_those_after_which_writing_the_mark_leaves_no_lead(file: dict[str, Any]) -> None:
    entries = file["entries"][:3]
    looks = [
        cases.note("looked", f"look {e['number']}", number=e["number"], view="profile", done=True) for e in entries
    ]
    file = file | {"notes": [each for each in file["notes"] if each["kind"] == "mark"] + looks, "entries": entries}
    checked, standard = checked_class_file(file)
    placing = cases.place_file(file)
    for pair in placing["pairs"]:
        upper, lower = pair["upper"], pair["lower"]
        expected = []
        for number, direction in ((upper, -1), (lower, 1)):
            for trait in judged(file):
                for view in trait["views"]:
                    before = stood(file, number, trait["key"], view)[0]
                    after = before + direction
                    if abs(after) > 3 or (after > 0 and "good" not in trait):
                        continue
                    change = remarked(file, number, trait["key"], view, after) - total_of(placing, number)
                    margin = pair["margin"] - direction * change
                    if change and margin <= 0:
                        expected.append((number, trait["key"], view, before, after, margin))
        expected.sort(key=lambda each: each[-1])
        assert [tuple(turn.values()) for turn in turning_steps(checked, standard, upper, lower)] == expected
