"""Entries at the show table: late, scratched, in the wrong class, struck; beside what the gate writes by notes."""

from __future__ import annotations

from pathlib import Path
from typing import Any, cast

import pytest

from nearside.engine.merging import merge
from nearside.show.day import day_for
from tests.show.desk import NO_NAMES, Desk, desk
from tests.show.ground import note

LATE = {"class": "c1", "number": "44", **NO_NAMES}


def ring_numbers(office: Desk, class_id: str = "c1") -> set[str]:
    """The numbers a judge's page shows as there: the day's entries and the gate's notes, without the absent."""
    day = day_for(office.ground.show, office.ground.show.seats["judge-a"])
    entries = next(each["entries"] for each in day["classes"] if each["id"] == class_id)
    notes = [cast("Any", each) for each in office.ground.pull("judge-a").notes if each["class"] == class_id]
    merged = merge(entries, notes, "judge-a")
    used = [slot["used"] for slot in merged["slots"]]
    absent = {each["number"] for each in used if each["kind"] == "presence" and each["state"] == "absent"}
    return {each["number"] for each in merged["entries"]} - absent


def sign(office: Desk, class_id: str = "c1") -> None:
    for judge in ("judge-a", "judge-b"):
        office.ground.push(judge, {**note("sign", judge), "class": class_id})


