"""The commands that keep the record of a show, as people run them."""

from __future__ import annotations

import re
import threading
from collections.abc import Callable
from pathlib import Path
from typing import Any

import httpx
import pytest

from nearside.show.folder import notes_path
from nearside.store.journal import content_of
from nearside.store.lines import to_json
from nearside.store.still import read_notes
from tests.show.ground import SHOW, note, open_small_show, small_show
from tests.web.house import served
from tests.web.test_serve import refused, run

Notes = list[dict[str, Any]]


def signed_show(data: Path) -> None:
    """Class c1 noted by judge A and signed, and one thing said at the gate since."""
    with small_show(data) as ground:
        ground.push("judge-a", note("mark", "judge-a"), note("remark", "judge-a", text="kind eye"))
        ground.push("judge-a", note("sign", "judge-a"))
        ground.push("steward", note("presence"))


def rewrite(data: Path, change: Callable[[Notes], object]) -> None:
    """Change the log as somebody would who knows how its file is made."""
    path = notes_path(data, SHOW)
    notes = read_notes(path).notes
    change(notes)
    path.write_bytes(content_of([to_json(notes)]))


def test_a_show_that_is_being_served_is_verified_and_its_heads_are_told(tmp_path: Path) -> None:
    signed_show(tmp_path)
    with served("serve", "--data", str(tmp_path)):
        done = run("verify", "--data", str(tmp_path))
    assert (done.returncode, done.stderr) == (0, "")
    assert (
        "Stock type mares c1 (class c1)\n    Whole: notes 1 to 3 are what they were, up to the signature of Judge A"
        in (done.stdout)
    )
    assert "1 note since then is not yet covered by a signature." in done.stdout
    assert "Nothing is noted." in done.stdout
    heads = re.findall(r"head ([0-9a-f]{64})", done.stdout)
    assert len(heads) == 2
    with small_show(tmp_path) as ground:
        ground.push("steward", note("presence"))
    later = run("verify", "--data", str(tmp_path), "--show", SHOW, "--head", f"{heads[0][:8]} {heads[0][8:20].upper()}")
    assert later.returncode == 0
    assert f"Head {heads[0][:20]}: class c1 after 4 of its 5 notes" in later.stdout


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (lambda notes: notes[0].update(degree=-3), "CHANGED: at notes 1 to 2, before the signature of Judge A at"),
        (lambda notes: notes[1].update(text="mean eye"), "CHANGED: at notes 1 to 2, before the signature of"),
        (lambda notes: notes.pop(0), "CHANGED: at note 1, before the signature of"),
        (lambda notes: notes[2].update(numbers=["7", "12"]), "itself, note 3, is not what was signed"),
        (lambda notes: notes[2].pop("_head"), "carries no head"),
    ],
)
def test_a_log_that_was_tampered_with_is_told_with_the_place_and_not_with_what_it_says(
    tmp_path: Path, change: Callable[[Notes], object], told: str
) -> None:
    signed_show(tmp_path)
    rewrite(tmp_path, change)
    done = run("verify", "--data", str(tmp_path))
    assert done.returncode == 1
    assert done.stdout.count("CHANGED") == 1
    assert told in done.stdout
    assert "Whole" not in done.stdout
    assert "eye" not in done.stdout


def test_what_no_signature_covers_shows_by_the_head_on_paper(tmp_path: Path) -> None:
    signed_show(tmp_path)
    head = re.findall(r"head (\w{64})", run("verify", "--data", str(tmp_path)).stdout)[0]
    rewrite(tmp_path, lambda notes: notes[3].update(state="absent"))
    assert run("verify", "--data", str(tmp_path)).returncode == 0
    done = run("verify", "--data", str(tmp_path), "--head", head)
    assert done.returncode == 1
    assert f"Head {head}: CHANGED." in done.stdout


class Writer(threading.Thread):
    """A judge's device that sends marks as long as it may, and knows what was acknowledged."""

    def __init__(self, address: str, code: str) -> None:
        super().__init__()
        self.address = address
        joined = httpx.post(f"{address}/api/join", json={"code": code}).raise_for_status()
        self.cookies = dict(joined.cookies)
        self.acknowledged: list[str] = []
        self.has_enough = threading.Event()
        self.is_over = threading.Event()

    def run(self) -> None:
        with httpx.Client(base_url=self.address, cookies=self.cookies) as client:
            while not self.is_over.is_set():
                notes = [note("mark", "judge-a", degree=1), note("remark", "judge-a")]
                answer = client.post("/api/notes", json={"notes": notes}).raise_for_status()
                assert {each["status"] for each in answer.json()["receipts"]} == {"kept"}
                self.acknowledged += [each["id"] for each in notes]
                if len(self.acknowledged) >= 40:
                    self.has_enough.set()


