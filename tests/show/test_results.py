"""The results of classes: places, strikes, divisions, who counts as shown, and who is told what."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nearside.show.records import Records
from nearside.show.refusals import Refusal
from nearside.show.resultlist import COLUMNS, results_csv, results_for
from nearside.show.results import ClassResult, announced_as, result_of_class
from tests.show.ground import note, small_show
from tests.show.recorded import ROLES, entry, of_class, records, seat

PANEL = ["judge-a", "judge-b", "judge-c"]


def sign(card: str, numbers: Sequence[str] | None, by: str | None = None, **more: Any) -> dict[str, Any]:
    reason = {"reason": "wrong number"} if numbers is None else {}
    return note("sign", card, numbers=None if numbers is None else list(numbers), by=by or card, **reason, **more)


def gate(number: str, state: str | None, **more: Any) -> dict[str, Any]:
    return note("presence", number=number, state=state, by="steward", **more)


def told(of: Records, who: str = "office", class_id: str | None = None) -> dict[str, Any]:
    return results_for(of, seat(who), "head of {}".format, class_id)


def one(of: Records, who: str = "office") -> dict[str, Any]:
    (only,) = told(of, who)["classes"]
    found: dict[str, Any] = only
    return found


def places(rows: Sequence[Mapping[str, Any]]) -> list[tuple[int, str]]:
    return [(each["place"], each["number"]) for each in rows]


def single(notes: Sequence[dict[str, Any]], numbers: Sequence[str] = ("7", "12", "30"), **fields: Any) -> Records:
    return records([of_class(**fields)], [entry(number) for number in numbers], notes)


def test_the_card_of_one_judge_is_the_result_with_names_from_the_entries() -> None:
    result = one(single([sign("judge-a", ["12", "7"], at=5)], places=1))
    assert result == {
        "id": "c1",
        "title": "Mares c1",
        "method": None,
        "call_judges": [],
        "problem": None,
        "shown": 3,
        "places": 1,
        "judges": [
            {
                "card": "judge-a",
                "name": "Judge Person judge-a",
                "from_paper": False,
                "signed_at": 5,
                "corrected": False,
                "disputed": False,
            }
        ],
        "awaited": [],
        "stricken": [],
        "head": "head of c1",
        "stage": None,
        "announced_at": None,
        "changed_since_announced": False,
        "result": [
            {
                "place": place,
                "tied": False,
                "awarded": place == 1,
                "number": number,
                "identification": f"bay {number}",
                "horse": f"Horse {number}",
                "exhibitor": f"Exhibitor {number}",
            }
            for place, number in ((1, "12"), (2, "7"))
        ],
    }


def test_a_corrected_number_keeps_its_names_wherever_it_was_written() -> None:
    notes = [
        sign("judge-a", ["12", "T1"]),
        note("entry", number="T1", identification="grey", now="30", by="steward"),
        note("entry", number="7", identification=None, now="77", by="office"),
        gate("77", "present"),
    ]
    result = one(single(notes, strikes=[{"number": "7", "reason": "not entered in time", "at": 1, "by": "office"}]))
    assert [(each["number"], each["horse"]) for each in result["result"]] == [("12", "Horse 12"), ("30", "Horse 30")]
    assert result["stricken"] == [{"number": "77", "reason": "not entered in time"}]
    # A record of that very number speaks before one whose number was corrected to it.
    both = single([sign("judge-a", ["30"]), note("entry", number="12", now="30", identification=None, by="steward")])
    assert one(both)["result"][0]["exhibitor"] == "Exhibitor 30"


def test_a_card_from_paper_and_a_dispute_between_two_signatures_are_said() -> None:
    paper = one(single([sign("judge-a", ["12", "7"], by="office")]))
    assert paper["judges"][0]["from_paper"]
    two = one(single([sign("judge-a", ["12", "7"], at=1), sign("judge-a", ["7", "12"], at=2)]))
    assert two["judges"][0]["disputed"]
    assert places(two["result"]) == [(1, "7"), (2, "12")]
    alike = one(single([sign("judge-a", ["12", "7"], at=1), sign("judge-a", ["12", "7"], at=2)]))
    assert not alike["judges"][0]["disputed"]


def test_a_signature_taken_back_leaves_no_result_until_the_card_is_signed_again() -> None:
    first = sign("judge-a", ["12", "7"])
    back = sign("judge-a", None, replaces=[first["id"]])
    result = one(single([first, back]))
    assert (result["awaited"], result["result"]) == (["judge-a"], [])
    again = sign("judge-a", ["7", "12"], replaces=[back["id"]])
    result = one(single([first, back, again]))
    assert (result["awaited"], places(result["result"])) == ([], [(1, "7"), (2, "12")])
    assert result["judges"][0]["corrected"]


def test_what_was_announced_shows_as_changed_when_and_only_when_what_is_read_out_changed() -> None:
    first = sign("judge-a", ["12", "7", "30"])
    back = sign("judge-a", None, replaces=[first["id"]])

    def signed(numbers: Sequence[str], replaces: Sequence[str] = (), **fields: Any) -> Records:
        again = [sign("judge-a", numbers, replaces=list(replaces))] if replaces else []
        return single([first, *([back] if replaces else []), *again], places=2, **fields)

    said = announced_as(result_of_class(signed([]), "c1"))
    about: dict[str, Any] = {"stage": "announced", "announced_at": 9, "announced_as": said}

    def has_changed(of: Records) -> bool:
        assert one(of, "announcer") == one(of)
        assert "changed_since_announced" not in one(of, "steward")
        changed: bool = one(of)["changed_since_announced"]
        return changed

    assert not has_changed(signed([], **about))
    assert has_changed(signed(["7", "12", "30"], [back["id"]], **about))
    assert not has_changed(signed(["12", "7"], [back["id"]], **about))  # the third place is not read
    assert has_changed(signed([], strikes=[{"number": "7", "reason": "ineligible"}], **about))
    assert not has_changed(signed([], strikes=[{"number": "30", "reason": "ineligible"}], **about))
    assert has_changed(single([first, back], places=2, **about))
    assert not has_changed(signed(["7", "12"], [back["id"]]))  # nothing was announced yet


def test_a_late_signature_changes_nothing() -> None:
    first = sign("judge-a", ["12", "7"], at=1)
    late = sign("judge-a", ["7", "12"], at=2, _late=first["id"])
    result = one(single([first, late]))
    assert (places(result["result"]), result["judges"][0]["disputed"]) == ([(1, "12"), (2, "7")], False)


def test_several_judges_by_the_method_of_the_class_and_ties_skip_places() -> None:
    cards = [
        sign("judge-a", ["7", "12", "30"]),
        sign("judge-b", ["12", "7", "30"]),
        sign("judge-c", ["30", "7", "12"]),
    ]
    numbers = ["7", "12", "30"]
    by = {
        method: one(single(cards, numbers, judges=PANEL, method=method))
        for method in ("majority", "points", "dropped_points")
    }
    assert {method: places(result["result"]) for method, result in by.items()} == {
        "majority": [(1, "7"), (2, "12"), (3, "30")],
        "points": [(1, "7"), (2, "12"), (3, "30")],  # 28, 27, 26
        "dropped_points": [(1, "7"), (1, "12"), (3, "30")],  # 9, 9, 8
    }
    assert [each["tied"] for each in by["dropped_points"]["result"]] == [True, True, False]
    assert by["points"]["method"] == "points"
    called = one(single(cards, numbers, judges=PANEL, method="dropped_points", call_judges=["judge-b"]))
    assert places(called["result"]) == [(1, "12"), (2, "7"), (3, "30")]
    assert called["call_judges"] == ["judge-b"]


def test_separate_cards_are_each_a_result_also_where_the_method_cannot_be_used() -> None:
    cards = [sign("judge-a", ["7", "12"]), sign("judge-b", ["12", "7"])]
    apart = one(single(cards, judges=PANEL[:2]))
    assert apart["method"] == "separate"
    assert [(each["judge"], places(each["result"])) for each in apart["cards"]] == [
        ("judge-a", [(1, "7"), (2, "12")]),
        ("judge-b", [(1, "12"), (2, "7")]),
    ]
    even = one(single(cards, judges=PANEL[:2], method="majority"))
    assert even["problem"] == "a majority takes an odd number of judges; these are 2"
    assert even["cards"] == apart["cards"]
    assert "result" not in even
    back = sign("judge-a", None, replaces=[cards[0]["id"]])
    assert [each["judge"] for each in one(single([*cards, back], judges=PANEL[:2]))["cards"]] == ["judge-b"]
    points = one(single([*cards, back], judges=PANEL[:2], method="points"))
    assert (points["awaited"], points["result"]) == (["judge-a"], [])


def test_a_class_is_told_of_only_when_every_judge_has_signed() -> None:
    cards = [sign("judge-a", ["7", "12"]), sign("judge-b", ["12", "7"])]
    assert told(single(cards[:1], judges=PANEL[:2]))["classes"] == []
    assert len(told(single(cards, judges=PANEL[:2]))["classes"]) == 1


def test_places_below_a_stricken_horse_move_up_and_the_card_stays() -> None:
    of = single([sign("judge-a", ["12", "7", "30"])], strikes=[{"number": "12", "reason": "ineligible"}])
    assert places(one(of)["result"]) == [(1, "7"), (2, "30")]
    assert one(of)["stricken"] == [{"number": "12", "reason": "ineligible"}]
    assert one(of)["shown"] == 3  # it was in the ring
    assert result_of_class(of, "c1").cards[0].numbers == ["12", "7", "30"]


def test_divisions_are_placed_apart_from_the_one_order() -> None:
    divisions = [{"id": "two", "title": "Two"}, {"id": "three", "title": "Three"}]
    entries = [entry("7", division="two"), entry("12", division="three"), entry("30", division="two"), entry("31")]
    signed = sign("judge-a", ["7", "12", "30"])
    of = records([of_class(divisions=divisions)], entries, [signed, gate("31", "absent")])
    result = one(of)
    assert [(each["id"], each["shown"], places(each["result"])) for each in result["divisions"]] == [
        ("two", 2, [(1, "7"), (2, "30")]),
        ("three", 1, [(1, "12")]),
    ]
    assert "result" not in result
    # A horse in no division, entered late at the gate, is not dropped.
    late = note("entry", number="99", identification=None, now=None, by="steward")
    of = records(
        [of_class(divisions=divisions)], entries, [sign("judge-a", ["7", "99", "30"]), late, gate("31", "absent")]
    )
    assert [(each["id"], places(each["result"])) for each in one(of)["divisions"]] == [
        ("two", [(1, "7"), (2, "30")]),
        ("three", []),
        (None, [(1, "99")]),
    ]


@pytest.mark.parametrize(
    ("notes", "shown", "why"),
    [
        ([], 3, "without a gate every entry counts"),
        ([gate("30", "absent")], 2, "absent does not count"),
        ([gate("12", "absent")], 3, "what stands on a signed card was shown"),
        ([gate("7", "present"), gate("12", "present"), gate("30", "present")], 3, "excused or disqualified counts"),
        ([gate("7", "present"), gate("12", "present")], 2, "never checked in where the gate checks in"),
        ([gate("30", "present", id="g"), gate("30", None, replaces=["g"])], 3, "checked out again was there"),
        ([gate("30", "present", id="g"), gate("30", "absent", replaces=["g"])], 2, "scratched after all"),
        ([note("entry", number="30", now="31", by="steward"), gate("31", "absent")], 2, "by the number it has now"),
        ([note("entry", number="30", now="31", by="steward"), gate("30", "present")], 3, "by the number it had then"),
        ([note("entry", number="99", now=None, by="steward")], 4, "entered late"),
        ([gate("45", "present")], 2, "a number nobody entered is no horse of the class"),
    ],
)
def test_who_counts_as_shown(notes: list[dict[str, Any]], shown: int, why: str) -> None:
    """Absent does not count as shown, excused and disqualified do: the rule books named for standings in a class."""
    assert one(single([sign("judge-a", ["12", "7"]), *notes]))["shown"] == shown, why


def test_a_horse_that_went_to_another_class_is_not_shown_here() -> None:
    entries = [entry("7"), entry("12"), entry("30", gone={"why": "moved", "to": "c2", "at": 1})]
    assert one(records([of_class()], entries, [sign("judge-a", ["12", "7"])]))["shown"] == 2
    still = one(records([of_class()], entries, [sign("judge-a", ["12", "30"])]))
    assert (still["shown"], still["result"][1]["horse"]) == (3, "Horse 30")  # unless a judge placed it


NAMES = ("Horse ", "Exhibitor ", "Person ", "told in confidence", "head of c1")


def test_names_and_the_offices_reasons_are_for_office_and_announcer_alone() -> None:
    strikes = [{"number": "30", "reason": "told in confidence"}]
    notes = [sign("judge-a", ["12", "7"]), sign("trainee-a", ["7", "12"])]
    of = single(notes, strikes=strikes)
    for who in ROLES:
        text = str(told(of, who)) + results_csv(told(of, who))  # and the head of the chain, which sealed notes move
        seen = [name for name in NAMES if name in text]
        assert seen == (list(NAMES) if who in ("office", "announcer") else []), who


def test_judge_and_scribe_are_told_of_their_own_classes_and_of_separate_cards_their_own() -> None:
    joint = of_class("c1", judges=PANEL, method="points")
    apart = of_class("c2", judges=PANEL[:2])
    other = of_class("c3", judges=["judge-c"])
    cards = [sign(judge, ["7", "12"]) for judge in PANEL]
    cards += [sign("judge-a", ["7", "12"], **{"class": "c2"}), sign("judge-b", ["12", "7"], **{"class": "c2"})]
    cards += [sign("judge-c", ["30", "7"], **{"class": "c3"})]
    of = records([joint, apart, other], [], cards)
    for who in ("judge-a", "scribe-a"):
        seen = told(of, who)["classes"]
        assert [each["id"] for each in seen] == ["c1", "c2"]
        assert [each["judge"] for each in seen[1]["cards"]] == ["judge-a"]
        assert "30" not in str(seen)
    assert [each["id"] for each in told(of, "judge-c")["classes"]] == ["c1", "c3"]
    for who in ("office", "steward", "announcer"):
        assert [each["id"] for each in told(of, who)["classes"]] == ["c1", "c2", "c3"]


def test_a_trainee_is_told_of_the_classes_whose_own_card_is_signed() -> None:
    of = single([sign("judge-a", ["12", "7"])])
    assert told(of, "trainee-a")["classes"] == []
    of = single([sign("judge-a", ["12", "7"]), sign("trainee-a", ["7", "12"])])
    assert places(one(of, "trainee-a")["result"]) == [(1, "12"), (2, "7")]


def test_one_class_is_asked_for_by_its_id() -> None:
    of = records(
        [of_class("c1"), of_class("c2")], [], [sign("judge-a", ["7"]), sign("judge-a", ["8"], **{"class": "c2"})]
    )
    assert [each["id"] for each in told(of, class_id="c2")["classes"]] == ["c2"]
    with pytest.raises(Refusal, match="no such class"):
        told(of, class_id="c9")


# -- the table


def test_the_table_is_by_the_rules_of_comma_separated_values() -> None:
    """RFC 4180: lines end in CRLF; a cell with a comma, a quote or a line end is quoted, its quotes doubled."""
    entries = [entry("7", horse='Lady "May", of the\r\nhill', exhibitor="A. Ward"), entry("12", horse=None)]
    of = records([of_class(places=1)], entries, [sign("judge-a", ["7", "12"], by="office")])
    text = results_csv(told(of))
    assert text.splitlines(keepends=True)[0] == ",".join(COLUMNS) + "\r\n"
    assert text == (
        ",".join(COLUMNS)
        + "\r\n"
        + 'c1,Mares c1,,Judge Person judge-a,,1,,yes,7,bay 7,"Lady ""May"", of the\r\nhill",A. Ward,2,yes\r\n'
        + "c1,Mares c1,,Judge Person judge-a,,2,,,12,bay 12,,Exhibitor 12,2,yes\r\n"
    )


def test_the_table_has_ties_methods_divisions_and_separate_cards() -> None:
    divisions = [{"id": "two", "title": "Two"}, {"id": "three", "title": "Three"}]
    classes = [
        of_class("c1", judges=PANEL[:2], method="points"),
        of_class("c2", judges=PANEL[:2]),
        of_class("c3", divisions=divisions),
    ]
    entries = [entry("7", "c3", division="three"), entry("12", "c3", division="two")]
    cards = [
        sign(judge, numbers, **{"class": class_id})
        for class_id in ("c1", "c2")
        for judge, numbers in (("judge-a", ["7", "12"]), ("judge-b", ["12", "7"]))
    ]
    of = records(classes, entries, [*cards, sign("judge-a", ["7", "12"], **{"class": "c3"})])
    rows = list(csv.DictReader(io.StringIO(results_csv(told(of)))))
    fields = ("class", "division", "judge", "method", "place", "tied", "number", "shown")
    assert [tuple(row[field] for field in fields) for row in rows] == [
        ("c1", "", "", "points", "1", "yes", "7", "2"),
        ("c1", "", "", "points", "1", "yes", "12", "2"),
        ("c2", "", "Judge Person judge-a", "separate", "1", "", "7", "2"),
        ("c2", "", "Judge Person judge-a", "separate", "2", "", "12", "2"),
        ("c2", "", "Judge Person judge-b", "separate", "1", "", "12", "2"),
        ("c2", "", "Judge Person judge-b", "separate", "2", "", "7", "2"),
        ("c3", "Two", "Judge Person judge-a", "", "1", "", "12", "1"),
        ("c3", "Three", "Judge Person judge-a", "", "1", "", "7", "1"),
    ]


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r"])
def test_no_cell_is_a_formula(start: str) -> None:
    """The signs a spreadsheet may take for the beginning of a formula; each is kept, an apostrophe before it."""
    name = f'{start}HYPERLINK("x")'
    of = records([of_class(title=name)], [entry("7", horse=name, exhibitor=name)], [sign("judge-a", ["7"])])
    (row,) = csv.DictReader(io.StringIO(results_csv(told(of)), newline=""))
    assert [row["title"], row["horse"], row["exhibitor"]] == [f"'{name}"] * 3


def test_of_a_running_show_the_notes_that_count_are_read_and_no_marks(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        first = note("sign", "judge-a")
        ground.push("judge-a", note("mark", "judge-a"), note("ruling", "judge-a"), note("order", "judge-a"), first)
        ground.push("steward", note("presence"), note("lameness"), note("presence", **{"class": "c2"}))
        ground.push("judge-a", note("ruling", "judge-a", number="7", outcome="placed", at=1))  # too late for the card
        records_ = ground.ground.records_of_results(ground.show)
        assert [each["kind"] for each in records_.notes("c1")] == ["ruling", "sign", "presence", "lameness"]
        assert records_.notes("c1")[1]["id"] == first["id"]
        assert len(ground.show.store.of_class("c1")) == 7  # all is kept
        assert (len(records_.notes("c2")), records_.notes("c9")) == (1, [])


# -- what never happens

NUMBERS = ["1", "2", "7", "007", "12", "12A", "T1", "30"]


@st.composite
def judged(draw: st.DrawFn) -> Records:
    judges = PANEL[: draw(st.sampled_from([1, 2, 3]))]
    method = draw(st.sampled_from(["separate", "majority", "points", "dropped_majority", "dropped_points"]))
    divisions = [{"id": each, "title": each} for each in draw(st.sampled_from([[], ["x"], ["x", "y"]]))]
    entries = [entry(each, division=draw(st.sampled_from([None, "x", "y"]))) for each in NUMBERS]
    cards = [sign(judge, draw(st.permutations(NUMBERS))[: draw(st.integers(0, 8))]) for judge in judges]
    renumbered = draw(st.sampled_from([[], [note("entry", number="T1", now="30", by="steward")]]))
    of = of_class(judges=judges, method=method, divisions=divisions, strikes=[])
    return records([of], entries, [*cards, *renumbered])


def struck(of: Records, numbers: Sequence[str]) -> ClassResult:
    strikes = [{"number": number, "reason": "why"} for number in numbers]
    of.classes["c1"]["strikes"] = strikes
    return result_of_class(of, "c1")


def levels(result: ClassResult) -> list[list[list[str]]]:
    return [[shared["numbers"] for shared in part.places] for part in result.parts]


@given(judged(), st.lists(st.sampled_from(NUMBERS), unique=True))
def test_a_strike_never_changes_the_order_of_the_others(of: Records, numbers: list[str]) -> None:
    before, after = struck(of, []), struck(of, numbers)
    gone = {each["number"] for each in after.stricken}
    left = [
        [kept for level in part if (kept := [number for number in level if number not in gone])]
        for part in levels(before)
    ]
    assert levels(after) == left
    assert after.shown == before.shown
    for part in after.parts:
        counted = 0
        for shared in part.places:
            assert shared["place"] == counted + 1
            counted += len(shared["numbers"])


@given(judged())
def test_divisions_partition_the_order(of: Records) -> None:
    result = struck(of, [])
    ids = [*(each["id"] for each in result.divisions), None]
    assert sum(result.shown_in(each) for each in ids) == len(result.shown)
    for part in result.parts:
        order = [number for shared in part.places for number in shared["numbers"]]
        apart = {each: [n for s in result.of_division(part, each) for n in s["numbers"]] for each in ids}
        assert sorted(number for each in apart.values() for number in each) == sorted(order)
        for each in apart.values():
            assert each == [number for number in order if number in each]
