"""The placing: order, pairs and what is listed beside it, by hand and against slow second ways."""

from __future__ import annotations

from itertools import combinations, pairwise
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from nearside.engine.merging import merge
from nearside.engine.numbers import natural_key
from nearside.engine.placing import place
from nearside.engine.shapes import Placing
from nearside.engine.weighing import order_weights
from nearside.show.classfile import checked_class_file
from nearside.show.standards import words
from nearside.show.strict_json import canonical

from . import cases
from .cases import class_file, marks, note, pair_of, placed


def over(note_id: str, winner: str, loser: str) -> dict[str, Any]:
    return note("over", note_id, pair=[winner, loser], winner=winner)


FOUR = marks(_7={"topline": 3}, _12={"topline": 2}, _31={"topline": 1}, _103={"topline": -1})
ENTRIES = ["7", "12", "31", "103"]


# --- by hand ---------------------------------------------------------------------------------------------------------


def test_a_class_worked_by_hand() -> None:
    """Balance weighs 25, structure 13, quality 7, muscling 3 of 48.

    12: topline clear (2 x 2 x 60 = 240), girth slight (2 x 1 x 30 = 60): balance 300, T = 7500.
    7: topline marked (2 x 4 x 60 = 480), knees slight fault (4 x 1 x 60): structure -240; T = 12000 - 3120 = 8880.
    """
    placing = placed(["12", "7"], marks(_12={"topline": 2, "girth": 1}, _7={"topline": 3, "knees": -1}))
    assert placing["placing"] == ["7", "12"]
    assert [each["total"] for each in placing["totals"]] == [8880, 7500]
    assert placing["scale"] == 2880
    pair = pair_of(placing, "7", "12")
    assert (pair["basis"], pair["margin"], pair["decided_by"]) == ("notes", 1380, "balance")
    assert pair["for"] == [{"criterion": "balance", "trait": "topline", "difference": 4}]
    # 13 x 4 for the knees before 25 x 2 for the girth
    assert [(each["trait"], each["difference"]) for each in pair["grants"]] == [("knees", -4), ("girth", -2)]
    # D = 180, -240, 0, 0; at the corners 180, -30, -20, -15: 180/210 x 180/200 x 180/195 = 0.712 of the weighings
    assert pair["share"] == share_by_hand([180, -240, 0, 0])
    assert pair["one_step"] is True  # 12's topline from clear to marked is worth 6000


def share_by_hand(figures: list[int]) -> int:
    """The share where only the first corner is above 0: the corner cut off is a smaller simplex, edge by edge."""
    corners = [sum(figures[: k + 1]) / (k + 1) for k in range(len(figures))]
    assert corners[0] > 0 > max(corners[1:])
    part = 1.0
    for corner in corners[1:]:
        part *= corners[0] / (corners[0] - corner)
    return round(1000 * part)


def test_a_good_view_does_not_wipe_out_a_bad_one() -> None:
    placing = placed(["7"], marks(_7={"shoulder@profile": 2, "shoulder@walk": -2}))
    assert placing["totals"][0]["total"] == 0
    assert placing["placing"] == ["7"]


def test_an_empty_class_has_an_empty_placing() -> None:
    placing = placed([], [])
    assert (placing["placing"], placing["pairs"], placing["own"], placing["even"]) == ([], [], None, [])


def test_a_horse_nobody_looked_at_is_not_placed_and_does_not_stand_above_a_faulted_one() -> None:
    placing = placed(["7", "12"], marks(_12={"knees": -3}))
    assert placing["placing"] == ["12"]
    assert placing["unplaced"] == [{"number": "7", "standing": "not_looked", "reason": None}]


def test_a_look_with_nothing_to_note_places_a_horse() -> None:
    placing = placed(["7", "12"], [*marks(_12={"knees": -3}), note("looked", "l", number="7", view="front", done=True)])
    assert placing["placing"] == ["7", "12"]


def test_remarks_order_and_signature_do_not_make_a_horse_looked_at() -> None:
    said = [
        note("remark", "r", number="7", text="kind eye", tag=None),
        note("order", "o", numbers=["7"]),
        note("sign", "s", numbers=["7"]),
    ]
    assert placed(["7"], said)["unplaced"][0]["standing"] == "not_looked"


def test_a_number_never_entered_is_listed_not_placed() -> None:
    placing = placed(["12"], marks(_12={"topline": 1}, _99={"topline": 3}))
    assert (placing["placing"], placing["strangers"]) == (["12"], ["99"])


def test_a_called_winner_rises_to_just_above_the_horse_it_beat() -> None:
    placing = placed(ENTRIES, [*FOUR, over("o", "103", "12")])
    assert placing["placing"] == ["7", "103", "12", "31"]
    assert pair_of(placing, "103", "12")["basis"] == "call"
    assert pair_of(placing, "103", "31")["basis"] == "carried"
    assert pair_of(placing, "7", "103")["basis"] == "notes"


