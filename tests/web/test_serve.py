"""The commands as people run them: what they say, and how they say no."""

from __future__ import annotations

import json
import re
import signal
import socket
import subprocess
import sys
from pathlib import Path

import httpx
import pytest

from nearside.show.demo import TITLE
from nearside.web.serve import open_demo
from tests.show.ground import class_file, note, open_small_show
from tests.web.house import served


def run(*arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "nearside", *arguments], capture_output=True, text=True, timeout=60, check=False
    )


def refused(*arguments: str) -> str:
    """The one line with which a command says no."""
    done = run(*arguments)
    assert done.returncode == 2, done
    assert done.stdout == ""
    assert done.stderr.count("\n") == 1
    assert done.stderr.startswith("nearside: ")
    return done.stderr


def test_serving_says_how_to_open_a_show_where_it_listens_and_what_to_do_next(tmp_path: Path) -> None:
    with served("serve", "--data", str(tmp_path / "new")) as server:
        assert len(server.said) == 2
        assert "no show yet; open one with the link above" in server.said[1]
        assert httpx.get(f"{server.url}/health").json()["status"] == "ok"
    open_small_show(tmp_path / "shown")
    with served("serve", "--data", str(tmp_path / "shown")) as server:
        assert "2 classes" in server.said[1]


def test_the_code_said_at_the_start_opens_a_show_that_is_there_after_a_restart(tmp_path: Path) -> None:
    with served("serve", "--data", str(tmp_path)) as server:
        link = re.search(r"(http\S+)/office#open=(\w{8}) \(code \w{4} \w{4}\)", server.said[0])
        assert link is not None
        assert link[1] == server.url
        with httpx.Client(base_url=server.url) as office:
            made = office.post("/api/shows", json={"code": link[2], "title": "Harvest show"})
            assert made.json()["seat"]["role"] == "office"
            new = {"id": None, "role": "judge", "name": "East", "judge": None}
            seats = office.post("/api/office/seat", json=new).json()["seats"]
            code = next(each["code"] for each in seats if each["role"] == "judge")
    with served("serve", "--data", str(tmp_path)) as server:
        again = httpx.post(f"{server.url}/api/shows", json={"code": link[2], "title": "Another"})
        assert again.json()["error"]["code"] == "wrong_code"
        joined = httpx.post(f"{server.url}/api/join", json={"code": code}).json()
        assert joined["show"]["title"] == "Harvest show"


@pytest.mark.parametrize("how", [signal.SIGTERM, signal.SIGINT])
def test_a_signal_stops_it_cleanly(tmp_path: Path, how: signal.Signals) -> None:
    with served("serve", "--data", str(tmp_path)) as server:
        assert server.stop(how)[:2] == (0, "")


def test_a_port_that_is_taken_is_one_clear_line(tmp_path: Path) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = str(taken.getsockname()[1])
        for command in (("serve", "--data", str(tmp_path)), ("demo",)):
            line = refused(*command, "--port", port)
            assert port in line
            assert "--port" in line
    assert not list(tmp_path.iterdir())


def test_a_data_folder_that_is_served_is_left_alone_by_every_other_command(tmp_path: Path) -> None:
    file = tmp_path / "c.json"
    file.write_text(json.dumps(class_file()))
    data = str(tmp_path / "data")
    with served("serve", "--data", data):
        for command in (
            ("serve", "--port", "0", "--data", data),
            ("open", str(file), "--title", "T", "--data", data),
            ("seats", "--data", data),
            ("demo", "--port", "0", "--data", data),
        ):
            assert data in refused(*command)


@pytest.mark.parametrize(
    ("arguments", "word"),
    [
        (("serve", "--port", "70000"), "--port"),
        (("serve", "--host", "192.0.2.1"), "192.0.2.1"),  # RFC 5737: an address nobody has
        (("serve", "--public-url", "x"), "--public-url"),
        (("open", "no-such-file.json", "--title", "T"), "no-such-file.json"),
        (("open", __file__, "--title", "T"), "test_serve.py"),
        (("open",), "CLASSFILE"),
    ],
)
def test_what_cannot_be_done_is_said_in_one_line(tmp_path: Path, arguments: tuple[str, ...], word: str) -> None:
    assert word in refused(*arguments, *(["--data", str(tmp_path)] if arguments != ("open",) else []))


