"""Classes at the show table: made and changed while they are judged, as far as that is fair to who judges them."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from nearside.show import office_classes, office_entries, office_seats
from nearside.show.cards import class_file_for, placing_for
from nearside.show.classfile import checked_class_file
from nearside.show.day import day_for
from nearside.show.standards import shipped_standard
from tests.show.desk import MARES, NO_NAMES, Desk, desk
from tests.show.ground import note


def same(office: Desk, class_id: str = "c1", **changed: Any) -> dict[str, Any]:
    """The body that changes a class in these fields alone."""
    now = office.class_(class_id)
    fields = ("id", "title", "standard", "sexes", "ages", "places", "lameness", "judges", "method", "call_judges")
    return {**{field: now[field] for field in fields}, **changed}


def sign(office: Desk, *judges: str) -> None:
    for judge in judges:
        assert office.ground.push_one(judge, note("sign", judge))["status"] == "kept"


def test_a_new_class_has_a_short_id_of_its_own_and_is_in_everybody_s_day(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        state = office.ask("class", **MARES)
        made = state["classes"][-1]
        assert made["id"] == "c3"
        assert made["lameness"] == {"from_grade": 3, "outcome": "last"}
        assert (made["judges"], made["method"], made["study_office"], made["cards"]) == (
            None,
            "separate",
            False,
            {"signed": 0, "of": 2},
        )
        day = day_for(office.ground.show, office.ground.show.seats["judge-b"])
        assert day["classes"][-1]["title"] == "Hunter type mares"
        assert [each["key"] for each in day["standards"]] == ["hunter-type", "stock-type"]
        assert office.ground.push_one("judge-b", note("presence", **{"class": "c3"}))["status"] == "kept"
    with desk(tmp_path) as office:
        assert office.class_("c3") == {**made, "entries": []}


def test_an_id_that_a_class_had_or_a_note_names_is_not_given_again(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        office.ask("class", **MARES)
        office.ask("class-gone", id="c3")
        assert [each["id"] for each in office.state()["classes"]] == ["c1", "c2"]
        office.ground.show.store.append([{**note("mark", "judge-a"), "class": "c4", "by": "judge-a"}])
        assert office.ask("class", **MARES)["classes"][-1]["id"] == "c5"


def test_a_standard_of_the_show_s_own_comes_whole_and_is_then_known_by_its_key(tmp_path: Path) -> None:
    own: dict[str, Any] = {**json.loads(json.dumps(shipped_standard("pony-type"))), "key": "mill-pony", "title": "Mill"}
    with desk(tmp_path) as office:
        state = office.ask("class", **{**MARES, "standard": own})
        assert state["classes"][-1]["standard"] == "mill-pony"
        assert {"key": "mill-pony", "title": "Mill"} in state["standards"]
        office.ask("class", **{**MARES, "standard": "mill-pony"})
        day = day_for(office.ground.show, office.ground.show.seats["judge-a"])
        assert next(each for each in day["standards"] if each["key"] == "mill-pony") == own
        other = {**own, "title": "Another"}
        assert "rename yours" in office.refused("class", **{**MARES, "standard": other}).sentence
        shipped = {**own, "key": "stock-type"}
        assert "rename yours" in office.refused("class", **{**MARES, "standard": shipped}).sentence


@pytest.mark.parametrize(
    ("changed", "where"),
    [
        ({"title": "  "}, "title"),
        ({"title": "x" * 121}, "title"),
        ({"title": "a\u202eb"}, "title"),
        ({"standard": "nobody-type"}, "standard"),
        ({"standard": {"format": "nearside-standard/1"}}, "standard"),
        ({"sexes": []}, "sexes"),
        ({"sexes": ["colt"]}, "sexes[0]"),
        ({"ages": ["four"]}, "ages[0]"),
        ({"places": 0}, "places"),
        ({"places": "6"}, "places"),
        ({"lameness": {"from_grade": 6, "outcome": "last"}}, "lameness.from_grade"),
        ({"judges": []}, "judges"),
        ({"judges": ["judge-a", "judge-a"]}, "judges"),
        ({"judges": ["steward"]}, "judges"),
        ({"method": "votes"}, "method"),
        ({"call_judges": ["judge-c"]}, "call_judges"),
        ({"surprise": 1}, "surprise"),
        ({"id": "c9"}, "id"),
    ],
)
def test_a_class_that_cannot_be_is_refused_with_the_field(tmp_path: Path, changed: dict[str, Any], where: str) -> None:
    with desk(tmp_path) as office:
        refusal = office.refused("class", **{**MARES, **changed})
        assert (refusal.where or "").startswith(where)
        assert refusal.sentence.endswith(".")


def test_a_majority_of_an_even_number_of_judges_is_refused_when_the_class_is_set_up(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        refusal = office.refused("class", **MARES, method="majority")
        assert refusal.sentence.startswith("method: a majority takes an odd number of judges; these are 2")
        assert office.refused("class", **MARES, method="dropped_points").where == "method"
        assert office.ask("class", **MARES, method="majority", judges=["judge-b"])["classes"][-1]["judges"] == [
            "judge-b"
        ]
        assert office.refused("class", **MARES, method="points", judges=["judge-a"], call_judges=["judge-b"]).where == (
            "call_judges"
        )
        made = office.ask("class", **MARES, method="points", call_judges=["judge-b", "judge-a"])["classes"][-1]
        assert made["call_judges"] == ["judge-b", "judge-a"]


def test_a_panel_that_no_longer_fits_its_method_is_said_and_nobody_is_kept_on_a_seat_for_it(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        office.ask("seat", id=None, role="judge", name="C", judge=None)
        office.ask("class", **same(office, method="majority"))
        assert office.class_()["problem"] is None
        office.ask("seat-gone", id="judge-c")
        assert office.class_()["problem"] == "a majority takes an odd number of judges; these are 2"
        office.ask("class", **same(office, method="points"))
        assert office.class_()["problem"] is None


def test_a_show_and_its_classes_and_seats_have_bounds(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with desk(tmp_path) as office:
        monkeypatch.setattr(office_classes, "MOST_CLASSES", 2)
        monkeypatch.setattr(office_seats, "MOST_SEATS", 9)
        monkeypatch.setattr(office_entries, "MOST_ENTRIES", 3)
        full = office.refused("class", **MARES)
        assert "classes at most; put the horses in another" in full.sentence
        assert full.where == "title"
        seat = office.refused("seat", id=None, role="judge", name="C", judge=None)
        assert "seats at most; give a seat nobody uses" in seat.sentence
        entry = office.refused("entry", **{"class": "c1", "number": "44", **NO_NAMES})
        assert "entries at most; put further horses" in entry.sentence


def test_once_a_horse_was_looked_at_standard_and_sexes_are_fixed_and_the_rest_is_not(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        assert not office.class_()["fixed"]
        office.ask("class", **same(office, standard="pony-type", sexes=["mare", "gelding"]))
        office.ground.push("scribe-a", note("mark", "judge-a"))
        assert office.class_()["fixed"]
        assert "fixed" in office.refused("class", **same(office, standard="stock-type")).sentence
        assert office.refused("class", **same(office, sexes=["mare"])).where == "sexes"
        state = office.ask("class", **same(office, sexes=["gelding", "mare"], title="Ponies", places=3, ages=["two"]))
        assert (state["classes"][0]["title"], state["classes"][0]["places"]) == ("Ponies", 3)


def test_what_a_phone_noted_by_what_the_class_was_judged_by_before_is_kept_idle(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        office.ask("class", **same(office, standard="hunter-type", sexes=["gelding"]))
        # A judge without a signal went on by the day before.
        away = [
            note("mark", "judge-a", trait="feminine", view="head", degree=1),
            note("mark", "judge-a", trait="stifle"),
        ]
        away[1]["view"] = "rear"
        assert [each["status"] for each in office.ground.push("judge-a", *away)] == ["kept", "kept"]
        now = note("mark", "judge-a", number="7", trait="walk", view="walk")
        assert office.ground.push_one("judge-a", now)["status"] == "kept"
        never = note("mark", "judge-a", trait="topline", view="rear")
        assert office.ground.push_one("judge-a", never)["status"] == "refused"
        assert {each["id"] for each in away} <= office.ground.ids("judge-a")
    with desk(tmp_path) as office:
        assert office.ground.push_one("judge-a", {**away[0], "id": "another"})["status"] == "kept"
        seat = office.ground.show.seats["judge-a"]
        told = class_file_for(office.ground.show, seat, "c1", None)
        assert [each["id"] for each in told["notes"]] == [now["id"]]
        assert checked_class_file(told)
        assert placing_for(office.ground.show, seat, "c1", None)()["placing"] == ["7", "12"]


def test_a_class_changed_back_is_judged_as_at_first_and_nothing_of_it_is_idle(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        before = same(office)
        office.ask("class", **same(office, standard="hunter-type"))
        office.ask("class", **before)
        mark = note("mark", "judge-a")
        assert office.ground.push_one("judge-a", mark)["status"] == "kept"
        assert not office.ground.show.classes["c1"].is_idle(mark)  # type: ignore[arg-type]
        assert len(office.ground.ground.records(office.ground.show).classes["c1"]["former"]) == 1


def test_who_judges_a_class_that_is_being_judged_stays_its_judge_whoever_has_begun(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        office.ask("class", **same(office, judges=["judge-a"]))
        office.ask("class", **same(office, judges=["judge-a", "judge-b"]))
        office.ground.push("trainee-a", note("mark", "trainee-a"))
        office.ask("class", **same(office, judges=["judge-b"]))
        office.ask("class", **same(office, judges=["judge-a", "judge-b"]))
        office.ground.push("judge-a", note("remark", "judge-a"))
        without = [office.refused("class", **same(office, judges=[each])) for each in ("judge-a", "judge-b")]
        assert {(each.where, each.sentence) for each in without} == {("judges", without[0].sentence)}
        office.ask("seat", id=None, role="judge", name="C", judge=None)
        office.ask("class", **same(office, judges=["judge-a", "judge-b", "judge-c"]))


def test_after_a_signature_the_lameness_rule_is_fixed_and_after_all_of_them_judges_and_method(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        rule = {"from_grade": 4, "outcome": "not_placed"}
        office.ask("class", **same(office, lameness=rule))
        sign(office, "judge-a")
        assert (
            office.refused("class", **same(office, lameness={"from_grade": 3, "outcome": "last"})).where == "lameness"
        )
        office.ask("class", **same(office, method="points"))
        sign(office, "judge-b")
        for changed in ({"method": "separate"}, {"call_judges": ["judge-a"]}, {"judges": ["judge-a"]}):
            assert office.refused("class", **same(office, **changed)).code == "not_now"
        office.ask("class", **same(office, judges=["judge-a", "judge-b"], title="As it was judged"))


def test_of_the_cards_the_office_learns_nothing_until_all_are_signed(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        before = office.class_()
        sign(office, "judge-a")
        assert office.class_() == before
        assert (before["cards"], before["released"], before["signed"]) == ({"signed": 0, "of": 2}, False, {})
        office.ground.push("office", note("sign", "judge-b", numbers=["7"], at=5))
        after = office.class_()
        assert (after["cards"], after["released"]) == ({"signed": 2, "of": 2}, True)
        assert after["signed"]["judge-b"] == {"at": 5, "numbers": ["7"], "from_paper": True}
        assert not after["signed"]["judge-a"]["from_paper"]


def test_signed_numbers_are_those_the_horses_are_known_by_today(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        sign(office, "judge-a", "judge-b")
        office.ground.push("office", note("entry", number="12", now="21"))
        assert office.class_()["signed"]["judge-a"]["numbers"] == ["21", "7"]


def test_a_class_nobody_judged_is_taken_away_and_one_that_was_stays(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        office.ground.push("steward", note("presence"))
        office.ground.push("judge-a", note("remark", "judge-a", **{"class": "c2"}))
        assert "stays" in office.refused("class-gone", id="c2").sentence
        assert [each["id"] for each in office.ask("class-gone", id="c1")["classes"]] == ["c2"]
        assert office.refused("class-gone", id="c1").code == "unknown_class"
        # What a steward without a signal still writes of it is kept all the same.
        assert office.ground.push_one("steward", note("presence", number="30"))["status"] == "kept"


def test_classes_are_put_in_order_and_each_is_named_once(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        office.ask("class", **MARES)
        state = office.ask("classes-order", ids=["c3", "c1", "c2"])
        assert [each["id"] for each in state["classes"]] == ["c3", "c1", "c2"]
        day = day_for(office.ground.show, office.ground.show.seats["steward"])
        assert [each["id"] for each in day["classes"]] == ["c3", "c1", "c2"]
        for ids in (["c1", "c2"], ["c1", "c2", "c3", "c3"], ["c1", "c2", "c4"]):
            assert office.refused("classes-order", ids=ids).where == "ids"
        office.ask("class-gone", id="c1")
        assert [each["id"] for each in office.ask("class", **MARES)["classes"]] == ["c3", "c2", "c4"]


def test_the_running_list_says_where_a_class_is_and_announces_only_what_is_signed(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        office.ask("stage", **{"class": "c1", "stage": "gate"})
        assert office.ask("stage", **{"class": "c1", "stage": "ring"})["classes"][0]["stage"] == "ring"
        assert "signed" in office.refused("stage", **{"class": "c1", "stage": "announced"}).sentence
        sign(office, "judge-a", "judge-b")
        announced = office.ask("stage", **{"class": "c1", "stage": "announced"})["classes"][0]
        assert announced["announced_at"] == 1764061300000
        # Marked again it stays as it is, unless what was announced has changed since.
        office.asking = office.asking._replace(now_ms=1764061400000)
        again = office.ask("stage", **{"class": "c1", "stage": "announced"})["classes"][0]
        assert again["announced_at"] == 1764061300000
        office.ask("strike", **{"class": "c1", "number": "12", "reason": "ineligible"})
        again = office.ask("stage", **{"class": "c1", "stage": "announced"})["classes"][0]
        assert again["announced_at"] == 1764061400000
        assert office.ask("stage", **{"class": "c1", "stage": None})["classes"][0]["announced_at"] is None
        assert office.refused("stage", **{"class": "c1", "stage": "over"}).where == "stage"


def test_a_class_whose_signature_is_taken_back_is_not_announced_until_it_is_signed_anew(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        signed = note("sign", "judge-a")
        assert office.ground.push_one("judge-a", signed)["status"] == "kept"
        sign(office, "judge-b")
        back = note("sign", "judge-a", numbers=None, reason="two swapped", replaces=[signed["id"]])
        assert office.ground.push_one("judge-a", back)["status"] == "kept"
        refused = office.refused("stage", **{"class": "c1", "stage": "announced"})
        assert (refused.code, refused.where) == ("not_now", "stage")
        assert "is being corrected" in refused.sentence
        again = note("sign", "judge-a", replaces=[back["id"]])
        assert office.ground.push_one("judge-a", again)["status"] == "kept"
        assert office.ask("stage", **{"class": "c1", "stage": "announced"})["classes"][0]["stage"] == "announced"


def test_the_show_has_another_title(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        assert office.ask("show", title=" Harvest  show ")["show"]["title"] == "Harvest show"
        assert office.ground.show.on_the_wire()["title"] == "Harvest show"
        assert office.refused("show", title="").where == "title"
        assert office.refused("shows", title="x").code == "unknown_command"