def test_a_chain_of_calls_is_given_with_the_pair_it_decides() -> None:
    placing = placed(ENTRIES, [*FOUR, over("o", "103", "31"), over("p", "31", "7")])
    assert placing["placing"] == ["103", "31", "7", "12"]
    assert pair_of(placing, "103", "7")["chain"] == ["103", "31", "7"]
    assert pair_of(placing, "103", "31")["chain"] == ["103", "31"]


def test_of_equally_short_chains_the_first_by_natural_order_is_given() -> None:
    calls = [over("a", "103", "31"), over("b", "103", "12"), over("c", "31", "7"), over("d", "12", "7")]
    assert pair_of(placed(ENTRIES, [*FOUR, *calls]), "103", "7")["chain"] == ["103", "12", "7"]


def test_a_circle_of_calls_is_reported_and_set_aside() -> None:
    circle = [over("a", "12", "7"), over("b", "31", "12"), over("c", "7", "31"), over("d", "103", "31")]
    placing = placed(ENTRIES, [*FOUR, *circle])
    assert placing["circles"] == [["7", "12", "31"]]
    assert placing["calls_set_aside"] == [
        {"winner": "7", "loser": "31"},
        {"winner": "12", "loser": "7"},
        {"winner": "31", "loser": "12"},
    ]
    assert placing["placing"] == ["7", "12", "103", "31"]


def test_a_call_with_a_horse_not_placed_by_its_marks_is_set_aside() -> None:
    last = note("ruling", "r", number="31", outcome="last")
    placing = placed(ENTRIES, [*FOUR, last, over("a", "31", "7"), over("b", "99", "7")])
    assert [each["winner"] for each in placing["calls_set_aside"]] == ["31", "99"]
    assert placing["placing"] == ["7", "12", "103", "31"]


def test_equal_horses_stand_by_number_and_are_listed_as_even() -> None:
    placing = placed(["12", "7", "007"], marks(_12={"topline": 1}, _7={"topline": 1}, _007={"topline": 1}))
    assert placing["placing"] == ["007", "7", "12"]
    assert placing["even"] == [["007", "7", "12"]]
    assert pair_of(placing, "007", "7")["decided_by"] is None
    assert pair_of(placing, "007", "7")["share"] == 500


def test_equal_totals_fall_to_the_first_criterion_that_differs_and_are_no_even_run() -> None:
    # Two criteria weigh 3 and 1: a slight mark of weight 1 on the first comes to one of weight 3 on the second.
    of = cases.standard([cases.trait("a", weight=1)], [cases.trait("b", weight=3)])
    notes = [
        note("mark", "m1", number="7", trait="a", view="profile", degree=1),
        note("mark", "m2", number="12", trait="b", view="profile", degree=1),
    ]
    placing = placed(["12", "7"], notes, of=of)
    pair = pair_of(placing, "7", "12")
    assert (pair["basis"], pair["margin"], pair["decided_by"], placing["even"]) == ("even", 0, "balance", [])


def test_own_order_is_kept_and_only_its_pairs_against_the_notes_are_listed() -> None:
    placing = placed([*ENTRIES, "5"], [*FOUR, note("order", "o", numbers=["12", "7", "5", "31", "103"])])
    assert placing["placing"] == ["7", "12", "31", "103"]
    assert placing["own"] == ["12", "7", "5", "31", "103"]
    assert placing["against"] == [{"upper": "12", "lower": "7", "margin": -6000}]


def test_an_order_taken_back_leaves_none() -> None:
    back = note("order", "p", numbers=None, replaces=["o"])
    placing = placed(ENTRIES, [*FOUR, note("order", "o", numbers=["12", "7"]), back])
    assert (placing["own"], placing["against"]) == (None, [])


def test_views_not_taken_are_listed_for_placed_horses_only() -> None:
    placing = placed(["7", "12"], marks(_7={"topline": 1}))
    assert placing["unseen"] == [{"number": "7", "views": ["front", "rear", "head", "walk", "trot"]}]


def test_a_mark_on_a_trait_not_judged_in_the_class_counts_for_nothing() -> None:
    """No such mark enters by a class file; it stays where the sexes of a class are put right after it was noted."""
    on_sex = note("mark", "m", number="7", trait="sex", view="head", degree=2)
    file, of = checked_class_file(class_file(["7"], [on_sex]))
    mares = place(file, of, words())
    file["class"]["sexes"] = ["gelding"]
    geldings = place(file, of, words())
    assert [each["totals"][0]["total"] for each in (mares, geldings)] == [7 * 2 * 2 * 60, 0]


# --- a slow second way -----------------------------------------------------------------------------------------------