def test_a_data_folder_that_is_a_file_is_said_in_one_line(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    assert "file" in refused("serve", "--port", "0", "--data", str(tmp_path / "file"))


def test_a_damaged_catalogue_is_said_in_one_line_and_left_as_it_is(tmp_path: Path) -> None:
    open_small_show(tmp_path)
    path = tmp_path / "catalogue.db"
    path.write_bytes(path.read_bytes().replace(b"Test show", b"Best show"))
    before = path.read_bytes()
    assert "damaged" in refused("serve", "--port", "0", "--data", str(tmp_path))
    assert path.read_bytes() == before


def codes(text: str) -> dict[str, str]:
    """The code of each role as printed, the link's and the typed one being the same."""
    found = re.findall(r"\((\w+)\)\n\s+http://\S+/#join=(\w{8})\n\s+code (\w{4} \w{4})\n", text)
    assert all(code == typed.replace(" ", "") for _, code, typed in found)
    return {role: code for role, code, _ in found}


def test_a_show_is_opened_from_class_files_with_their_notes_and_its_codes_work(tmp_path: Path) -> None:
    mark = {field: value for field, value in note("mark", "green", by="green", id="n1").items() if field != "class"}
    first, second = tmp_path / "1.json", tmp_path / "2.json"
    first.write_text(json.dumps(class_file("c1", card="green", notes=[mark])))
    second.write_text(json.dumps(class_file("c2", card="green")))
    data = str(tmp_path / "data")
    opened = run("open", str(first), str(second), "--title", "Our show", "--data", data, "--with-notes")
    assert opened.returncode == 0, opened.stderr
    assert set(codes(opened.stdout)) == {"office", "steward", "judge", "scribe"}
    again = run("seats", "--data", data)
    assert codes(again.stdout) == codes(opened.stdout)
    assert "Our show" in again.stdout
    third = tmp_path / "3.json"
    third.write_text(json.dumps(class_file("c3", card="judge-a", notes=[mark | {"card": "judge-a", "by": "judge-a"}])))
    with_third = run("add", str(third), "--data", data, "--with-notes")
    assert "Stock type mares c3" in with_third.stdout, with_third.stderr
    with served("serve", "--data", data) as server, httpx.Client(base_url=server.url) as web:
        joined = web.post("/api/join", json={"code": codes(opened.stdout)["judge"]})
        assert joined.json()["show"]["title"] == "Our show"
        notes = web.get("/api/notes").json()["notes"]
        assert [(each["id"], each["card"], each["by"], each["class"]) for each in notes] == [
            ("c1/n1", "judge-a", "judge-a", "c1"),
            ("c3/n1", "judge-a", "judge-a", "c3"),
        ]


def test_seats_are_named_on_the_command_line(tmp_path: Path) -> None:
    file = tmp_path / "c.json"
    file.write_text(json.dumps(class_file()))
    seats = ("--seat", "judge:Ada", "--seat", "judge:Ben", "--seat", "scribe:Cleo")
    arguments = (str(file), "--title", "T", "--data", str(tmp_path / "d"), "--public-url", "https://show.example")
    text = run("open", *arguments, *seats).stdout
    assert re.findall(r"^  (\w+.*) \(\w+\)$", text, re.M) == ["Office", "Ada", "Ben", "Cleo"]
    assert text.count("https://show.example/#join=") == 4


def test_the_demonstration_prints_a_link_a_code_and_a_qr_for_each_seat_and_can_be_judged(tmp_path: Path) -> None:
    with served("demo", "--data", str(tmp_path)) as server:
        text = "".join(server.said)
        assert TITLE in text
        by_role = codes(text)
        assert set(by_role) == {"office", "steward", "judge", "scribe", "trainee", "announcer"}
        assert text.count("▀") + text.count("█") > 5 * 100
        with httpx.Client(base_url=server.url) as web:
            web.post("/api/join", json={"code": by_role["judge"]})
            assert len(web.get("/api/day").json()["classes"]) == 4
            placing = web.get("/api/classes/c1/placing").json()
            assert len(placing["placing"]) >= 8
        assert server.stop()[:2] == (0, "")
    with served("demo", "--data", str(tmp_path)) as server:
        assert codes("".join(server.said)) == by_role


def test_each_folder_of_the_demonstration_holds_a_show_of_its_own_and_keeps_it(tmp_path: Path) -> None:
    """A phone must not take a new demonstration for the one that has its notes."""
    first, again, other = (open_demo(tmp_path / name)[0].seat.show for name in ("a", "a", "b"))
    assert first == again
    assert first != other


def test_a_temporary_folder_of_the_demonstration_is_gone_when_it_stops(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TMPDIR", str(tmp_path))
    with served("demo") as server:
        assert len(list(tmp_path.iterdir())) == 1
        server.stop()
    assert list(tmp_path.iterdir()) == []


def test_every_command_explains_itself(tmp_path: Path) -> None:
    for command in ("serve", "open", "add", "seats", "demo"):
        done = run(command, "--help")
        assert done.returncode == 0
        assert "--data" in done.stdout
    assert list(tmp_path.iterdir()) == []
