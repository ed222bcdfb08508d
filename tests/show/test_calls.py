"""The record of lameness calls: callers apart, every version with its time, what followed, and nobody's secrets."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from nearside.show.calls import CAUTION, calls_for
from nearside.show.strict_json import canonical
from tests.show.desk import Desk
from tests.show.ground import IDS, Ground, note, small_show
from tests.web.house import house

T = 1764061200000


def of(ground: Ground, seat: str) -> dict[str, Any]:
    records = ground.ground.records(ground.show)
    return calls_for(records, ground.show.facts_now(), ground.show.seats[seat])


def horse(ground: Ground, seat: str, number: str = "12", class_id: str = "c1") -> dict[str, Any]:
    classes = {each["id"]: each for each in of(ground, seat)["classes"]}
    found: dict[str, Any] = next(each for each in classes[class_id]["horses"] if each["number"] == number)
    return found


def call(card: str | None, grade: int | None, minute: int, **fields: Any) -> dict[str, Any]:
    observer = {} if card else {"observer": fields.pop("observer", "steward")}
    return note("lameness", card, grade=grade, at=T + minute * 60_000, **observer, **fields)


def test_several_callers_are_kept_apart_and_each_change_with_its_time(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        seen = call(None, 3, 1, gait="trot", limb="off fore as seen", text="short")
        vet = call(None, 2, 2, observer="veterinarian")
        ground.push("steward", seen, vet, call("judge-a", 4, 3))
        again = call(None, 2, 4, replaces=[seen["id"]], text="on gravel")
        ground.push("steward", again, call(None, 2, 5, replaces=[again["id"]], text="on gravel"))
        own = call("judge-a", 3, 6)
        ground.push("judge-a", own)
        ground.push("judge-a", call("judge-a", None, 7, replaces=[own["id"]]))

        told = horse(ground, "judge-a")["calls"]
        assert [(each["card"], each["observer"]) for each in told] == [
            (None, "steward"),
            (None, "veterinarian"),
            ("judge-a", None),
        ]
        assert [(each["at"], each["grade"], each["again"]) for each in told[0]["said"]] == [
            (T + 60_000, 3, "first"),
            (T + 240_000, 2, "changed"),
            (T + 300_000, 2, "same"),
        ]
        assert told[0]["said"][0]["limb"] == "off fore as seen"
        assert [each["again"] for each in told[2]["said"]] == ["first", "changed", "taken_back"]
        # What the steward wrote down and what the judge noted stand side by side, till somebody settles it.
        assert told[2]["disputed"]
        assert told[2]["said"][0]["written_by"] == {"role": "steward", "name": None}
        assert told[2]["said"][1]["written_by"] == {"role": "judge", "name": "Judge A"}


def test_the_ruling_and_the_signed_place_that_followed_are_told_to_who_may_read_them(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        ground.push("steward", call(None, 4, 1, number="30"), call(None, 3, 1, number="7"), call(None, 1, 1))
        first = note("ruling", "judge-a", number="30", outcome="placed", at=T + 1)
        excused = {"outcome": "excused", "reason": "obviously lame", "replaces": [first["id"]], "at": T + 2}
        ground.push("judge-a", first, note("ruling", "judge-a", number="30", **excused))
        assert horse(ground, "judge-a", "30")["signed"] == [
            {"card": "judge-a", "state": "open", "place": None, "at": None, "name": "Judge A"}
        ]
        ground.push("judge-a", note("sign", "judge-a", numbers=["12", "7"], at=T + 3))
        (ruling,) = horse(ground, "judge-a", "30")["rulings"]
        assert [(each["outcome"], each["reason"], each["again"], each["stands"]) for each in ruling["said"]] == [
            ("placed", None, "first", False),
            ("excused", "obviously lame", "changed", True),
        ]
        assert horse(ground, "judge-a", "30")["signed"][0]["state"] == "left_out"
        assert [(each["state"], each["place"]) for each in horse(ground, "judge-a", "7")["signed"]] == [("placed", 2)]
        # Until all have signed nobody else is told; then the order, and no ruling.
        for seat in ("office", "steward", "judge-b"):
            assert [each["state"] for each in horse(ground, seat, "7")["signed"]] == [
                "open" for _ in range(seat == "judge-b")
            ]
        ground.push("judge-b", note("sign", "judge-b", numbers=["7"], at=T + 4))
        for seat in ("office", "steward"):
            told = horse(ground, seat, "7")
            assert [(each["card"], each["place"]) for each in told["signed"]] == [("judge-a", 2), ("judge-b", 1)]
            assert told["rulings"] == horse(ground, seat, "30")["rulings"] == []
        assert [each["name"] for each in horse(ground, "office", "7")["signed"]] == ["Judge A", "Judge B"]
        assert [each["card"] for each in horse(ground, "judge-b", "7")["signed"]] == ["judge-b"]


def test_a_seat_is_told_of_no_call_ruling_or_name_it_does_not_read(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        Desk(ground).ask(
            "entry",
            **{
                "class": "c1",
                "number": "12",
                "identification": "bay",
                "horse": "Silver Lining",
                "exhibitor": "A. Exhibitor",
                "division": None,
            },
        )
        ground.push("judge-a", call("judge-a", 4, 1, text="the judge's own words"), note("ruling", "judge-a"))
        ground.push("trainee-a", call("trainee-a", 2, 1, text="a trainee's words"))
        ground.push("steward", call(None, 3, 2))
        readers = {"judge's own": {"judge-a", "scribe-a"}, "trainee's": {"trainee-a"}}
        for seat in IDS:
            text = canonical(of(ground, seat))
            for words, who in readers.items():
                assert (words in text) == (seat in who), (seat, words)
            assert ("Silver Lining" in text) == (seat == "office")
            assert "A. Exhibitor" not in text
            assert ("Steward" in text) == (seat in ("office", "steward"))
        assert of(ground, "trainee-b")["classes"] == []
        # Each note told is one the seat is given by a pull as well.
        for seat in IDS:
            pulled = {(each["at"], each.get("grade")) for each in ground.pull(seat).notes if each["kind"] == "lameness"}
            told = {
                (said["at"], said["grade"])
                for show_class in of(ground, seat)["classes"]
                for each in show_class["horses"]
                for caller in each["calls"]
                for said in caller["said"]
            }
            assert told == pulled, seat


def test_a_number_put_right_brings_its_calls_along_as_they_were_written(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        ground.push("steward", call(None, 3, 1, number="T1"))
        ground.push("steward", note("entry", number="T1", identification=None, now="30"))
        told = horse(ground, "office", "30")
        assert (told["identification"], told["calls"][0]["said"][0]["number"]) == ("bay 30", "T1")


def test_what_came_late_is_in_no_record(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        ground.push("judge-a", call("judge-a", 2, 1), note("sign", "judge-a", at=T + 9 * 60_000))
        assert str(ground.push_one("judge-a", call("judge-a", 5, 2))["reason"]).startswith("late")
        assert [each["grade"] for each in horse(ground, "judge-a")["calls"][0]["said"]] == [2]


def test_the_record_carries_the_caution_and_the_class_s_rule_over_http(tmp_path: Path) -> None:
    with house(tmp_path) as web:
        web.push("steward", call(None, 3, 1))
        answer = web.get("/api/calls", "office")
        assert answer.headers["cache-control"] == "no-store"
        told = answer.json()
        assert (told["format"], told["show"]["title"], told["caution"]) == ("nearside-calls/1", "Test show", CAUTION)
        assert told["classes"][0]["lameness"] == {"from_grade": 3, "outcome": "last"}
        assert web.get("/api/calls").status_code == 401


def test_the_page_says_the_same_caution() -> None:
    grades = (Path(__file__).parents[2] / "frontend/state/grades.js").read_text()
    assert all(f"{sentence}." in grades for sentence in CAUTION.removesuffix(".").split(". "))
