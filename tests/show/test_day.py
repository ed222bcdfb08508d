"""The day: all a device needs, and no name of a horse or an exhibitor."""

from __future__ import annotations

import json
from pathlib import Path

from nearside.show.day import day_for
from nearside.show.standards import shipped_standard, words
from nearside.store.protocol import Change
from tests.show.ground import IDS, class_file, small_show


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
        assert set(day) == {"format", "show", "seat", "seats", "classes", "standards", "words", "about_standards"}


def test_judge_and_scribe_are_told_who_writes_on_their_card_and_nobody_else_is(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        told = {seat: day_for(ground.show, ground.show.seats[seat])["seats"] for seat in IDS}
    for card in "ab":
        judge = {"id": f"judge-{card}", "name": f"Judge {card.upper()}", "role": "judge"}
        scribe = {"id": f"scribe-{card}", "name": f"Scribe {card.upper()}", "role": "scribe"}
        for seat in (judge["id"], scribe["id"]):
            assert sorted(told.pop(seat), key=lambda each: each["id"]) == [judge, scribe]
    assert told == {"office": [], "steward": [], "trainee-a": [], "trainee-b": [], "announcer": []}


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
