"""The page over HTTP: types, tags, packing; and a path is a key, never a place on the disk."""

from __future__ import annotations

import asyncio
from pathlib import Path
from typing import Any

import pytest

from nearside.web.assets import read_assets
from tests.web.house import House, house
from tests.web.test_assets import page


def small(tmp_path: Path) -> dict[str, Any]:
    return read_assets(page(tmp_path / "page"))


def test_the_page_and_its_worker_are_served_and_asked_after_each_time(tmp_path: Path) -> None:
    with house(tmp_path, small(tmp_path)) as web:
        index = web.get("/")
        assert (index.status_code, index.headers["content-type"]) == (200, "text/html; charset=utf-8")
        worker = web.get("/sw.js")
        assert worker.headers["content-type"] == "text/javascript; charset=utf-8"
        assert worker.text.startswith("self.NEARSIDE_SHELL = {")
        for answer in (index, worker):
            assert answer.headers["cache-control"] == "no-cache"
        head = web.ask("HEAD", "/")
        assert (head.status_code, head.content) == (200, b"")


def test_a_file_the_browser_has_is_not_sent_again(tmp_path: Path) -> None:
    with house(tmp_path, small(tmp_path)) as web:
        tag = web.get("/main.js").headers["etag"]
        for known in (tag, f"W/{tag}", f'"other", {tag}'):
            answer = web.get("/main.js", headers={"If-None-Match": known})
            assert (answer.status_code, answer.content, answer.headers["etag"]) == (304, b"", tag)
        assert web.get("/main.js", headers={"If-None-Match": '"other"'}).status_code == 200


@pytest.mark.parametrize(
    ("accepted", "coding"),
    [
        ("gzip", "gzip"),
        ("gzip, br", "br"),
        ("br;q=0, gzip;q=0.5", "gzip"),
        ("*", "br"),
        ("identity", None),
        ("", None),
        ("gzip;q=0", None),
        ("gzip;q=0., *", "br"),
        ("*, gzip;q=0, br;q=0", None),
        ("*;q=0, gzip", "gzip"),
        ("*;q=0", None),
    ],
)
def test_a_file_is_packed_only_for_those_who_take_it(tmp_path: Path, accepted: str, coding: str | None) -> None:
    with house(tmp_path, small(tmp_path)) as web:
        answer = web.get("/main.js", headers={"Accept-Encoding": accepted})
        assert answer.headers.get("content-encoding") == coding
        assert answer.headers["vary"] == "Accept-Encoding"
        assert answer.content == read_assets(tmp_path / "page")["/main.js"].body


def status_of(web: House, path: str) -> int:
    """The status for a path exactly as given: no client tidies it up before."""
    answers: list[dict[str, Any]] = []

    async def receive() -> dict[str, Any]:
        return {"type": "http.request", "body": b"", "more_body": False}

    async def send(message: Any) -> None:
        answers.append(message)

    scope = {
        "type": "http",
        "method": "GET",
        "path": path,
        "raw_path": path.encode(),
        "query_string": b"",
        "root_path": "",
        "headers": [(b"host", b"127.0.0.1")],
    }
    asyncio.run(web.app(scope, receive, send))
    status: int = answers[0]["status"]
    return status


@pytest.mark.parametrize(
    "path",
    [
        "/../pyproject.toml",
        "/lib/../../secret.txt",
        "/lib/../main.js",
        "//main.js",
        "/./main.js",
        "/lib//part.js",
        "/main.js/",
        "/main.js\x00",
        "/main.js\x00.html",
        "\\main.js",
        "/..\\secret.txt",
        "/etc/passwd",
        "//etc/passwd",
        "/lib",
        "/lib/",
        "/index.html",
        "/notes.txt",
        "/.hidden/secret.js",
        "/MAIN.JS",
        "/main.js;x",
        "/%2e%2e/secret.txt",
        "/" + "a" * 10_000,
        "",
    ],
)
def test_what_is_not_in_the_list_is_not_there_however_it_is_spelled(tmp_path: Path, path: str) -> None:
    (tmp_path / "secret.txt").write_text("secret")
    with house(tmp_path, small(tmp_path)) as web:
        assert status_of(web, "/main.js") == 200
        assert status_of(web, path) == 404
