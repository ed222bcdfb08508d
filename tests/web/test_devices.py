"""The office lists the show's devices and takes one off its seat."""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator
from pathlib import Path
from typing import Any

import pytest

from nearside.show.office_commands import planned
from nearside.show.refusals import Refusal
from nearside.web import door, notes
from tests.show.desk import ASKING
from tests.show.ground import IDS, note
from tests.web.house import house


def test_a_revoked_device_is_told_why_and_its_stream_is_closed(tmp_path: Path) -> None:
    with house(tmp_path) as web:
        web.push("judge-a", note("mark", "judge-a"))
        listed = web.get("/api/devices", "office").json()["devices"]
        device = next(each["id"] for each in listed if each["seat"] == "judge-a")
        listener = web.show.bell.listen(device, web.show.seats["judge-a"])
        assert web.post(f"/api/devices/{device}/revoke", "office").json() == {"revoked": device}
        assert listener.is_over
        for method, path in (
            ("GET", "/api/notes"),
            ("POST", "/api/notes"),
            ("GET", "/api/day"),
            ("GET", "/api/stream"),
        ):
            answer = web.ask(method, path, "judge-a")
            assert (answer.status_code, answer.json()["error"]["code"]) == (401, "revoked")
            assert "office" in answer.json()["error"]["sentence"]
        assert [each["seat"] for each in web.get("/api/devices", "office").json()["devices"] if each["revoked"]] == [
            "judge-a"
        ]
        assert "token" not in web.get("/api/devices", "office").text
        # The seat itself is open: its code gives another device.
        assert web.post("/api/join", json={"code": web.codes["judge-a"]}).status_code == 200


def test_only_the_office_does(tmp_path: Path) -> None:
    with house(tmp_path) as web:
        device = web.ground.device(web.token("judge-b")).id
        for seat in set(IDS) - {"office"}:
            assert web.get("/api/devices", seat).status_code == 403
            assert web.post(f"/api/devices/{device}/revoke", seat).status_code == 403
        assert web.get("/api/day", "judge-b").status_code == 200
        assert web.post("/api/devices/nobody/revoke", "office").status_code == 404


def test_the_office_sees_when_a_device_was_heard_from_and_how_many_notes_wait_on_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    now = [1_764_061_200_000]
    monkeypatch.setattr(door, "now_ms", lambda: now[0])
    monkeypatch.setattr(notes, "now_ms", lambda: now[0])
    with house(tmp_path) as web:
        web.token("judge-a")

        def said() -> tuple[int | None, int | None]:
            listed = web.get("/api/devices", "office").json()["devices"]
            return next((each["seen_at"], each["waiting"]) for each in listed if each["seat"] == "judge-a")

        assert said() == (None, None)
        web.get("/api/notes?waiting=3", "judge-a")
        assert said() == (now[0], 3)
        now[0] += 5_000
        web.push("judge-a", note("mark", "judge-a"))
        assert said() == (now[0], 3)
        now[0] += 5_000
        web.get("/api/notes?waiting=0", "judge-a")
        assert said() == (now[0], 0)
        now[0] += 5_000
        assert said() == (now[0] - 5_000, 0), "being looked at is not being heard from"


SLOW: dict[str, tuple[str, str, Any]] = {
    "notes": ("/api/notes", "steward", {"notes": [note("presence", id="slow")]}),
    "a judge's word": ("/api/classes/c1/agree", "judge-a", {"study": True, "slips": True}),
    "a champion": ("/api/championships/ch1", "judge-a", {"champion": None, "reserve": None, "reason": None}),
    "what is read back": ("/api/championships/ch1/read-back", "judge-a", {"champion": None, "reserve": None}),
    "a list": ("/api/office/entries-read", "office", {"text": "5", "class": "c1"}),
    "a command": ("/api/office/show", "office", {"title": "Mine"}),
}


@pytest.mark.parametrize("what", SLOW)
def test_a_body_begun_before_its_device_was_turned_away_is_refused_whole(tmp_path: Path, what: str) -> None:
    path, seat, body = SLOW[what]
    with house(tmp_path) as web:
        device = web.ground.device(web.token(seat))
        before = [web.ground.catalogue.all(table) for table in ("shows", "classes", "championships")]

        async def parts() -> AsyncIterator[bytes]:
            yield json.dumps(body).encode()
            await asyncio.to_thread(web.ground.revoke, web.show, device.id)

        answer = web.post(path, seat, content=parts(), headers={"Content-Type": "application/json"})
        assert (answer.status_code, answer.json()["error"]["code"]) == (401, "revoked")
        assert web.show.store.head() == 0
        assert [web.ground.catalogue.all(table) for table in ("shows", "classes", "championships")] == before


def test_a_seat_taken_away_while_a_body_comes_in_is_told_as_a_device_turned_away(tmp_path: Path) -> None:
    with house(tmp_path) as web:
        device = web.ground.device(web.token("steward"))

        async def parts() -> AsyncIterator[bytes]:
            yield json.dumps({"notes": [note("presence")]}).encode()
            await web.ground.change(web.show, planned("seat-gone", {"id": "steward"}, ASKING))

        answer = web.post("/api/notes", "steward", content=parts(), headers={"Content-Type": "application/json"})
        assert (answer.status_code, answer.json()["error"]["code"]) == (401, "revoked")
        # And where something else was waited for than the body.
        with pytest.raises(Refusal) as refusal:
            _ = device.seat
        assert refusal.value.code == "revoked"
