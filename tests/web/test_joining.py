"""Joining by code, leaving, and what a wrong code meets."""

from __future__ import annotations

import asyncio
import json
import logging
from collections.abc import Iterator
from contextlib import contextmanager
from http.cookies import SimpleCookie
from pathlib import Path

import httpx
import pytest

from nearside.show.codes import BURST
from nearside.show.showground import Showground
from nearside.web.door import COOKIE
from tests.web.house import BASE, house

NEW_JUDGE = {"id": None, "role": "judge", "name": "East", "judge": None}


@contextmanager
def house_again(data: Path) -> Iterator[Showground]:
    """The showground of a folder as a server that starts again finds it."""
    ground = Showground.in_folder(data)
    try:
        yield ground
    finally:
        asyncio.run(ground.close())


def test_a_typed_code_gives_show_seat_and_a_cookie_no_script_can_read(tmp_path: Path) -> None:
    with house(tmp_path) as web:
        code = web.codes["scribe-a"]
        answer = web.post("/api/join", json={"code": f" {code[:4].lower()}-{code[4:]} "})
        assert answer.status_code == 200
        assert answer.json() == {
            "show": {"id": "s1", "title": "Test show"},
            "seat": {"id": "scribe-a", "role": "scribe", "name": "Scribe A", "card": "judge-a"},
        }
        cookie = SimpleCookie(answer.headers["set-cookie"])[COOKIE]
        assert len(cookie.value) == 43
        assert cookie["httponly"]
        assert cookie["samesite"].lower() == "lax"
        assert cookie["path"] == "/"
        assert not cookie["secure"]
        assert web.get("/api/day", cookies={COOKIE: cookie.value}).json()["seat"]["id"] == "scribe-a"


def test_the_cookie_is_secure_where_people_come_by_https(tmp_path: Path) -> None:
    with house(tmp_path, public_url="https://show.example") as web:
        answer = web.post("/api/join", json={"code": web.codes["office"]}, headers={"Host": "show.example"})
        assert SimpleCookie(answer.headers["set-cookie"])[COOKIE]["secure"]


def test_joining_again_in_one_browser_gives_up_the_seat_before(tmp_path: Path) -> None:
    with house(tmp_path) as web:
        listener = web.show.bell.listen(web.ground.device(web.token("judge-a")).id, web.show.seats["judge-a"])
        answer = web.post("/api/join", "judge-a", json={"code": web.codes["office"]})
        assert answer.status_code == 200
        assert listener.is_over
        assert web.get("/api/day", "judge-a").json()["error"]["code"] == "not_joined"


def test_a_wrong_code_is_one_sentence_and_sets_no_cookie(tmp_path: Path) -> None:
    with house(tmp_path) as web:
        answer = web.post("/api/join", json={"code": "ABCD2345"})
        assert answer.status_code == 403
        assert answer.json()["error"]["code"] == "wrong_code"
        assert "set-cookie" not in answer.headers


@pytest.mark.parametrize(
    "body", [b"", b"{", b"[]", b'{"code": 5}', b'{"code": "A", "x": 1}', b'{"code": "\\ud800"}', b"\xff"]
)
def test_a_request_that_is_not_a_code_is_refused(tmp_path: Path, body: bytes) -> None:
    with house(tmp_path) as web:
        answer = web.post("/api/join", content=body, headers={"Content-Type": "application/json"})
        assert (answer.status_code, answer.json()["error"]["code"]) == (400, "bad_request")


def test_after_ten_wrong_codes_a_client_waits_while_others_join_and_joined_devices_work_on(
    tmp_path: Path,
) -> None:
    now = [1000.0]
    with house(tmp_path) as web:
        web.app.state.clock_s = lambda: now[0]
        for _ in range(BURST):
            assert web.post("/api/join", json={"code": "ABCD2345"}).status_code == 403
        answer = web.post("/api/join", json={"code": web.codes["judge-a"]})
        assert (answer.status_code, answer.headers["retry-after"]) == (429, "2")
        assert "2 s" in answer.json()["error"]["sentence"]
        assert web.post("/api/join", client="10.0.0.9", json={"code": web.codes["judge-b"]}).status_code == 200
        assert web.get("/api/day", "judge-a").status_code == 200
        now[0] += 2
        assert web.post("/api/join", json={"code": web.codes["judge-a"]}).status_code == 200


def test_codes_sent_all_at_once_are_counted_one_by_one(tmp_path: Path) -> None:
    with house(tmp_path) as web:
        web.app.state.clock_s = lambda: 1000.0

        async def at_once() -> list[int]:
            transport = httpx.ASGITransport(web.app, client=("10.0.0.9", 5000))
            async with httpx.AsyncClient(transport=transport, base_url=BASE) as client:
                tries = (client.post("/api/join", json={"code": "ABCD2345"}) for _ in range(3 * BURST))
                return [answer.status_code for answer in await asyncio.gather(*tries)]

        assert sorted(web.runner.run(at_once())) == [403] * BURST + [429] * 2 * BURST


