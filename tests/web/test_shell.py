"""What goes round every request: headers, hosts, and writes from another site's page."""

from __future__ import annotations

import logging
from pathlib import Path

import pytest

from nearside.web.assets import Asset
from tests.web.house import BASE, House, house

PAGE = {"/": Asset(b"<!doctype html>", "text/html; charset=utf-8", '"x"')}


@pytest.mark.parametrize("path", ["/", "/nothing", "/health", "/api/day", "/api/nothing", "/api/join"])
def test_every_answer_carries_a_strict_policy_and_no_exception_from_it(tmp_path: Path, path: str) -> None:
    with house(tmp_path, PAGE) as web:
        headers = web.get(path).headers
        policy = dict(part.strip().split(" ", 1) for part in headers["content-security-policy"].split(";"))
        assert policy["default-src"] == ("'none'" if path.startswith("/api/") else "'self'")
        assert policy["frame-ancestors"] == "'none'"
        for loose in ("unsafe", "*", "http:", "https:", "data:", "blob:"):
            assert loose not in headers["content-security-policy"]
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["referrer-policy"] == "no-referrer"
        assert "server" not in headers
        if path.startswith("/api/"):
            assert headers["cache-control"] == "no-store"


def join(web: House, **headers: str) -> int:
    return web.post("/api/join", json={"code": web.codes["judge-a"]}, headers=headers).status_code


def test_a_write_is_taken_from_our_own_page_or_from_a_program(tmp_path: Path) -> None:
    with house(tmp_path) as web:
        assert join(web) == 200
        assert join(web, Origin=BASE) == 200
        assert join(web, **{"Origin": BASE, "Sec-Fetch-Site": "same-origin"}) == 200
        assert join(web, **{"Sec-Fetch-Site": "none"}) == 200


@pytest.mark.parametrize(
    "headers",
    [
        {"Origin": "http://evil.example"},
        {"Origin": "null"},
        {"Origin": "http://127.0.0.1:9999"},
        {"Origin": "file://127.0.0.1:8470"},
        {"Origin": "http://127.0.0.1:8470.evil.example"},
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
        {"Origin": BASE, "Sec-Fetch-Site": "cross-site"},
    ],
)
def test_a_write_from_another_site_s_page_is_refused(tmp_path: Path, headers: dict[str, str]) -> None:
    with house(tmp_path) as web:
        answer = web.post("/api/join", json={"code": web.codes["judge-a"]}, headers=headers)
        assert (answer.status_code, answer.json()["error"]["code"]) == (403, "other_site")
        assert "set-cookie" not in answer.headers


def test_behind_https_the_page_s_own_origin_is_the_public_address(tmp_path: Path) -> None:
    with house(tmp_path, public_url="https://show.example") as web:
        assert join(web, Host="show.example", Origin="https://show.example") == 200
        assert join(web, Host="127.0.0.1:8470", Origin="https://show.example") == 200
        assert join(web, Host="show.example", Origin="https://other.example") == 403


@pytest.mark.parametrize(
    ("host", "status"),
    [
        ("127.0.0.1:8470", 200),
        ("localhost:8470", 200),
        ("LOCALHOST", 200),
        ("[::1]:8470", 200),
        ("evil.example", 421),
        ("127.0.0.1.evil.example", 421),
        ("", 400),
        ("a b", 400),
        ("127.0.0.1:8470:1", 400),
        ("user@127.0.0.1", 400),
        ("[::1", 400),
    ],
)
def test_a_server_on_the_loopback_answers_to_loopback_names_alone(tmp_path: Path, host: str, status: int) -> None:
    with house(tmp_path) as web:
        assert web.get("/health", headers={"Host": host}).status_code == status


def test_a_server_on_a_network_answers_to_any_proper_name(tmp_path: Path) -> None:
    with house(tmp_path, host="0.0.0.0") as web:
        assert web.get("/health", headers={"Host": "ringside.local:8470"}).status_code == 200
        assert web.get("/health", headers={"Host": "a/b"}).status_code == 400


def test_an_unforeseen_error_is_one_sentence_and_the_log_holds_its_place_but_not_its_text(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    with house(tmp_path) as web:

        def broken(*_: object) -> None:
            raise KeyError("a remark about a horse")

        monkeypatch.setattr(web.show.store, "head", broken)
        with caplog.at_level(logging.INFO, logger="nearside"):
            answer = web.get("/api/notes", "judge-a")
        assert (answer.status_code, answer.json()["error"]["code"]) == (500, "unforeseen")
        assert "remark" not in answer.text
        assert "nosniff" in answer.headers["x-content-type-options"]
        (record,) = caplog.records
        assert "KeyError" in record.getMessage()
        assert "pulling.py" in record.getMessage()
        assert "remark" not in caplog.text


def test_what_is_not_there_and_what_is_asked_the_wrong_way_are_errors_in_json(tmp_path: Path) -> None:
    with house(tmp_path) as web:
        assert web.get("/api/nothing").json()["error"]["code"] == "not_found"
        answer = web.ask("DELETE", "/api/notes")
        assert answer.status_code == 405
        assert answer.json()["error"]["code"] == "wrong_method"
        assert "POST" in answer.headers["allow"] or "GET" in answer.headers["allow"]


def test_health_says_ok_and_the_version(tmp_path: Path) -> None:
    from nearside import __version__

    with house(tmp_path) as web:
        assert web.get("/health").json() == {"status": "ok", "version": __version__}
