"""The day: all a device needs, and no name of a horse or an exhibitor."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from nearside.show.day import day_for, revision_of
from nearside.show.pulling import notes_of_class
from nearside.show.records import Planned, Records
from nearside.show.standards import shipped_standard, words
from nearside.store.protocol import Change
from tests.show.ground import IDS, Ground, class_file, note, small_show


def test_the_day_holds_show_seat_classes_entries_whole_standards_and_words(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        day = day_for(ground.show, ground.show.seats["scribe-a"])
        assert day["format"] == "nearside-day/1"
        assert day["show"] == {"id": "s1", "title": "Test show"}
        assert day["seat"] == {"id": "scribe-a", "role": "scribe", "name": "Scribe A", "card": "judge-a"}
        assert [each["id"] for each in day["classes"]] == ["c1", "c2"]
        one = day["classes"][0]
        assert one == {**class_file()["class"], "entries": class_file()["entries"]}
        assert day["standards"] == [shipped_standard("stock-type")]
        assert day["words"] == words()
        assert set(day) == {
            "format",
            "show",
            "seat",
            "seats",
            "classes",
            "standards",
            "words",
            "about_standards",
            "about_classes",
            "championships",
            "revision",
        }


def test_a_judge_is_told_which_championships_are_the_own(tmp_path: Path) -> None:
    record = {"id": "ch1", "show": "s1", "position": 0, "title": "Champion mare", "classes": ["c1"], "feeds": []}
    change = Change("championships", "s1/ch1", {**record, "judge": "judge-a", "named": []})
    with small_show(tmp_path, changes=[change]) as ground:
        told = {seat: day_for(ground.show, ground.show.seats[seat])["championships"] for seat in IDS}
    assert {seat: own for seat, own in told.items() if own} == {"judge-a": [{"id": "ch1", "title": "Champion mare"}]}


def test_judge_and_scribe_are_told_who_writes_on_their_card_the_gate_the_judges_and_nobody_else(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        told = {seat: day_for(ground.show, ground.show.seats[seat])["seats"] for seat in IDS}
    for card in "ab":
        judge = {"id": f"judge-{card}", "name": f"Judge {card.upper()}", "role": "judge"}
        scribe = {"id": f"scribe-{card}", "name": f"Scribe {card.upper()}", "role": "scribe"}
        for seat in (judge["id"], scribe["id"]):
            assert sorted(told.pop(seat), key=lambda each: each["id"]) == [judge, scribe]
    # A call "the judge says" has to say which: the steward and the office are told the judges, and of which classes.
    judges = [
        {"id": "judge-a", "name": "Judge A", "role": "judge", "classes": ["c1", "c2"]},
        {"id": "judge-b", "name": "Judge B", "role": "judge", "classes": ["c1", "c2"]},
    ]
    assert told == {"office": judges, "steward": judges, "trainee-a": [], "trainee-b": [], "announcer": []}


def test_classes_keep_the_order_of_the_files_and_entries_the_order_of_the_file(tmp_path: Path) -> None:
    entries = [{"number": number} for number in ("30", "007", "7", "12A")]
    files = [class_file(each, entries=entries) for each in ("z", "a", "m")]
    with small_show(tmp_path, files=files) as ground:
        day = day_for(ground.show, ground.show.seats["judge-a"])
        assert [each["id"] for each in day["classes"]] == ["z", "a", "m"]
        assert [each["number"] for each in day["classes"][0]["entries"]] == ["30", "007", "7", "12A"]


def test_a_standard_of_a_class_s_own_comes_whole_and_the_class_names_it_by_key(tmp_path: Path) -> None:
    own = {**shipped_standard("stock-type"), "key": "our-type", "title": "Our type"}
    file = class_file()
    file["class"]["standard"] = own
    with small_show(tmp_path, files=[file, class_file("c2")]) as ground:
        day = day_for(ground.show, ground.show.seats["judge-a"])
        assert [each["standard"] for each in day["classes"]] == ["our-type", "stock-type"]
        assert [each["key"] for each in day["standards"]] == ["our-type", "stock-type"]
        assert day["standards"][0] == own


def test_whatever_else_the_catalogue_knows_of_a_horse_stays_there(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        record = ground.ground.catalogue.get("entries", "s1/c1/12")
    assert record is not None
    named = {**record, "horse": "Quicksilver", "exhibitor": "A. Person"}
    with small_show(tmp_path, changes=[Change("entries", "s1/c1/12", named)]) as ground:
        for seat in IDS:
            text = json.dumps(day_for(ground.show, ground.show.seats[seat]))
            assert "bay 12" in text
            assert "Quicksilver" not in text
            assert "A. Person" not in text


def about(ground: Ground, seat: str, class_id: str = "c1") -> dict[str, Any]:
    of: dict[str, Any] = day_for(ground.show, ground.show.seats[seat])["about_classes"][class_id]
    return of


def change_class(ground: Ground, class_id: str = "c1", **fields: Any) -> None:
    """The office changes a class while the show runs."""

    def plan(records: Records) -> Planned:
        return Planned([Change("classes", f"s1/{class_id}", {**records.classes[class_id], **fields})])

    ground.runner.run(ground.ground.change(ground.show, plan))


def test_stage_and_divisions_of_a_class_stand_beside_it(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        assert set(about(ground, "judge-a")) == {"stage", "opened"}
        assert about(ground, "judge-a")["stage"] is None
        change_class(ground, stage="ring", divisions=[{"id": "d1", "title": "Fillies"}, {"id": "d2", "title": "Mares"}])

        def plan(records: Records) -> Planned:
            seven, twelve = ({**records.entries["c1"][number], "division": "d1"} for number in ("7", "12"))
            gone = {**twelve, "gone": {"why": "scratched", "at": 1}}
            return Planned([Change("entries", "s1/c1/7", seven), Change("entries", "s1/c1/12", gone)])

        ground.runner.run(ground.ground.change(ground.show, plan))
        now = about(ground, "judge-a")
        assert now["stage"] == "ring"
        assert now["divisions"] == [
            {"id": "d1", "title": "Fillies", "numbers": ["7"]},
            {"id": "d2", "title": "Mares", "numbers": []},
        ]


def test_the_revision_changes_with_anything_in_the_seat_s_day_and_with_nothing_else(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        seats = ground.show.seats
        before = {seat: revision_of(ground.show, seats[seat]) for seat in IDS}
        assert len(set(before.values())) == len(IDS)
        assert {seat: day_for(ground.show, seats[seat])["revision"] for seat in IDS} == before
        ground.push("judge-a", note("mark", "judge-a"), note("sign", "judge-a"))
        ground.push("judge-b", note("sign", "judge-b"))
        ground.push("steward", note("presence"), note("entry"))
        assert {seat: revision_of(ground.show, seats[seat]) for seat in IDS} == before
        change_class(ground, stage="gate")
        after = {seat: revision_of(ground.show, ground.show.seats[seat]) for seat in IDS}
        assert all(after[seat] != before[seat] for seat in IDS)
        change_class(ground, stage=None)
        assert {seat: revision_of(ground.show, ground.show.seats[seat]) for seat in IDS} == before
    with small_show(tmp_path) as ground:
        assert {seat: revision_of(ground.show, ground.show.seats[seat]) for seat in IDS} == before


def opened(ground: Ground) -> dict[str, str]:
    return {seat: about(ground, seat)["opened"] for seat in IDS}


def test_what_a_change_of_the_catalogue_lets_a_seat_read_is_said_to_that_seat_alone(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        before = opened(ground)
        change_class(ground, stage="ring", study_office=True)
        assert opened(ground) == before, "the office's word alone opens nothing"
        for card in ("judge-a", "trainee-a"):
            ground.push(card, note("sign", card))
        change_class(ground, study_judges=["judge-a"])
        assert opened(ground) == before, "that a judge agrees tells that this judge has signed"
        ground.push("judge-b", note("sign", "judge-b"))
        after = opened(ground)
        assert {seat for seat in IDS if after[seat] != before[seat]} == {"trainee-a"}
        assert (
            revision_of(ground.show, ground.show.seats["trainee-a"])
            == (day_for(ground.show, ground.show.seats["trainee-a"])["revision"])
        )
        ground.push("trainee-b", note("sign", "trainee-b"))
        after = opened(ground)
        assert {seat for seat in IDS if after[seat] != before[seat]} == {"trainee-a", "trainee-b"}
        assert about(ground, "trainee-a", "c2")["opened"] != after["trainee-a"]


def test_a_device_that_was_past_them_fetches_the_notes_that_study_opens(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        ground.push("judge-a", note("mark", "judge-a", id="mark"), note("sign", "judge-a", id="a"))
        ground.push("judge-b", note("sign", "judge-b"))
        ground.push("trainee-a", note("sign", "trainee-a", id="own"))
        seat = ground.show.seats["trainee-a"]
        page, before = ground.pull("trainee-a"), about(ground, "trainee-a")["opened"]
        assert [each["id"] for each in page.notes] == ["own"]
        assert [each["id"] for each in notes_of_class(ground.show, seat, "c1")] == ["own"]
        change_class(ground, study_office=True, study_judges=["judge-a"])
        assert ground.pull("trainee-a", page.cursor).notes == []
        assert about(ground, "trainee-a")["opened"] != before
        assert [each["id"] for each in notes_of_class(ground.show, seat, "c1")] == ["mark", "a", "own"]
        assert notes_of_class(ground.show, seat, "c2") == []


def test_a_device_that_was_past_them_fetches_the_order_that_a_judge_less_releases(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        ground.push("judge-a", note("mark", "judge-a"), note("sign", "judge-a", id="a"))
        before = opened(ground)
        assert notes_of_class(ground.show, ground.show.seats["office"], "c1") == []
        change_class(ground, judges=["judge-a"])
        after = opened(ground)
        assert {"office", "steward", "announcer"} <= {seat for seat in IDS if after[seat] != before[seat]}
        assert [each["id"] for each in notes_of_class(ground.show, ground.show.seats["office"], "c1")] == ["a"]
        assert [each["id"] for each in ground.pull("office").notes] == ["a"]


def test_a_judge_and_the_scribe_are_told_which_classes_are_another_judge_s(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        assert "is_yours" not in about(ground, "judge-b")
        change_class(ground, judges=["judge-a"])
        told = {seat for seat in IDS if about(ground, seat).get("is_yours") is False}
        assert told == {"judge-b", "scribe-b"} & set(IDS)
        assert "judge-b" in told
        assert "is_yours" not in about(ground, "judge-b", "c2")
