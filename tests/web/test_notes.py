"""Notes over HTTP: pushed, pulled, sealed."""

from __future__ import annotations

from pathlib import Path

import pytest

from nearside.store.protocol import NoteUnfit, StoreFull
from nearside.web.door import MOST_BYTES
from tests.show.ground import IDS, note
from tests.web.house import house


def test_what_is_pushed_is_pulled_by_the_seats_that_may_read_it(tmp_path: Path) -> None:
    with house(tmp_path) as web:
        mark = note("mark", "judge-a", id="n1")
        assert web.push("judge-a", mark) == [{"id": "n1", "status": "kept", "reason": None}]
        assert web.push("judge-a", mark) == [{"id": "n1", "status": "known", "reason": None}]
        kept = {**mark, "by": "judge-a"}
        for seat in IDS:
            answer = web.get("/api/notes?after=0&limit=500", seat).json()
            assert answer["notes"] == ([kept] if seat in ("judge-a", "scribe-a") else [])
            assert answer["more"] is False
            again = web.get(f"/api/notes?after={answer['cursor']}", seat).json()
            assert again == {"notes": [], "cursor": answer["cursor"], "more": False, "day": answer["day"]}
            assert answer["day"] == web.get("/api/day", seat).json()["revision"]
            assert web.get("/api/classes/c1/notes", seat).json() == {"notes": answer["notes"]}


def test_without_a_device_nothing_goes_in_or_out(tmp_path: Path) -> None:
    with house(tmp_path) as web:
        for method, path in (
            ("GET", "/api/notes"),
            ("POST", "/api/notes"),
            ("GET", "/api/day"),
            ("GET", "/api/stream"),
            ("GET", "/api/classes/c1/placing"),
            ("GET", "/api/classes/c1/file"),
            ("GET", "/api/classes/c1/notes"),
            ("GET", "/api/devices"),
        ):
            for cookies in (
                {},
                {"nearside-device": "x" * 43},
                {"nearside-device": "\u00e9".encode().decode("latin-1")},
            ):
                answer = web.ask(
                    method,
                    path,
                    cookies={},
                    headers={"Cookie": "; ".join(f"{k}={v}" for k, v in cookies.items()).encode("latin-1")}
                    if cookies
                    else {},
                )
                assert (answer.status_code, answer.json()["error"]["code"]) == (401, "not_joined"), path


def test_one_bad_note_comes_back_with_its_reason_among_the_kept(tmp_path: Path) -> None:
    with house(tmp_path) as web:
        receipts = web.push("judge-a", note("mark", "judge-a", id="1"), note("mark", "judge-a", id="2", degree=9))
        assert [each["status"] for each in receipts] == ["kept", "refused"]
        assert receipts[1]["reason"].startswith("degree: ")


@pytest.mark.parametrize(
    "query",
    [
        "after=-1",
        "after=x",
        "after=1.5",
        "after=9007199254740992",
        "limit=0",
        "limit=501",
        "limit=",
        "after=\u0661",
        "waiting=-1",
        "waiting=many",
    ],
)
def test_a_cursor_or_limit_that_is_none_is_refused_with_its_name(tmp_path: Path, query: str) -> None:
    with house(tmp_path) as web:
        answer = web.get(f"/api/notes?{query}", "judge-a")
        assert answer.status_code == 400
        assert answer.json()["error"]["where"] == query.partition("=")[0]


def test_a_body_over_the_limit_is_refused_whether_or_not_its_length_is_given(tmp_path: Path) -> None:
    async def parts() -> object:
        for _ in range(MOST_BYTES // 65536 + 2):
            yield b" " * 65536

    with house(tmp_path) as web:
        kind = {"Content-Type": "application/json"}
        whole = web.post("/api/notes", "judge-a", content=b" " * (MOST_BYTES + 1), headers=kind)
        chunked = web.post("/api/notes", "judge-a", content=parts(), headers=kind)
        for answer in (whole, chunked):
            assert (answer.status_code, answer.json()["error"]["code"]) == (413, "too_large")
            assert answer.headers["connection"] == "close"
        fits = web.post("/api/notes", "judge-a", content=b'{"notes":[]}' + b" " * (MOST_BYTES - 12), headers=kind)
        assert fits.json() == {"receipts": []}


@pytest.mark.parametrize("kind", ["text/plain", "application/x-www-form-urlencoded", "", "multipart/form-data"])
def test_only_json_is_taken(tmp_path: Path, kind: str) -> None:
    with house(tmp_path) as web:
        answer = web.post("/api/notes", "judge-a", content=b'{"notes":[]}', headers={"Content-Type": kind})
        assert answer.status_code == 400
        assert "JSON" in answer.json()["error"]["sentence"]


def test_a_full_disk_is_said_and_logged_and_the_notes_can_be_sent_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    with house(tmp_path) as web:
        mark = note("mark", "judge-a")

        def full(_notes: object) -> None:
            raise StoreFull("/secret/place is full")

        with monkeypatch.context() as patch:
            patch.setattr(web.show.store, "append", full)
            answer = web.post("/api/notes", "judge-a", json={"notes": [mark]})
        assert (answer.status_code, answer.json()["error"]["code"]) == (503, "not_kept")
        assert "secret" not in answer.text
        assert "/secret/place is full" in caplog.text
        assert web.push("judge-a", mark)[0]["status"] == "kept"


def test_a_refusal_that_may_quote_a_note_is_logged_by_its_kind_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    with house(tmp_path) as web:

        def unfit(_notes: object) -> None:
            raise NoteUnfit("Note 1 holds a secret remark.")

        monkeypatch.setattr(web.show.store, "append", unfit)
        answer = web.post("/api/notes", "judge-a", json={"notes": [note("mark", "judge-a")]})
        assert answer.status_code == 503
        assert "NoteUnfit" in caplog.text
        assert "secret" not in caplog.text


def test_a_large_page_is_packed_for_a_device_that_takes_it(tmp_path: Path) -> None:
    with house(tmp_path) as web:
        web.push("judge-a", *(note("mark", "judge-a") for _ in range(50)))
        packed = web.get("/api/notes", "judge-a", headers={"Accept-Encoding": "gzip"})
        plain = web.get("/api/notes", "judge-a", headers={"Accept-Encoding": "identity"})
        assert packed.headers["content-encoding"] == "gzip"
        assert int(packed.headers["content-length"]) * 5 < int(plain.headers["content-length"])
        assert packed.json() == plain.json()
