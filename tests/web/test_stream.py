"""The stream over a real connection: what it says, to whom, and how it ends."""

from __future__ import annotations

import urllib.request
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import httpx
import pytest

from nearside.web import stream as stream_module
from nearside.web.stream import COMMENT
from tests.show.ground import note, open_small_show
from tests.web.house import Served, house, served


class Seated:
    """A device on a seat of a running server, and the lines of its stream."""

    def __init__(self, server: Served, code: str) -> None:
        self.web = httpx.Client(base_url=server.url, timeout=20)
        assert self.web.post("/api/join", json={"code": code}).status_code == 200
        cookie = "; ".join(f"{name}={value}" for name, value in self.web.cookies.items())
        request = urllib.request.Request(f"{server.url}/api/stream", headers={"Cookie": cookie})
        self.stream = urllib.request.urlopen(request, timeout=20)
        self.lines = self._lines()

    def _lines(self) -> Iterator[str]:
        for line in self.stream:
            yield line.decode().rstrip("\n")

    def push(self, *notes: dict[str, Any]) -> None:
        receipts = self.web.post("/api/notes", json={"notes": list(notes)}).json()["receipts"]
        assert {each["status"] for each in receipts} == {"kept"}

    def next_event(self) -> list[str]:
        """The lines of the next event."""
        event: list[str] = []
        for line in self.lines:
            if not line and event:
                return event
            if line:
                event.append(line)
        return event


@pytest.fixture
def show(tmp_path: Path) -> Iterator[tuple[Served, dict[str, Seated]]]:
    codes = {each.seat.id: each.code for each in open_small_show(tmp_path)}
    with served("serve", "--data", str(tmp_path)) as server:
        seated = {seat: Seated(server, codes[seat]) for seat in ("office", "judge-a", "scribe-a", "judge-b")}
        yield server, seated
        for each in seated.values():
            each.stream.close()
            each.web.close()


PULL = ["event: pull", "data: now"]


def test_a_stream_rings_at_once_then_only_for_what_its_seat_may_read_and_never_says_what(
    show: tuple[Served, dict[str, Seated]],
) -> None:
    _, seated = show
    for each in seated.values():
        assert each.stream.headers["content-type"].startswith("text/event-stream")
        assert each.next_event() == ["retry: 3000"]
        assert each.next_event() == PULL
    seated["judge-a"].push(note("mark", "judge-a"))
    assert seated["judge-a"].next_event() == PULL
    assert seated["scribe-a"].next_event() == PULL
    # Nothing has been said to the others so far: the next thing they hear is what follows, once.
    seated["office"].push(note("presence", id="gate"))
    for seat in ("office", "judge-b"):
        assert seated[seat].next_event() == PULL
    notes = seated["judge-b"].web.get("/api/notes").json()["notes"]
    assert [each["id"] for each in notes] == ["gate"]


def test_the_stream_of_a_revoked_device_ends_and_does_not_come_back(show: tuple[Served, dict[str, Seated]]) -> None:
    server, seated = show
    listed = seated["office"].web.get("/api/devices").json()["devices"]
    device = next(each["id"] for each in listed if each["seat"] == "judge-b")
    assert seated["office"].web.post(f"/api/devices/{device}/revoke").status_code == 200
    assert list(seated["judge-b"].lines)[-3:] == ["event: pull", "data: now", ""]
    assert seated["judge-b"].web.get("/api/stream").status_code == 401
    assert server.process.poll() is None


def test_a_server_stops_within_five_seconds_with_streams_open_and_keeps_what_it_acknowledged(
    tmp_path: Path,
) -> None:
    codes = {each.seat.id: each.code for each in open_small_show(tmp_path)}
    with served("serve", "--data", str(tmp_path)) as server:
        seated = [Seated(server, codes[seat]) for seat in ("judge-a", "judge-a", "scribe-a", "office", "judge-b")]
        marks = [note("mark", "judge-a") for _ in range(20)]
        seated[0].push(*marks)
        status, errors, took_s = server.stop()
        assert status == 0
        assert errors == ""
        assert took_s < 5
        for each in seated:
            assert list(each.lines)[-1] == ""  # the answer came to its proper end
            each.web.close()
    with served("serve", "--data", str(tmp_path)) as server:
        judge = Seated(server, codes["judge-a"])
        kept = judge.web.get("/api/notes").json()["notes"]
        assert [each["id"] for each in kept] == [each["id"] for each in marks]
        judge.stream.close()
        judge.web.close()


def test_a_quiet_stream_is_kept_open_by_comments(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(stream_module, "COMMENT_EVERY_S", 0.01)
    with house(tmp_path) as web:
        device = web.ground.device(web.token("judge-a"))

        async def first_three() -> list[bytes]:
            rings = stream_module._rings(web.ground, device)
            got = [await anext(rings) for _ in range(3)]
            await rings.aclose()
            return got

        assert web.runner.run(first_three())[1:] == [COMMENT, COMMENT]
        assert len(web.show.bell) == 0


def test_a_stream_that_is_given_up_is_forgotten(tmp_path: Path) -> None:
    with house(tmp_path) as web:
        device = web.ground.device(web.token("judge-a"))

        async def given_up() -> int:
            rings = stream_module._rings(web.ground, device)
            await anext(rings)
            listening = len(web.show.bell)
            await rings.aclose()
            return listening

        assert web.runner.run(given_up()) == 1
        assert len(web.show.bell) == 0


def test_the_bytes_are_events_as_a_browser_reads_them() -> None:
    # WHATWG HTML Living Standard, section 9.2.6: a blank line ends an event, one without data is not dispatched, a
    # line that begins with a colon is a comment.
    for part in (stream_module.RETRY, stream_module.PULL, COMMENT):
        assert part.endswith(b"\n\n")
    assert b"\ndata: " in stream_module.PULL
    assert COMMENT.startswith(b":")
