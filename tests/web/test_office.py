"""The office over HTTP: the whole show for its own seat alone, each change at once, each refusal with its status."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from nearside.show.office_commands import COMMANDS
from nearside.store.protocol import StoreFull
from tests.show.desk import MARES
from tests.show.ground import IDS, note
from tests.web.house import house


def test_the_office_sees_the_whole_show_with_a_link_for_each_seat(tmp_path: Path) -> None:
    with house(tmp_path) as web:
        web.token("judge-a")
        answer = web.get("/api/office", "office")
        state = answer.json()
        assert state["format"] == "nearside-office/1"
        assert {"key": "stock-type", "title": "Stock type"} in state["standards"]
        assert [each["id"] for each in state["seats"]] == list(IDS)
        assert state["seats"][3] == {
            "id": "scribe-a",
            "role": "scribe",
            "name": "Scribe A",
            "card": "judge-a",
            "shadows": None,
            "code": web.codes["scribe-a"],
            "link": f"http://127.0.0.1:8470/#join={web.codes['scribe-a']}",
        }
        assert {each["seat"] for each in state["devices"]} == {"judge-a", "office"}
        # Codes beside what people typed are not packed: the length of a packed answer tells of what is in it.
        assert answer.headers.get("content-encoding") is None
        assert answer.headers["cache-control"] == "no-store"


def test_links_go_by_the_name_the_show_is_reached_by(tmp_path: Path) -> None:
    with house(tmp_path, public_url="https://show.example/") as web:
        state = web.get("/api/office", "office", headers={"Host": "show.example"}).json()
        assert state["seats"][0]["link"] == f"https://show.example/#join={web.codes['office']}"


def test_a_command_answers_the_new_state_and_wakes_everybody(tmp_path: Path) -> None:
    with house(tmp_path) as web:
        listener = web.show.bell.listen(web.ground.device(web.token("judge-a")).id, web.show.seats["judge-a"])
        answer = web.post("/api/office/class", "office", json=MARES)
        assert answer.status_code == 200
        again = web.get("/api/office", "office").json()
        assert {**answer.json(), "devices": None} == {**again, "devices": None}
        assert answer.json()["classes"][-1]["title"] == MARES["title"]
        assert listener.wake.is_set()
        assert web.get("/api/day", "judge-a").json()["classes"][-1]["title"] == MARES["title"]


def test_only_the_office_sees_it_and_changes_anything(tmp_path: Path) -> None:
    with house(tmp_path) as web:
        before = web.get("/api/office", "office").json()["classes"]
        for seat in (*(each for each in IDS if each != "office"), None):
            status = 403 if seat else 401
            assert web.get("/api/office", seat).status_code == status
            for command in COMMANDS:
                assert web.post(f"/api/office/{command}", seat, json={}).status_code == status
        assert web.get("/api/office", "office").json()["classes"] == before


@pytest.mark.parametrize(
    ("command", "body", "status", "code", "where"),
    [
        ("nothing", {}, 404, "unknown_command", None),
        ("class", {}, 400, "bad_request", "id"),
        ("class", [], 400, "bad_request", None),
        ("class-gone", {"id": "c9"}, 404, "unknown_class", "id"),
        ("stage", {"class": "c1", "stage": "announced"}, 409, "not_now", "stage"),
        ("seat-gone", {"id": "nobody"}, 404, "unknown_seat", "id"),
        ("strike", {"class": "c1", "number": "99", "reason": "late"}, 404, "unknown_entry", "number"),
        ("championship-gone", {"id": "ch1"}, 404, "unknown_championship", "id"),
    ],
)
def test_a_refusal_says_where_with_a_fitting_status(
    tmp_path: Path, command: str, body: Any, status: int, code: str, where: str | None
) -> None:
    with house(tmp_path) as web:
        answer = web.post(f"/api/office/{command}", "office", json=body)
        assert answer.status_code == status
        told = answer.json()["error"]
        assert (told["code"], told["where"]) == (code, where)
        assert told["sentence"].endswith(".")


def test_what_is_not_json_is_refused(tmp_path: Path) -> None:
    with house(tmp_path) as web:
        for body in (b"", b"{", b"\xff", b'{"title": "a", "title": "b"}', b'{"title": "\\ud800"}'):
            answer = web.post("/api/office/show", "office", content=body, headers={"Content-Type": "application/json"})
            assert (answer.status_code, answer.json()["error"]["code"]) == (400, "bad_request")
        assert web.post("/api/office/show", "office", data={"title": "x"}).status_code == 400


def test_a_seat_s_new_code_turns_its_devices_away_but_not_the_one_that_asks(tmp_path: Path) -> None:
    with house(tmp_path) as web:
        web.push("judge-a", note("mark", "judge-a"))
        state = web.post("/api/office/seat-code", "office", json={"id": "judge-a"}).json()
        assert web.get("/api/day", "judge-a").json()["error"]["code"] == "revoked"
        code = next(each["code"] for each in state["seats"] if each["id"] == "judge-a")
        assert web.post("/api/join", json={"code": web.codes["judge-a"]}).status_code == 403
        assert web.post("/api/join", json={"code": code}).status_code == 200
        assert web.post("/api/office/seat-code", "office", json={"id": "office"}).status_code == 200
        assert web.get("/api/office", "office").status_code == 200


def test_a_long_list_is_previewed_and_taken_and_no_other_text_may_be_as_long(tmp_path: Path) -> None:
    with house(tmp_path) as web:
        text = "\ufeffNo;Horse\r\n" + "".join(f"{number};Ash {number}\r\n" for number in range(100, 300))
        body = {"text": text, "class": "c1"}
        preview = web.post("/api/office/entries-read", "office", json=body).json()
        assert (preview["ok"], len(preview["rows"])) == (True, 200)
        assert len(web.get("/api/day", "judge-a").json()["classes"][0]["entries"]) == 3
        assert web.post("/api/office/entries-take", "office", json=body).status_code == 200
        assert len(web.get("/api/day", "judge-a").json()["classes"][0]["entries"]) == 203
        bad = web.post("/api/office/entries-take", "office", json={**body, "text": text + "1-2;\r\n"})
        assert (bad.status_code, bad.json()["error"]["where"]) == (400, "line 202")
        assert web.post("/api/office/show", "office", json={"title": "x" * 501}).json()["error"]["where"] == "title"
        assert web.post("/api/office/entries-read", "judge-a", json=body).status_code == 403


def test_a_command_the_disk_does_not_take_says_that_it_is_not_sent_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with house(tmp_path) as web:
        web.token("judge-a")
        before = web.get("/api/office", "office").json()["show"]

        def full(_content: object) -> None:
            raise StoreFull("/secret/place is full")

        with monkeypatch.context() as patch:
            patch.setattr(web.ground.catalogue, "change", full)
            patch.setattr(web.show.store, "append", full)
            commanded = web.post("/api/office/show", "office", json={"title": "Harvest show"})
            on_paper = web.post("/api/notes", "office", json={"notes": [note("sign", "judge-a")]})
            pushed = web.post("/api/notes", "judge-a", json={"notes": [note("mark", "judge-a")]})
        for answer in (commanded, on_paper, pushed):
            assert (answer.status_code, answer.json()["error"]["code"]) == (503, "not_kept")
            assert "secret" not in answer.text
        for answer in (commanded, on_paper):
            assert "not tried again by itself" in answer.json()["error"]["sentence"]
            assert "your notes" not in answer.text
        assert "are sent again" in pushed.json()["error"]["sentence"]
        assert web.get("/api/office", "office").json()["show"] == before


def test_a_change_the_log_could_not_follow_is_told_as_done_and_made_good_before_the_next(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    with house(tmp_path) as web:
        web.push("steward", note("entry", number="44", identification="grey"))
        listener = web.show.bell.listen(web.ground.device(web.token("judge-a")).id, web.show.seats["judge-a"])
        body = {"class": "c1", "number": "44", "reason": None}

        def full(_notes: object) -> None:
            raise StoreFull("/secret/place is full")

        with monkeypatch.context() as patch:
            patch.setattr(web.show.store, "append", full)
            answer = web.post("/api/office/entry-gone", "office", json=body)
        assert (answer.status_code, answer.json()["error"]["code"]) == (409, "not_in_log")
        assert "This is done" in answer.json()["error"]["sentence"]
        assert "secret" not in answer.text
        assert "/secret/place is full" in caplog.text
        assert listener.wake.is_set()
        assert web.show.store.head() == 1
        assert web.post("/api/office/show", "office", json={"title": "Harvest show"}).status_code == 200
        assert web.show.store.since(1, 5).notes[0]["state"] == "absent"