def slow_totals(file: dict[str, Any]) -> dict[str, int]:
    """Totals from the definition, nothing shared with the engine but the merge and the order weights."""
    checked = cases.checked(file)
    of = file["class"]["standard"]
    counts = of.get("degrees") or [1, 2, 4]
    merged = merge(checked["entries"], checked["notes"], checked["card"])
    weights = order_weights(len(of["criteria"]))
    totals = {}
    for entry in merged["entries"]:
        total = 0
        for weight, criterion in zip(weights, of["criteria"], strict=True):
            ends: dict[int, list[int]] = {1: [], -1: []}
            for trait in criterion["traits"]:
                if trait.get("sexes") and not set(trait["sexes"]) & set(file["class"]["sexes"]):
                    continue
                for sign, strengths in ends.items():
                    seen = [
                        counts[abs(slot["used"]["degree"] or 0) - 1]
                        for slot in merged["slots"]
                        if slot["slot"][:1] == ["mark"]
                        and slot["slot"][2:4] == [entry["number"], trait["key"]]
                        and (slot["used"]["degree"] or 0) * sign > 0
                    ]
                    strengths.append((trait.get("weight") or 2) * max(seen, default=0))
            part = {sign: sorted(each, reverse=True)[:6] for sign, each in ends.items()}
            score = {
                sign: sum(f * s for f, s in zip([60, 30, 20, 15, 12, 10], each, strict=False))
                for sign, each in part.items()
            }
            total += weight * (score[1] - score[-1])
        totals[entry["number"]] = total
    return totals


@given(cases.class_files())
def test_totals_are_those_of_the_definition(file: dict[str, Any]) -> None:
    placing = cases.place_file(file)
    slow = slow_totals(file)
    assert {each["number"]: each["total"] for each in placing["totals"]} == {n: slow[n] for n in placing["placing"]}


def slow_order(file: dict[str, Any], placing: Placing) -> list[str]:
    """Those placed by marks, ordered word for word as the rule is written."""
    scores = {
        each["number"]: (-each["total"], [-c["score"] for c in each["criteria"]], natural_key(each["number"]))
        for each in placing["totals"]
    }
    left = [number for number in placing["placing"] if number not in placing["last_by_rule"]]
    aside = {(each["winner"], each["loser"]) for each in placing["calls_set_aside"]}
    checked = cases.checked(file)
    edges = set()
    for slot in merge(checked["entries"], checked["notes"], checked["card"])["slots"]:
        if slot["slot"][0] == "over" and slot["used"]["winner"]:
            winner = slot["used"]["winner"]
            edges.add((winner, next(each for each in slot["used"]["pair"] if each != winner)))
    edges -= aside
    order: list[str] = []

    def over_it(number: str) -> set[str]:
        above = {w for w, loser in edges if loser == number and w in left}
        while (more := {w for w, loser in edges if loser in above and w in left} - above) != set():
            above |= more
        return above

    while left:
        look = min(left, key=lambda number: scores[number])
        above = over_it(look)
        free = [number for number in above if not over_it(number)]
        taken = min(free, key=lambda number: scores[number]) if free else look
        left.remove(taken)
        order.append(taken)
    return order


@given(cases.class_files())
def test_the_order_is_that_of_the_rule_as_written(file: dict[str, Any]) -> None:
    placing = cases.place_file(file)
    assert placing["placing"] == slow_order(file, placing) + placing["last_by_rule"]


@given(cases.class_files())
def test_every_pair_is_there_in_placing_order_and_no_even_or_noted_pair_goes_against_its_margin(
    file: dict[str, Any],
) -> None:
    placing = cases.place_file(file)
    assert [(p["upper"], p["lower"]) for p in placing["pairs"]] == list(combinations(placing["placing"], 2))
    assert [(p["upper"], p["lower"]) for p in placing["pairs"] if p["adjacent"]] == list(pairwise(placing["placing"]))
    totals = {each["number"]: each["total"] for each in placing["totals"]}
    for pair in placing["pairs"]:
        assert pair["margin"] == totals[pair["upper"]] - totals[pair["lower"]]
        assert (pair["chain"] is not None) is (pair["basis"] == "call")
        assert (pair["decided_by"] is not None) <= (pair["basis"] in ("notes", "even"))
        if pair["basis"] == "notes":
            assert pair["margin"] > 0
        if pair["basis"] == "carried":
            assert pair["margin"] < 0


@given(cases.class_files())
def test_each_horse_of_the_class_is_placed_or_unplaced_and_never_both(file: dict[str, Any]) -> None:
    placing = cases.place_file(file)
    checked = cases.checked(file)
    entered = merge(checked["entries"], checked["notes"], checked["card"])["entries"]
    stood = placing["placing"] + [each["number"] for each in placing["unplaced"]]
    assert sorted(stood) == sorted(entry["number"] for entry in entered)


