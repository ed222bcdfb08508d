"""Slips out of records and notes: whose they are, along which order, and who agreed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import pytest

from nearside.show.records import Records
from nearside.show.refusals import Refusal
from nearside.show.slips import agreed, checked_agreed, plan_agreeing, slips_for
from tests.show.ground import note
from tests.show.recorded import ROLES, entry, of_class, records, seat

TOPLINE = {"trait": "topline", "view": "profile"}


def mark(number: str, degree: int, card: str = "judge-a", **more: Any) -> dict[str, Any]:
    return note("mark", card, number=number, degree=degree, by=card, **TOPLINE, **more)


def sign(numbers: Sequence[str], card: str = "judge-a", **more: Any) -> dict[str, Any]:
    return note("sign", card, numbers=list(numbers), by=card, **more)


MARKS = [mark("12", 3), mark("7", 1), mark("30", -1)]


def show(*notes: dict[str, Any], **fields: Any) -> Records:
    return records([of_class(**fields)], [entry(each) for each in ("7", "12", "30")], [*MARKS, *notes])


def told(of: Records, who: str) -> list[dict[str, Any]]:
    (card,) = slips_for(of, seat(who), "c1")["cards"]
    found: list[dict[str, Any]] = card["slips"]
    return found


def test_the_judge_looks_them_over_and_the_office_has_them_once_agreed() -> None:
    of = show(sign(["12", "7", "30"]))
    first, second, third = told(of, "judge-a")
    assert first == {
        "number": "12",
        "place": 1,
        "goods": ["short, strong topline"],
        "faults": [],
        "better": [],
        "text": ["What speaks for this horse: short, strong topline."],
        "division": None,
        "identification": "bay 12",
    }
    assert (second["better"], third["faults"]) == (["Balance"], ["long, weak topline"])
    assert slips_for(of, seat("office"), "c1")["cards"] == []
    of.classes["c1"]["slips"] = ["judge-a"]
    (card,) = slips_for(of, seat("office"), "c1")["cards"]
    assert (card["judge"], card["name"], card["agreed"]) == ("judge-a", "Judge Person judge-a", True)
    assert card["slips"][0] == {**first, "horse": "Horse 12", "exhibitor": "Exhibitor 12"}


def test_without_a_signature_there_are_none() -> None:
    first = sign(["12", "7"])
    back = note("sign", "judge-a", numbers=None, reason="misread", by="judge-a", replaces=[first["id"]])
    for notes in ([], [first, back]):
        with pytest.raises(Refusal, match="Sign the card first"):
            slips_for(show(*notes, slips=["judge-a"]), seat("judge-a"), "c1")
    with pytest.raises(Refusal, match="when every judge of the class has signed"):
        slips_for(show(slips=["judge-a"]), seat("office"), "c1")
    assert slips_for(show(first, back, slips=["judge-a"]), seat("office"), "c1")["cards"] == []


def test_of_several_judges_the_office_has_those_who_agreed_and_each_judge_the_own() -> None:
    judges = ["judge-a", "judge-b"]
    cards = [sign(["12", "7"]), sign(["7", "12"], "judge-b"), mark("7", 2, "judge-b"), note("presence", by="steward")]
    of = show(*cards, judges=judges, slips=["judge-b"])
    assert [each["judge"] for each in slips_for(of, seat("office"), "c1")["cards"]] == ["judge-b"]
    assert [each["number"] for each in told(of, "judge-a")] == ["12", "7"]
    assert [each["number"] for each in told(of, "judge-b")] == ["7", "12"]
    of.classes["c1"]["slips"] = judges
    assert [[each["number"] for each in card["slips"]] for card in slips_for(of, seat("office"), "c1")["cards"]] == [
        ["12", "7"],
        ["7", "12"],
    ]
    half = show(cards[0], judges=judges, slips=judges)
    assert len(told(half, "judge-a")) == 2
    with pytest.raises(Refusal, match="every judge"):
        slips_for(half, seat("office"), "c1")


def test_they_go_along_the_order_without_the_stricken_and_by_division() -> None:
    strikes = [{"number": "12", "reason": "ineligible"}]
    of = show(sign(["12", "7", "30"]), strikes=strikes)
    assert [(each["number"], each["place"], each["better"]) for each in told(of, "judge-a")] == [
        ("7", 1, []),
        ("30", 2, ["Balance"]),
    ]
    divisions = [{"id": "x", "title": "Two"}, {"id": "y", "title": "Three"}]
    entries = [entry("7", division="x"), entry("12", division="y"), entry("30", division="x")]
    of = records([of_class(divisions=divisions)], entries, [*MARKS, sign(["12", "7", "30"])])
    assert [(each["division"], each["number"], each["place"]) for each in told(of, "judge-a")] == [
        ("Two", "7", 1),
        ("Two", "30", 2),
        ("Three", "12", 1),
    ]


def test_a_corrected_number_and_a_late_mark() -> None:
    late = mark("7", 3, _late="s1")
    read = note("entry", number="T1", now="7", by="steward")
    of = show(sign(["12", "T1"], id="s1"), late, read)
    assert [(each["number"], each["better"]) for each in told(of, "judge-a")] == [("12", []), ("7", ["Balance"])]


def test_nothing_of_remarks_calls_and_rulings_nor_of_another_judges_card_is_in_them() -> None:
    secret = [
        note("remark", "judge-a", number="7", text="kicks at the groom", by="judge-a"),
        note("over", "judge-a", pair=["7", "30"], winner="7", by="judge-a"),
        note("ruling", "judge-a", number="30", outcome="last", by="judge-a"),
        note("lameness", "judge-a", number="30", grade=4, by="judge-a", text="nods"),
        mark("7", -3, "judge-b"),
    ]
    of = show(sign(["12", "7", "30"]), *secret, slips=["judge-a"])
    assert [each["text"] for each in told(of, "office")] == [
        ["What speaks for this horse: short, strong topline."],
        ["What speaks for this horse: short, strong topline.", "Where the horse above had the better of it: balance."],
        ["What speaks against it: long, weak topline."],
    ]


def test_the_judge_agrees_to_slips_and_to_study_each_by_itself_and_takes_it_back() -> None:
    of = show()

    def agree(study: bool | None, slips: bool | None, who: str = "judge-a") -> dict[str, Any]:
        for change in plan_agreeing(of, seat(who), "c1", checked_agreed({"study": study, "slips": slips})).changes:
            assert change.record is not None
            assert change.key == "s1/c1"
            of.classes["c1"] = change.record
        return agreed(of, seat(who), "c1")

    assert agree(None, True) == {"class": "c1", "study": False, "slips": True}
    assert agree(True, None) == {"class": "c1", "study": True, "slips": True}
    assert (of.classes["c1"]["study_judges"], of.classes["c1"]["slips"]) == (["judge-a"], ["judge-a"])
    assert agree(None, False) == {"class": "c1", "study": True, "slips": False}
    assert plan_agreeing(of, seat("judge-a"), "c1", {"study": True, "slips": False}).changes == []
    for who in ROLES:
        if who != "judge-a":  # the other judges do not judge this class
            with pytest.raises(Refusal, match="for the judges of the class"):
                agree(True, True, who)
            if who != "office":
                with pytest.raises(Refusal, match="for the judges of the class"):
                    slips_for(of, seat(who), "c1")


@pytest.mark.parametrize(
    ("body", "where"),
    [({"study": True}, "slips"), ({"study": 1, "slips": None}, "study"), ({"study": None, "slips": None, "x": 1}, "x")],
)
def test_a_body_that_is_not_as_asked_is_refused_with_its_place(body: Any, where: str) -> None:
    with pytest.raises(Refusal) as refusal:
        checked_agreed(body)
    assert refusal.value.where == where


def test_a_class_that_is_not_there_is_refused() -> None:
    for who in ("office", "judge-a"):
        with pytest.raises(Refusal, match="no such class"):
            slips_for(show(), seat(who), "c9")
    with pytest.raises(Refusal, match="no such class"):
        plan_agreeing(show(), seat("judge-a"), "c9", {"study": True, "slips": True})
