"""Merging: what a set of notes stands for, whatever way it came together."""

from __future__ import annotations

from itertools import permutations
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from nearside.engine.merging import merge
from nearside.engine.shapes import Merged

from . import cases


def merged(file: dict[str, Any], notes: list[Any] | None = None) -> Merged:
    of = cases.checked(file)
    return merge(of["entries"], of["notes"] if notes is None else notes, of["card"])


def value(of: Merged, *slot: str) -> Any:
    used = next(each["used"] for each in of["slots"] if each["slot"] == list(slot))
    return used["degree"]


MARK: dict[str, Any] = {"number": "7", "trait": "topline", "view": "profile"}
SLOT = ("mark", "judge-a", "7", "topline", "profile")


def mark(note_id: str, degree: int | None, **more: Any) -> dict[str, Any]:
    return cases.note("mark", note_id, **{**MARK, "degree": degree, **more})


def after(*notes: dict[str, Any], entries: tuple[str, ...] = ("7", "12")) -> Merged:
    return merged(cases.class_file(entries, notes))


@given(file=cases.class_files(), data=st.data())
def test_merging_is_commutative_order_of_arrival_changes_nothing(file: dict[str, Any], data: st.DataObject) -> None:
    shuffled = data.draw(st.permutations(cases.checked(file)["notes"]))
    assert merged(file, shuffled) == merged(file)


@given(file=cases.class_files(), data=st.data())
def test_merging_is_idempotent_repeats_change_nothing(file: dict[str, Any], data: st.DataObject) -> None:
    notes = cases.checked(file)["notes"]
    again = data.draw(st.lists(st.sampled_from(notes), max_size=6)) if notes else []
    assert merged(file, [*notes, *again]) == merged(file)


@given(file=cases.class_files(), data=st.data())
def test_merging_is_associative_devices_may_meet_in_any_grouping(file: dict[str, Any], data: st.DataObject) -> None:
    notes = cases.checked(file)["notes"]
    devices = [data.draw(st.lists(st.sampled_from(notes), max_size=20)) if notes else [] for _ in range(3)]

    def union(*sets: list[Any]) -> list[Any]:
        return list({each["id"]: each for held in sets for each in held}.values())

    left = union(union(devices[0], devices[1]), devices[2])
    right = union(devices[0], union(devices[1], devices[2]))
    assert merged(file, left) == merged(file, right)


@given(file=cases.class_files())
def test_no_note_that_counts_is_dropped_each_is_current_or_replaced_by_one_of_its_slot(file: dict[str, Any]) -> None:
    result = merged(file)
    current = {note_id for slot in result["slots"] for note_id in slot["current"]}
    replaced = {old for each in file["notes"] for old in each["replaces"] if old != each["id"]}
    one_horse = {
        each["id"]
        for each in file["notes"]
        if each["kind"] == "over" and len({result["reads_as"].get(n, n) for n in each["pair"]}) == 1
    }
    for each in file["notes"]:
        if each.get("card") in (None, "judge-a") and each["id"] not in one_horse:
            assert each["id"] in current | replaced


def test_a_note_nobody_replaced_is_the_value() -> None:
    result = after(mark("a", 1), mark("b", 2, replaces=["a"]))
    assert value(result, *SLOT) == 2
    assert result["disputes"] == []


def test_two_current_notes_that_differ_are_disputed_and_the_latest_is_used() -> None:
    result = after(mark("a", 1, at=2000), mark("b", 2, at=1000))
    assert value(result, *SLOT) == 1
    assert result["disputes"] == [{"slot": list(SLOT), "notes": ["a", "b"], "used": "a"}]


def test_equal_times_fall_to_the_greater_id_by_code_point() -> None:
    beyond, private = "\U00010000", "\ue000"  # UTF-16 units would sort these the other way
    assert value(after(mark(beyond, 1), mark(private, 2)), *SLOT) == 1


def test_current_notes_that_agree_are_no_dispute() -> None:
    assert after(mark("a", 2, by="scribe-a"), mark("b", 2))["disputes"] == []