def pulled(address: str, cookies: dict[str, str]) -> set[str]:
    """The ids of all a device may read."""
    ids: set[str] = set()
    after, more = 0, True
    with httpx.Client(base_url=address, cookies=cookies) as client:
        while more:
            page = client.get("/api/notes", params={"after": after}).raise_for_status().json()
            ids |= {each["id"] for each in page["notes"]}
            after, more = page["cursor"], page["more"]
    return ids


def test_a_show_backed_up_while_devices_write_goes_on_elsewhere_with_every_acknowledged_note(tmp_path: Path) -> None:
    codes = {each.seat.id: each.code for each in open_small_show(tmp_path / "data")}
    with served("serve", "--data", str(tmp_path / "data")) as server:
        writer = Writer(server.url, codes["judge-a"])
        writer.start()
        try:
            assert writer.has_enough.wait(20)
            before = set(writer.acknowledged)
            done = run("backup", "--data", str(tmp_path / "data"), str(tmp_path / "show.zip"))
            assert (done.returncode, done.stderr) == (0, "")
        finally:
            writer.is_over.set()
            writer.join()
    assert len(writer.acknowledged) > len(before), "nothing was written meanwhile"
    done = run("restore", str(tmp_path / "show.zip"), "--data", str(tmp_path / "new"))
    assert (done.returncode, done.stderr) == (0, "")
    assert run("verify", "--data", str(tmp_path / "new")).returncode == 0
    with served("serve", "--data", str(tmp_path / "new")) as server:
        assert before <= pulled(server.url, writer.cookies) <= {*writer.acknowledged}
        again = httpx.post(f"{server.url}/api/join", json={"code": codes["judge-b"]})
        assert again.status_code == 200
    assert "holds something already" in refused("restore", str(tmp_path / "show.zip"), "--data", str(tmp_path / "data"))
    assert "is there already" in refused("backup", str(tmp_path / "show.zip"), "--data", str(tmp_path / "data"))


def test_a_served_show_goes_out_and_into_a_folder_where_its_new_codes_are_printed(tmp_path: Path) -> None:
    signed_show(tmp_path / "data")
    file = str(tmp_path / "show.json")
    with served("serve", "--data", str(tmp_path / "data")):
        done = run("show-out", "--data", str(tmp_path / "data"), file)
        assert (done.returncode, done.stderr) == (0, "")
        assert "in use by another process" in refused("show-in", file, "--data", str(tmp_path / "data"))
    done = run("show-in", file, "--data", str(tmp_path / "new"))
    assert (done.returncode, done.stderr) == (0, "")
    assert "Took in “Test show” with 4 notes." in done.stdout
    assert "#join=" in run("seats", "--data", str(tmp_path / "new")).stdout
    assert "has the show s1 already" in refused("show-in", file, "--data", str(tmp_path / "new"))
    told = run("verify", "--data", str(tmp_path / "new")).stdout
    assert "Whole: notes 1 to 3" in told
    assert run("verify", "--file", file).stdout == told


def test_names_go_only_when_told_twice_and_what_stays_is_said(tmp_path: Path) -> None:
    signed_show(tmp_path)
    folder = ("--data", str(tmp_path))
    asked = run("forget", *folder)
    assert (asked.returncode, asked.stderr) == (0, "")
    assert "To be taken out of “Test show” (s1): 0 records with names and 1 note with words." in asked.stdout
    assert "What stays: numbers" in asked.stdout
    assert "Not signed by all its judges yet: Stock type mares c1." in asked.stdout
    assert f"nearside forget --data {tmp_path} --show s1 --yes" in asked.stdout
    assert "kind eye" in notes_path(tmp_path, SHOW).read_text()
    with served("serve", *folder):
        assert "in use by another process" in refused("forget", *folder, "--yes")
    done = run("forget", *folder, "--show", SHOW, "--yes")
    assert (done.returncode, done.stderr) == (0, "")
    assert "kind eye" not in notes_path(tmp_path, SHOW).read_text()
    told = run("verify", *folder)
    assert told.returncode == 0
    assert "1 text was taken out after the show; nothing else of those notes." in told.stdout
    assert "There is no" in refused("forget", "--data", str(tmp_path / "nothing"), "--yes")
    assert not (tmp_path / "nothing").exists()


def test_what_cannot_be_verified_says_why_in_one_line(tmp_path: Path) -> None:
    assert "There is no" in refused("verify", "--data", str(tmp_path))
    open_small_show(tmp_path)
    assert "there are: s1" in refused("verify", "--data", str(tmp_path), "--show", "s9")
    assert "--head" in refused("verify", "--data", str(tmp_path), "--head", "12")
    path = notes_path(tmp_path, SHOW)
    path.write_bytes(content_of([to_json([note("mark", "judge-a")])]).replace(b"topline", b"topLine"))
    assert "is damaged at byte" in refused("verify", "--data", str(tmp_path))
