"""Championships as the office sets them up: whose best come back, and who names the champion."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from nearside.show.records import Planned
from nearside.store.protocol import Change
from tests.show.desk import Desk, desk

JUNIOR: dict[str, Any] = {"id": None, "title": "Junior mares", "classes": ["c1"], "feeds": [], "judge": "judge-a"}


def name(office: Desk, key: str, champion: dict[str, str] | None) -> None:
    record = office.ground.ground.records(office.ground.show).championships[key]
    named: dict[str, Any] = {
        "champion": champion,
        "reserve": None,
        "reason": None,
        "warned": [],
        "at": 1,
        "by": "judge-a",
    }
    changed = Change("championships", f"s1/{key}", {**record, "named": [*record["named"], named]})
    office.ground.runner.run(office.ground.ground.change(office.ground.show, lambda _records: Planned([changed])))


def test_championships_are_made_fed_changed_and_taken_away(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        office.ask("championship", **JUNIOR)
        office.ask("championship", **{**JUNIOR, "title": "Senior mares", "classes": ["c2"], "judge": "judge-b"})
        state = office.ask("championship", **{**JUNIOR, "title": "Grand", "classes": [], "feeds": ["ch1", "ch2"]})
        assert state["championships"][2] == {
            "id": "ch3",
            "title": "Grand",
            "classes": [],
            "feeds": ["ch1", "ch2"],
            "judge": "judge-a",
            "named": [],
        }
        office.ask("championship", **{**JUNIOR, "id": "ch1", "title": "Young mares", "classes": ["c1", "c2"]})
        assert office.state()["championships"][0]["classes"] == ["c1", "c2"]
        assert "Grand" in office.refused("championship-gone", id="ch1").sentence
        office.ask("championship-gone", id="ch3")
        office.ask("championship-gone", id="ch1")
        assert [each["id"] for each in office.state()["championships"]] == ["ch2"]
        assert "Senior" in office.refused("class-gone", id="c2").sentence
    with desk(tmp_path) as office:
        assert [each["title"] for each in office.state()["championships"]] == ["Senior mares"]


@pytest.mark.parametrize(
    ("changed", "where"),
    [
        ({"title": ""}, "title"),
        ({"classes": []}, "classes"),
        ({"classes": ["c1", "c1"]}, "classes"),
        ({"classes": ["c9"]}, "classes"),
        ({"feeds": ["ch9"]}, "feeds"),
        ({"judge": "steward"}, "judge"),
        ({"id": "ch9"}, "id"),
        ({"id": "ch1", "feeds": ["ch1"]}, "feeds"),
        ({"id": "ch1", "feeds": ["ch2"]}, "feeds"),
    ],
)
def test_a_championship_that_cannot_be_is_refused_with_the_field(
    tmp_path: Path, changed: dict[str, Any], where: str
) -> None:
    with desk(tmp_path) as office:
        office.ask("championship", **JUNIOR)
        office.ask("championship", **{**JUNIOR, "feeds": ["ch1"]})
        assert office.refused("championship", **{**JUNIOR, **changed}).where == where


def test_once_its_champion_is_named_only_the_title_changes_and_it_stays_on_record(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        office.ask("championship", **JUNIOR)
        name(office, "ch1", {"class": "c1", "number": "12"})
        again = {**JUNIOR, "id": "ch1"}
        for changed in ({"classes": ["c2"]}, {"judge": "judge-b"}):
            assert "champion" in office.refused("championship", **{**again, **changed}).sentence
        office.ask("championship", **{**again, "title": "Young mares"})
        name(office, "ch1", None)
        office.ask("championship", **{**again, "classes": ["c2"]})
        assert "record" in office.refused("championship-gone", id="ch1").sentence