def test_a_late_entry_is_tidied_and_its_names_stay_at_the_table(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        told = {"identification": " dun,  black points ", "horse": "Ash", "exhibitor": "A. Field", "division": None}
        office.ask("entry", **{"class": "c1", "number": " 4 4b", **told})
        assert office.entry("44B") == {
            "number": "44B",
            "identification": "dun, black points",
            "horse": "Ash",
            "exhibitor": "A. Field",
            "division": None,
            "gone": None,
            "reads_as": None,
        }
        for seat in ("judge-a", "scribe-a", "trainee-a", "steward"):
            day = str(day_for(office.ground.show, office.ground.show.seats[seat]))
            assert "44B" in day
            assert "Ash" not in day
            assert "Field" not in day


def test_signs_nobody_sees_go_and_those_that_turn_the_text_round_are_refused(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        office.ask("entry", **{**LATE, "horse": "\ufeffA\u00adsh\u200b\u00a0 one", "exhibitor": "می\u200cخواهم"})
        assert (office.entry("44")["horse"], office.entry("44")["exhibitor"]) == ("Ash one", "می\u200cخواهم")
        for sign in ("\u202e", "\u0007"):
            assert office.refused("entry", **{**LATE, "horse": f"Ash{sign}Oak"}).where == "horse"


def test_an_entry_is_changed_to_what_is_given_and_a_field_left_empty_is_emptied(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        office.ask("entry", **{**LATE, "horse": "Ash", "exhibitor": "A. Field"})
        office.ask("entry", **{**LATE, "horse": "Oak", "exhibitor": "  "})
        assert (office.entry("44")["horse"], office.entry("44")["exhibitor"]) == ("Oak", None)
        assert office.numbers() == ["7", "12", "30", "44"]


@pytest.mark.parametrize(
    ("changed", "where"),
    [
        ({"class": "c9"}, "class"),
        ({"number": ""}, "number"),
        ({"number": "12-7"}, "number"),
        ({"number": "1234567"}, "number"),
        ({"number": 12}, "number"),
        ({"identification": "x" * 501}, "identification"),
        ({"horse": "x" * 121}, "horse"),
        ({"division": "c2"}, "division"),
        ({"owner": "me"}, "owner"),
    ],
)
def test_an_entry_that_cannot_be_is_refused_with_the_field(tmp_path: Path, changed: dict[str, Any], where: str) -> None:
    with desk(tmp_path) as office:
        assert office.refused("entry", **{**LATE, **changed}).where == where


def test_what_the_gate_wrote_of_a_horse_and_what_the_office_types_are_one_entry(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        office.ground.push("steward", note("entry", number="44", identification="grey"))
        assert office.entry("44")["identification"] == "grey"
        office.ask("entry", **{**LATE, "identification": "grey", "horse": "Ash"})
        assert (office.entry("44")["horse"], office.numbers()) == ("Ash", ["7", "12", "30", "44"])
        # The gate's word would stand above the record: the office's correction is a note as well, that replaces it.
        office.ask("entry", **{**LATE, "identification": "grey, star", "horse": "Ash"})
        assert office.entry("44")["identification"] == "grey, star"
        notes = [each for each in office.ground.pull("judge-a").notes if each["kind"] == "entry"]
        assert notes[1]["replaces"] == [notes[0]["id"]]
        assert (notes[1]["by"], notes[1]["identification"]) == ("office", "grey, star")
        office.ask("entry", **{**LATE, "horse": "Ash"})
        assert office.entry("44")["identification"] is None


def test_a_horse_whose_number_was_put_right_is_found_by_either(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        office.ground.push("steward", note("entry", number="12", now="21"))
        assert office.entry("12")["reads_as"] == "21"
        office.ask("entry", **{**LATE, "number": "21", "horse": "Ash"})
        office.ask("entry", **{**LATE, "number": "12", "horse": "Ash", "exhibitor": "B. Hill"})
        assert (office.entry("12")["horse"], office.entry("12")["exhibitor"]) == ("Ash", "B. Hill")
        office.ask("move", **{"class": "c1", "numbers": ["21"], "to": "c2"})
        assert office.entry("12")["gone"]["to"] == "c2"
        assert office.entry("21", "c2")["horse"] == "Ash"


def test_an_entry_taken_out_stays_on_record_and_comes_back_when_it_is_entered_again(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        office.ask("entry-gone", **{"class": "c1", "number": "12", "reason": "lame at home"})
        assert office.entry("12")["gone"] == {"why": "lame at home", "at": 1764061300000}
        assert ring_numbers(office) == {"7", "30"}
        assert office.refused("entry-gone", **{"class": "c1", "number": "12", "reason": None}).code == "unknown_entry"
        office.ask("entry", **{**LATE, "number": "12"})
        assert office.entry("12")["gone"] is None
        assert ring_numbers(office) == {"7", "12", "30"}


def test_a_horse_entered_at_the_gate_goes_out_of_the_class_as_absent_there(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        office.ground.push("steward", note("entry", number="44"), note("presence", number="44"))
        office.ask("entry-gone", **{"class": "c1", "number": "44", "reason": None})
        assert office.entry("44")["gone"]["why"] == "withdrawn"
        assert ring_numbers(office) == {"7", "12", "30"}
        presence = [each for each in office.ground.pull("steward").notes if each["kind"] == "presence"]
        assert presence[1]["replaces"] == [presence[0]["id"]]
        office.ask("entry", **{**LATE, "identification": "grey"})
        assert office.entry("44")["gone"] is None
        assert ring_numbers(office) == {"7", "12", "30", "44"}


def test_a_moved_horse_leaves_its_notes_behind_and_keeps_its_names(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        office.ask("entry", **{**LATE, "number": "12", "identification": "bay 12", "horse": "Ash"})
        office.ground.push("judge-a", note("mark", "judge-a"))
        office.ground.push("steward", note("entry", number="7", identification="black, snip"))
        # 12 and 7 are in both classes of this show: there it is taken out first.
        office.ask("entry-gone", **{"class": "c2", "number": "12", "reason": None})
        office.ask("entry-gone", **{"class": "c2", "number": "7", "reason": None})
        state = office.ask("move", **{"class": "c1", "numbers": ["12", "7", "12"], "to": "c2"})
        assert office.entry("12")["gone"] == {"why": "moved", "to": "c2", "at": 1764061300000}
        assert office.entry("12", "c2")["horse"] == "Ash"
        assert office.entry("7", "c2")["identification"] == "black, snip"
        assert (ring_numbers(office), ring_numbers(office, "c2")) == ({"30"}, {"7", "12", "30"})
        assert [each["class"] for each in office.ground.pull("judge-a").notes if each["kind"] == "mark"] == ["c1"]
        assert state["classes"][0]["fixed"]
    with desk(tmp_path) as office:
        assert (ring_numbers(office), ring_numbers(office, "c2")) == ({"30"}, {"7", "12", "30"})


def test_a_move_that_cannot_be_is_refused(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        move = {"class": "c1", "numbers": ["12"], "to": "c2"}
        assert "12 is in" in office.refused("move", **move).sentence
        assert office.refused("move", **{**move, "to": "c1"}).where == "to"
        assert office.refused("move", **{**move, "to": "c9"}).code == "unknown_class"
        assert office.refused("move", **{**move, "numbers": ["12", "99"]}).code == "unknown_entry"
        assert office.refused("move", **{**move, "numbers": []}).where == "numbers"
        office.ask("entry-gone", **{"class": "c2", "number": "12", "reason": None})
        sign(office, "c2")
        assert office.refused("move", **move).where == "to"


def test_nobody_comes_into_a_signed_class_or_goes_out_of_it_but_names_are_still_put_right(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        first = note("sign", "judge-a")
        office.ground.push("judge-a", first)
        for command, body in (
            ("entry", LATE),
            ("entry-gone", {"class": "c1", "number": "12", "reason": None}),
            ("move", {"class": "c1", "numbers": ["12"], "to": "c2"}),
        ):
            assert "signed" in office.refused(command, **body).sentence
        office.ask("entry", **{**LATE, "number": "12", "horse": "Ash"})
        assert office.entry("12")["horse"] == "Ash"
        # The refusal says the same of a panel's class whoever signed.
        sentence = office.refused("entry", **LATE).sentence
        office.ground.push("judge-a", note("sign", "judge-a", numbers=None, reason="once more", replaces=[first["id"]]))
        assert office.ask("entry", **LATE)["classes"][0]["entries"][-1]["number"] == "44"
        office.ground.push("judge-b", note("sign", "judge-b"))
        assert office.refused("entry", **{**LATE, "number": "45"}).sentence == sentence


def test_an_entry_is_struck_with_a_reason_and_the_stroke_taken_back(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        sign(office)
        office.ground.push("office", note("entry", number="12", now="21"))
        strike = {"class": "c1", "number": "12", "reason": "over age"}
        struck = office.ask("strike", **strike)["classes"][0]
        assert struck["strikes"] == [{"number": "21", "reason": "over age", "at": 1764061300000, "by": "office"}]
        assert struck["signed"]["judge-a"]["numbers"] == ["21", "7"]
        again = office.ask("strike", **{**strike, "number": "21", "reason": "too old"})["classes"][0]
        assert [each["reason"] for each in again["strikes"]] == ["too old"]
        office.ground.push("office", note("entry", number="21", now="31"))
        assert office.class_()["strikes"][0]["number"] == "31"
        assert office.refused("strike", **{**strike, "reason": " "}).where == "reason"
        assert office.ask("strike", **{**strike, "reason": None})["classes"][0]["strikes"] == []
        assert office.refused("strike", **{**strike, "reason": None}).code == "not_now"
