"""Results over HTTP: as JSON and as a table, released or not, and nothing of a card that is not the asker's."""

from __future__ import annotations

import csv
import io
from pathlib import Path

from tests.show.ground import IDS, note
from tests.web.house import house

PATHS = ("/api/results", "/api/results?class=c1", "/api/results.csv", "/api/results.csv?class=c1")


def test_a_released_class_is_told_as_json_and_as_a_table(tmp_path: Path) -> None:
    with house(tmp_path) as web:
        web.push("judge-a", note("sign", "judge-a", numbers=["12", "7"]))
        assert web.get("/api/results", "office").json()["classes"] == []
        web.push("judge-b", note("sign", "judge-b", numbers=["7", "12"]))
        answer = web.get("/api/results?class=c1", "office").json()
        assert answer["format"] == "nearside-results/1"
        assert answer["show"] == {"id": "s1", "title": "Test show"}
        assert [each["judge"] for each in answer["classes"][0]["cards"]] == ["judge-a", "judge-b"]
        table = web.get("/api/results.csv", "office")
        assert table.headers["content-type"] == "text/csv; charset=utf-8; header=present"
        assert table.headers["content-disposition"] == 'attachment; filename="results.csv"'
        assert table.headers["cache-control"] == "no-store"
        assert [row["number"] for row in csv.DictReader(io.StringIO(table.text))] == ["12", "7", "7", "12"]
        assert web.get("/api/results.csv?class=c2", "office").text.count("\r\n") == 1


def test_of_another_judges_placing_nothing_leaves(tmp_path: Path) -> None:
    """Before all have signed to nobody; then, of separate cards, to judge and scribe their own alone."""

    def told(seat: str) -> set[bool]:
        return {"Z9Z9" in web.get(path, seat).text for path in PATHS}

    with house(tmp_path) as web:
        web.push("judge-b", note("sign", "judge-b", numbers=["Z9Z9", "7"]))
        assert {seat: told(seat) for seat in IDS} == {seat: {False} for seat in IDS}
        web.push("judge-a", note("sign", "judge-a", numbers=["12", "7"]))
        readers = ("office", "steward", "announcer", "judge-b", "scribe-b")
        assert {seat: told(seat) for seat in IDS} == {seat: {seat in readers} for seat in IDS}
        web.push("trainee-a", note("sign", "trainee-a", numbers=["7", "12"]))
        assert told("trainee-a") == {True}


def test_who_has_not_joined_and_what_is_not_there_are_refused(tmp_path: Path) -> None:
    with house(tmp_path) as web:
        for path in ("/api/results", "/api/results.csv"):
            assert web.get(path).status_code == 401
            refused = web.get(f"{path}?class=c9", "office")
            assert (refused.status_code, refused.json()["error"]["where"]) == (404, "class")
            assert web.post(path, "office").status_code == 405