def test_a_missing_field_agrees_with_null() -> None:
    call = {"number": "7", "grade": 2, "card": "judge-a"}
    assert after(cases.note("lameness", "a", **call), cases.note("lameness", "b", **call, limb=None))["disputes"] == []


def test_a_dispute_is_settled_by_a_note_that_replaces_all_its_sides() -> None:
    result = after(mark("a", 1), mark("b", 2), mark("c", -1, replaces=["a", "b"]))
    assert value(result, *SLOT) == -1
    assert result["disputes"] == []


def test_a_note_cannot_replace_itself_nor_one_of_another_slot() -> None:
    result = after(mark("a", 1, replaces=["a", "z"]), mark("z", 3, number="12", replaces=["a"]))
    assert value(result, *SLOT) == 1


def test_in_a_ring_all_notes_count_as_current() -> None:
    ring = [mark("a", 1, replaces=["c"]), mark("b", 2, replaces=["a"]), mark("c", 3, replaces=["b"])]
    for order in permutations(ring):
        result = after(*order)
        assert result["disputes"] == [{"slot": list(SLOT), "notes": ["a", "b", "c"], "used": "c"}]


def test_a_ring_beside_a_current_note_stays_replaced() -> None:
    result = after(mark("a", 1, replaces=["b"]), mark("b", 2, replaces=["a"]), mark("c", -2))
    assert value(result, *SLOT) == -2
    assert result["disputes"] == []


def test_marks_of_both_numbers_meet_on_one_horse_when_a_number_is_put_right() -> None:
    result = after(
        mark("a", 1), mark("b", -2, number="T1"), cases.note("entry", "e", number="T1", identification=None, now="7")
    )
    assert result["disputes"][0]["slot"] == list(SLOT)
    assert [entry["number"] for entry in result["entries"]] == ["7", "12"]


def test_a_chain_of_repairs_is_followed_to_its_end_and_a_circle_of_them_ignored() -> None:
    def now(note_id: str, number: str, to: str) -> dict[str, Any]:
        return cases.note("entry", note_id, number=number, identification=None, now=to)

    chained = after(mark("a", 1, number="T1"), now("e", "T1", "9"), now("f", "9", "7"))
    assert value(chained, *SLOT) == 1
    circled = after(mark("a", 1), now("e", "7", "12"), now("f", "12", "7"))
    assert value(circled, *SLOT) == 1
    assert [entry["number"] for entry in circled["entries"]] == ["7", "12"]


def test_two_reasons_for_the_same_repair_are_a_dispute_and_one_reason_given_twice_is_none() -> None:
    def repair(note_id: str, **why: str | None) -> dict[str, Any]:
        return cases.note("entry", note_id, number="T1", identification=None, now="7", **why)

    assert after(repair("e1", reason="misread"), repair("e2", reason="misread"))["disputes"] == []
    assert after(repair("e1", reason=None), repair("e2"))["disputes"] == []
    (dispute,) = after(repair("e1", reason="misread"), repair("e2", reason="numbers swapped"))["disputes"]
    assert dispute == {"slot": ["entry", "T1"], "notes": ["e1", "e2"], "used": "e2"}


def test_an_entry_note_enters_a_late_horse_and_keeps_its_identification_marks() -> None:
    late = cases.note("entry", "e", number="31", identification="grey, star", now=None)
    assert after(late)["entries"][-1] == {"number": "31", "identification": "grey, star"}


def test_a_call_between_two_numbers_of_one_horse_is_ignored() -> None:
    call = cases.note("over", "o", pair=["7", "T1"], winner="7")
    repair = cases.note("entry", "e", number="T1", identification=None, now="7")
    assert [slot["slot"][0] for slot in after(call, repair)["slots"]] == ["entry"]


def test_another_card_and_another_judges_call_say_nothing_here() -> None:
    result = after(
        mark("a", 3, card="judge-b"),
        cases.note("lameness", "l", number="7", grade=4, card="judge-b"),
        cases.note("lameness", "v", number="7", grade=1, observer="veterinarian", by="vet-desk"),
    )
    assert [slot["current"] for slot in result["slots"]] == [["v"]]