def test_leaving_forgets_the_device_and_its_cookie_and_closes_its_streams(tmp_path: Path) -> None:
    with house(tmp_path) as web:
        listener = web.show.bell.listen(web.ground.device(web.token("judge-a")).id, web.show.seats["judge-a"])
        answer = web.post("/api/leave", "judge-a")
        assert answer.json() == {"left": True}
        assert SimpleCookie(answer.headers["set-cookie"])[COOKIE]["max-age"] == "0"
        assert listener.is_over
        assert web.get("/api/day", "judge-a").status_code == 401
        assert web.post("/api/leave", "judge-a").json() == {"left": False}
        assert web.post("/api/leave").json() == {"left": False}


def test_neither_code_nor_token_nor_what_was_typed_is_logged(tmp_path: Path, caplog: pytest.LogCaptureFixture) -> None:
    with caplog.at_level(logging.DEBUG), house(tmp_path) as web:
        code = web.codes["judge-a"]
        answer = web.post("/api/join", json={"code": code})
        web.post("/api/join", json={"code": "WRNG2345"})
        token = SimpleCookie(answer.headers["set-cookie"])[COOKIE].value
        web.get("/api/day", cookies={COOKIE: token})
        text = json.dumps([record.getMessage() for record in caplog.records if record.name != "httpx"])
        for secret in (code, token, "WRNG2345"):
            assert secret not in text


def test_the_opening_code_makes_a_show_with_an_office_and_joins_the_device(tmp_path: Path) -> None:
    with house(tmp_path) as web:
        web.ground.allow_opening("ABCD2345")
        listener = web.show.bell.listen(web.ground.device(web.token("judge-a")).id, web.show.seats["judge-a"])
        answer = web.post("/api/shows", "judge-a", json={"code": "abcd-2345", "title": " Harvest  show "})
        assert answer.status_code == 200
        assert answer.json()["show"]["title"] == "Harvest show"
        assert answer.json()["seat"] == {"id": "office", "role": "office", "name": "Office", "card": None}
        cookie = SimpleCookie(answer.headers["set-cookie"])[COOKIE].value
        state = web.get("/api/office", cookies={COOKIE: cookie}).json()
        assert (state["show"]["title"], state["classes"], len(state["seats"])) == ("Harvest show", [], 1)
        # The browser gave up the seat it had, and the other show is as it was.
        assert listener.is_over
        assert web.get("/api/day", "judge-b").json()["show"]["title"] == "Test show"
        made = web.post("/api/office/seat", cookies={COOKIE: cookie}, json=NEW_JUDGE).json()
        code = next(each["code"] for each in made["seats"] if each["role"] == "judge")
        joined = web.post("/api/join", json={"code": code}).json()
        assert (joined["show"], joined["seat"]["id"]) == (answer.json()["show"], "judge-a")
    with house_again(tmp_path) as ground:
        assert sorted(each.title for each in ground.shows.values()) == ["Harvest show", "Test show"]


def test_a_wrong_opening_code_opens_nothing_and_is_counted_with_the_wrong_codes(tmp_path: Path) -> None:
    with house(tmp_path) as web:
        web.app.state.clock_s = lambda: 1000.0
        body = {"code": "ABCD2345", "title": "Mine"}
        assert web.post("/api/shows", json=body).json()["error"]["code"] == "wrong_code"
        web.ground.allow_opening("WXYZ2345")
        for _ in range(BURST - 1):
            answer = web.post("/api/shows", json=body)
            assert (answer.status_code, answer.json()["error"]["where"]) == (403, "code")
            assert "set-cookie" not in answer.headers
        assert web.post("/api/shows", json={**body, "code": "WXYZ2345"}).status_code == 429
        assert web.post("/api/join", json={"code": web.codes["judge-a"]}).status_code == 429
        assert list(web.ground.shows) == ["s1"]


@pytest.mark.parametrize("title", ["", " ", "x" * 121, 5, None])
def test_a_show_without_a_fitting_title_is_not_opened(tmp_path: Path, title: object) -> None:
    with house(tmp_path) as web:
        web.ground.allow_opening("ABCD2345")
        answer = web.post("/api/shows", json={"code": "ABCD2345", "title": title})
        assert (answer.status_code, answer.json()["error"]["code"]) == (400, "bad_request")
        assert list(web.ground.shows) == ["s1"]
        assert len(web.ground.catalogue.all("shows")) == 1
