"""Seats at the show table: added, renamed, given a new code, taken away; and what their devices meet."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from nearside.show.refusals import Refusal
from tests.show.desk import ASKING, MARES, desk
from tests.show.ground import note

NEW: dict[str, Any] = {"id": None, "role": "judge", "name": " B. Lane ", "judge": None}


def test_a_new_seat_has_an_id_and_a_code_of_its_own_and_is_joined_at_once(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        office.ask("seat", **NEW)
        seat = office.seat("judge-c")
        assert (seat["name"], seat["card"], len(seat["code"])) == ("B. Lane", "judge-c", 8)
        assert seat["link"] == f"/#join={seat['code']}"
        device, _, _ = office.ground.ground.join(seat["code"], None, 5)
        assert device.seat.id == "judge-c"
        assert office.ground.push_one("judge-c", note("mark", "judge-c"))["status"] == "kept"
        office.ask("seat", **{**NEW, "role": "scribe", "judge": "judge-c"})
        assert office.seat("scribe-c")["card"] == "judge-c"
        office.ask("seat", **{**NEW, "role": "trainee", "judge": "judge-c"})
        assert (office.seat("trainee-c")["card"], office.seat("trainee-c")["shadows"]) == ("trainee-c", "judge-c")
        office.ask("seat", **{**NEW, "role": "trainee"})
        office.ask("seat", **{**NEW, "role": "steward"})
        assert office.seat("steward-a")["card"] is None
        office.ask("seat", **{**NEW, "role": "announcer"})
        assert office.seat("announcer-a")["role"] == "announcer"
        codes = [each["code"] for each in office.state()["seats"]]
        assert len(set(codes)) == len(codes) == 15


@pytest.mark.parametrize(
    ("changed", "where"),
    [
        ({"name": ""}, "name"),
        ({"role": "owner"}, "role"),
        ({"judge": "judge-a"}, "judge"),
        ({"role": "scribe"}, "judge"),
        ({"role": "scribe", "judge": "steward"}, "judge"),
        ({"role": "trainee", "judge": "judge-z"}, "judge"),
        ({"id": "judge-z"}, "id"),
        ({"id": "steward"}, "role"),
    ],
)
def test_a_seat_that_cannot_be_is_refused_with_the_field(tmp_path: Path, changed: dict[str, Any], where: str) -> None:
    with desk(tmp_path) as office:
        assert office.refused("seat", **{**NEW, **changed}).where == where


def test_a_seat_is_renamed_and_its_devices_go_by_the_new_name(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        device, token, _ = office.ground.ground.join(office.seat("steward")["code"], None, 5)
        office.ask("seat", id="steward", role="steward", name="Gate North", judge=None)
        assert office.ground.ground.device(token).seat.name == "Gate North"
        assert device.id in [each["id"] for each in office.state()["devices"]]


def test_a_scribe_who_has_written_and_a_trainee_with_a_card_stay_with_their_judge(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        scribe = {"id": "scribe-a", "role": "scribe", "name": "S", "judge": "judge-b"}
        trainee = {"id": "trainee-a", "role": "trainee", "name": "T", "judge": None}
        office.ask("seat", **scribe)
        office.ask("seat", **trainee)
        assert (office.seat("scribe-a")["card"], office.seat("trainee-a")["shadows"]) == ("judge-b", None)
        office.ground.push("scribe-a", note("mark", "judge-b"))
        office.ground.push("trainee-a", note("mark", "trainee-a"))
        assert office.refused("seat", **{**scribe, "judge": "judge-a"}).where == "judge"
        assert office.refused("seat", **{**trainee, "judge": "judge-b"}).where == "judge"
        office.ask("seat", **{**scribe, "name": "S. Two"})


def test_a_scribe_whose_device_has_joined_stays_with_the_judge_whose_card_it_shows(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        ground = office.ground.ground
        device, _, _ = ground.join(office.seat("scribe-a")["code"], None, 5)
        scribe = {"id": "scribe-a", "role": "scribe", "name": "S", "judge": "judge-b"}
        joined = office.refused("seat", **scribe)
        assert joined.where == "judge"
        assert "Add a new scribe's seat" in joined.sentence
        ground.revoke(office.ground.show, device.id)
        assert office.refused("seat", **scribe).sentence == joined.sentence, (
            "who was turned away has read the card all the same"
        )
        office.ask("seat", **{**scribe, "judge": "judge-a"})
        office.ask("seat", **{**scribe, "id": None})
        assert office.seat("scribe-c")["card"] == "judge-b"


def test_a_judge_is_taken_away_until_the_judge_s_classes_are_judged_and_nobody_learns_by_whom(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        for seat in ("scribe-a", "trainee-a", "scribe-b", "trainee-b"):
            office.ask("seat-gone", id=seat)
        office.ground.push("judge-a", note("mark", "judge-a"))
        refused = [office.refused("seat-gone", id=each) for each in ("judge-a", "judge-b")]
        assert [each.sentence.replace("Judge A", "Judge B") for each in refused] == [refused[1].sentence] * 2
        office.ask("seat", **NEW)  # comes to the class that waits alone
        office.ask("seat-gone", id="judge-c")


def test_a_new_judge_comes_to_classes_that_wait_and_not_to_those_that_are_judged(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        office.ground.push("judge-a", note("mark", "judge-a"))
        office.ask("seat", **NEW)
        assert office.class_("c1")["judges"] == ["judge-a", "judge-b"]
        assert (office.class_("c2")["judges"], office.class_("c2")["cards"]["of"]) == (None, 3)
        assert office.ground.push_one("judge-c", note("mark", "judge-c"))["status"] == "refused"
        for judge in ("judge-a", "judge-b"):
            office.ground.push(judge, note("sign", judge))
        assert office.class_("c1")["released"]


def test_a_new_code_turns_the_seat_s_devices_away_but_not_the_one_that_asks(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        ground = office.ground.ground
        old = office.seat("judge-a")["code"]
        device, token, _ = ground.join(old, None, 5)
        listener = office.ground.show.bell.listen(device.id, device.seat)
        office.ask("seat-code", id="judge-a")
        assert listener.is_over
        with pytest.raises(Refusal, match="taken this device off"):
            ground.device(token)
        with pytest.raises(Refusal, match="No seat has this code"):
            ground.join(old, None, 6)
        assert ground.join(office.seat("judge-a")["code"], None, 7)[0].seat.id == "judge-a"
        own, own_token, _ = ground.join(office.seat("office")["code"], None, 8)
        other_token = ground.join(office.seat("office")["code"], None, 9)[1]
        office.asking = ASKING._replace(device=own.id)
        office.ask("seat-code", id="office")
        assert ground.device(own_token).seat.id == "office"
        with pytest.raises(Refusal):
            ground.device(other_token)
        assert office.refused("seat-code", id="nobody").code == "unknown_seat"


def test_a_seat_is_taken_away_with_its_devices_and_its_id_is_not_given_again(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        ground = office.ground.ground
        office.ask("class", **MARES, method="points", judges=["judge-a", "judge-b"], call_judges=["judge-b", "judge-a"])
        token = ground.join(office.seat("judge-b")["code"], None, 5)[1]
        for seat in ("scribe-b", "trainee-b", "judge-b", "steward"):
            office.ask("seat-gone", id=seat)
        assert "judge-b" not in [each["id"] for each in office.state()["seats"]]
        assert office.state()["devices"] == []
        with pytest.raises(Refusal, match="taken this device off"):
            ground.device(token)
        assert (office.class_("c3")["judges"], office.class_("c3")["call_judges"]) == (["judge-a"], ["judge-a"])
        office.ask("seat", **NEW)
        office.ask("seat", **{**NEW, "role": "steward"})
        ids = [each["id"] for each in office.state()["seats"]]
        assert ids == ["office", "judge-a", "scribe-a", "trainee-a", "announcer", "judge-c", "steward-a"]
    with desk(tmp_path) as office:
        assert [each["id"] for each in office.state()["seats"]] == ids


def test_a_seat_somebody_needs_stays(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        assert "own seat" in office.refused("seat-gone", id="office").sentence
        assert "Scribe A belongs" in office.refused("seat-gone", id="judge-a").sentence
        office.ask("seat-gone", id="scribe-a")
        office.ask("seat-gone", id="trainee-a")
        office.ground.push("judge-a", note("remark", "judge-a"))
        assert "being judged" in office.refused("seat-gone", id="judge-a").sentence
        office.ground.push("trainee-b", note("mark", "trainee-b"))
        assert "card" in office.refused("seat-gone", id="trainee-b").sentence
        office.ground.push("scribe-b", note("mark", "judge-b"))
        office.ask("seat-gone", id="scribe-b")
        office.ask("seat", **NEW)
        office.ask("class", **MARES, judges=["judge-c"])
        assert "no other judge" in office.refused("seat-gone", id="judge-c").sentence
        office.ask("class-gone", id="c3")
        office.ask("championship", id=None, title="Grand", classes=["c1"], feeds=[], judge="judge-c")
        assert "Grand has no other judge; give it one" in office.refused("seat-gone", id="judge-c").sentence


def test_one_office_seat_takes_another_away_and_one_stays(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        office.ask("seat", **{**NEW, "role": "office"})
        office.asking = ASKING._replace(seat="office-a")
        office.ask("seat-gone", id="office")
        assert office.refused("seat-gone", id="office-a").code == "not_now"
