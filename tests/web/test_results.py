"""Results over HTTP: as JSON and as a table, released or not, and nothing of a card that is not the asker's."""

from __future__ import annotations

import csv
import io
from pathlib import Path
from typing import Any

from nearside.show.chain import printed_head
from nearside.show.records import Planned
from nearside.store.protocol import Change
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
        assert answer["classes"][0]["head"] == printed_head(web.show.store.of_class("c1"), {"judge-a", "judge-b"})
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


def test_a_champion_is_named_corrected_with_a_reason_and_announced(tmp_path: Path) -> None:
    with house(tmp_path) as web:
        record = {"id": "ch1", "show": "s1", "position": 0, "title": "Champion mare", "classes": ["c1"], "feeds": []}
        change = Change("championships", "s1/ch1", {**record, "judge": "judge-a", "named": []})
        web.runner.run(web.ground.change(web.show, lambda _records: Planned([change])))
        web.push("judge-a", note("sign", "judge-a", numbers=["12", "7"]))
        web.push("judge-b", note("sign", "judge-b", numbers=["Z9Z9", "7"]))
        (told,) = web.get("/api/championships", "judge-a").json()["championships"]
        assert [each["number"] for each in told["contenders"]] == ["12"]
        named: dict[str, Any] = {"champion": {"class": "c1", "number": "12"}, "reserve": None, "reason": None}
        (told,) = web.post("/api/championships/ch1", "judge-a", json=named).json()["championships"]
        assert (told["champion"]["number"], [each["number"] for each in told["reserve_contenders"]]) == ("12", ["7"])
        named["reserve"] = {"class": "c1", "number": "7"}
        drafted = web.post("/api/championships/ch1/read-back", "office", json=named).json()["championship"]
        assert (drafted["reserve"]["number"], drafted["warnings"], drafted["versions"]) == ("7", [], 1)
        assert web.get("/api/championships", "office").json()["championships"][0]["reserve"] is None
        assert web.post("/api/championships/ch1", "office", json=named).status_code == 200
        refused = web.post("/api/championships/ch1", "office", json={**named, "reserve": None})
        assert (refused.status_code, refused.json()["error"]["where"]) == (400, "reason")
        (said,) = web.get("/api/results", "announcer").json()["championships"]
        assert (said["champion"]["number"], said["reserve"]["number"]) == ("12", "7")
        for body in (b"{", b'{"champion": 1}', b"[" * 99):
            refused = web.post(
                "/api/championships/ch1", "office", content=body, headers={"content-type": "application/json"}
            )
            assert (refused.status_code, refused.json()["error"]["code"]) == (400, "bad_request")
        assert web.post("/api/championships/ch9", "office", json=named).status_code == 404
        for seat, status in (("judge-b", 404), ("scribe-a", 404), ("steward", 403), ("announcer", 403), (None, 401)):
            for path in ("/api/championships/ch1", "/api/championships/ch1/read-back"):
                assert web.post(path, seat, json=named).status_code == status
        for seat in IDS:
            sees = "Z9Z9" in web.get("/api/championships", seat).text
            assert sees == (seat == "judge-b"), seat  # among the own placings of the day


def test_a_judge_agrees_and_the_office_has_the_slips(tmp_path: Path) -> None:
    with house(tmp_path) as web:
        web.push("judge-a", note("mark", "judge-a"), note("sign", "judge-a", numbers=["12", "7"]))
        web.push("judge-b", note("mark", "judge-b", number="7"), note("sign", "judge-b", numbers=["7", "12"]))
        own = web.get("/api/classes/c1/slips", "judge-a").json()["cards"]
        assert [(each["judge"], each["agreed"]) for each in own] == [("judge-a", False)]
        assert web.get("/api/classes/c1/slips", "office").json()["cards"] == []
        answer = web.post("/api/classes/c1/agree", "judge-a", json={"study": None, "slips": True})
        assert answer.json() == {"class": "c1", "study": False, "slips": True}
        (card,) = web.get("/api/classes/c1/slips", "office").json()["cards"]
        assert (card["judge"], [each["number"] for each in card["slips"]]) == ("judge-a", ["12", "7"])
        for seat in ("steward", "announcer", "scribe-a", "trainee-a", None):
            status = 401 if seat is None else 403
            assert web.get("/api/classes/c1/slips", seat).status_code == status
            assert web.post("/api/classes/c1/agree", seat, json={"study": True, "slips": True}).status_code == status
        assert web.get("/api/classes/c2/slips", "judge-a").status_code == 409
        assert web.get("/api/classes/c9/slips", "office").status_code == 404
        assert web.post("/api/classes/c1/agree", "judge-a", json={"study": 1, "slips": None}).status_code == 400


def test_who_has_not_joined_and_what_is_not_there_are_refused(tmp_path: Path) -> None:
    with house(tmp_path) as web:
        for path in ("/api/results", "/api/results.csv"):
            assert web.get(path).status_code == 401
            refused = web.get(f"{path}?class=c9", "office")
            assert (refused.status_code, refused.json()["error"]["where"]) == (404, "class")
            assert web.post(path, "office").status_code == 405