# --- what a placing must do ------------------------------------------------------------------------------------------


def only_marks(file: dict[str, Any]) -> dict[str, Any]:
    return file | {"notes": [each for each in file["notes"] if each["kind"] in ("mark", "looked")]}


@given(cases.class_files(), st.permutations(cases.NUMBERS))
def test_renaming_horses_renames_the_placing_but_for_even_ones(file: dict[str, Any], names: list[str]) -> None:
    renamed_to = dict(zip(cases.NUMBERS, names, strict=True))
    file = only_marks(file)
    renamed = file | {
        "entries": [{"number": renamed_to[each["number"]]} for each in file["entries"]],
        "notes": [each | {"number": renamed_to[each["number"]]} for each in file["notes"]],
    }
    before, after = cases.place_file(file), cases.place_file(renamed)
    assert {renamed_to[each["number"]]: each["total"] for each in before["totals"]} == {
        each["number"]: each["total"] for each in after["totals"]
    }
    figures = [[each["total"], [c["score"] for c in each["criteria"]]] for each in before["totals"]]
    assert figures == [[each["total"], [c["score"] for c in each["criteria"]]] for each in after["totals"]]


@given(cases.class_files())
def test_mirrored_marks_mirror_the_placing(file: dict[str, Any]) -> None:
    file = only_marks(file)
    both = {t["key"] for c in file["class"]["standard"]["criteria"] for t in c["traits"] if "good" in t}
    file["notes"] = [each for each in file["notes"] if each["kind"] == "looked" or each["trait"] in both]
    mirrored = file | {
        "notes": [
            each | {"degree": -each["degree"]} if each.get("degree") is not None else each for each in file["notes"]
        ]
    }
    totals = {each["number"]: each["total"] for each in cases.place_file(file)["totals"]}
    after = {each["number"]: each["total"] for each in cases.place_file(mirrored)["totals"]}
    assert after == {number: -total for number, total in totals.items()}


@given(cases.class_files(), st.data())
def test_a_better_mark_never_unseats_the_first(file: dict[str, Any], data: st.DataObject) -> None:
    file = only_marks(file)
    before = cases.place_file(file)
    if not before["placing"]:
        return
    first = before["placing"][0]
    sexes = set(file["class"]["sexes"])
    merits = [
        t
        for c in file["class"]["standard"]["criteria"]
        for t in c["traits"]
        if "good" in t and (not t.get("sexes") or set(t["sexes"]) & sexes)
    ]
    if not merits:
        return
    on = data.draw(st.sampled_from(merits))
    view = data.draw(st.sampled_from(on["views"]))
    checked = cases.checked(file)
    slot = ["mark", "judge-a", first, on["key"], view]
    held = next((s for s in merge([], checked["notes"], "judge-a")["slots"] if s["slot"] == slot), None)
    better = note(
        "mark",
        "better",
        number=first,
        trait=on["key"],
        view=view,
        degree=3,
        replaces=held["current"] if held else [],
    )
    assert cases.place_file(file | {"notes": [*file["notes"], better]})["placing"][0] == first


@given(cases.class_files(), st.data())
def test_a_horse_that_differs_from_no_other_changes_nothing_between_the_others(
    file: dict[str, Any], data: st.DataObject
) -> None:
    file = only_marks(file)
    before = cases.place_file(file)
    if not before["placing"]:
        return
    like = data.draw(st.sampled_from(before["placing"]))
    copies = [
        each | {"id": f"copy {each['id']}", "number": "ZZ", "replaces": [f"copy {old}" for old in each["replaces"]]}
        for each in file["notes"]
        if each["number"] == like
    ]
    entries = [*file["entries"], {"number": "ZZ"}]
    after = cases.place_file(file | {"entries": entries, "notes": [*file["notes"], *copies]})
    assert [number for number in after["placing"] if number != "ZZ"] == before["placing"]
    copied = {each["number"]: each["criteria"] for each in after["totals"]}
    assert copied["ZZ"] == copied[like]
    pairs = {(p["upper"], p["lower"]): {**p, "adjacent": None} for p in before["pairs"]}
    assert {
        key: {**p, "adjacent": None} for p in after["pairs"] if "ZZ" not in (key := (p["upper"], p["lower"]))
    } == pairs


@given(cases.class_files())
def test_order_and_repeats_of_notes_change_no_byte_of_the_placing(file: dict[str, Any]) -> None:
    other = file | {"notes": [*reversed(file["notes"]), *file["notes"]]}
    assert canonical(cases.place_file(other)) == canonical(cases.place_file(file))


def test_placing_reads_its_class_file_and_changes_nothing_of_it() -> None:
    file = class_file(ENTRIES, [*FOUR, over("o", "103", "12")])
    before = canonical(file)
    cases.place_file(file)
    assert canonical(file) == before
