"""The command line as a person and as another program use it: real processes, real files."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from nearside import __version__
from tests.engine.cases import PLAIN, class_file, marks, note
from tests.engine.test_merging import MARK


def nearside(*arguments: str, given: bytes | None = None) -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(
        [sys.executable, "-m", "nearside", *arguments], input=given, capture_output=True, timeout=120, check=False
    )


def write(folder: Path, value: Any) -> str:
    path = folder / "class.json"
    path.write_bytes(value if isinstance(value, bytes) else json.dumps(value).encode())
    return str(path)


def horses(count: int) -> dict[str, Any]:
    numbers = [str(number) for number in range(1, count + 1)]
    notes = [
        note("mark", f"m{number}", **{**MARK, "number": number, "degree": 1 + int(number) % 3}) for number in numbers
    ]
    return class_file(numbers, notes)


@pytest.mark.parametrize("count", [0, 1, 60])
def test_classes_of_0_1_and_60_horses_are_placed(count: int, tmp_path: Path) -> None:
    run = nearside("place", write(tmp_path, horses(count)), "--json")
    assert (run.returncode, run.stderr) == (0, b"")
    placing = json.loads(run.stdout)
    assert len(placing["placing"]) == count
    assert len(placing["pairs"]) == count * (count - 1) // 2
    again = json.dumps(placing, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    assert run.stdout.decode() == f"{again}\n"


BAD: list[tuple[str, Any]] = [
    ("broken JSON", b'{"format": '),
    ("100,000 open brackets", b"[" * 100_000),
    ("50 MB", b" " * 50_000_000),
    ("a byte order mark", b"\xef\xbb\xbf" + json.dumps(horses(1)).encode()),
    ("an unknown field", horses(1) | {"color": 1}),
    ("text beyond its limit", horses(1) | {"card": "x" * 501}),
    ("a lone surrogate", json.dumps(horses(1)).replace("judge-a", "\\ud800").encode()),
    ("an integer beyond 2^53", json.dumps(horses(1)).replace("1000", "9007199254740993").encode()),
    ("NaN", json.dumps(horses(1)).replace("1000", "NaN").encode()),
    ("two notes of one id", class_file(["7"], [note("mark", "a", **MARK, degree=d) for d in (1, 2)])),
    ("an endless name", horses(1) | {"\n" * 2000: 1}),
    ("nothing", b""),
]


@pytest.mark.parametrize("value", [value for _, value in BAD], ids=[name for name, _ in BAD])
def test_a_bad_file_gets_one_clear_line_and_exit_status_2(value: Any, tmp_path: Path) -> None:
    run = nearside("place", write(tmp_path, value), "--json")
    line = run.stderr.decode()
    assert (run.returncode, run.stdout) == (2, b"")
    assert line.startswith("nearside: ")
    assert line.endswith("\n")
    assert line.count("\n") == 1
    assert len(line) <= 501
    assert all(character.isprintable() for character in line[:-1])
    assert "Traceback" not in line


@pytest.mark.parametrize("arguments", [["place"], ["place", "no such file"], ["place", "."], ["judge"], []])
def test_a_wrong_call_gets_one_clear_line(arguments: list[str]) -> None:
    run = nearside(*arguments)
    assert (run.returncode, run.stdout) == (2, b"")
    assert run.stderr.decode().count("\n") == 1


def test_a_class_file_may_come_from_standard_input() -> None:
    run = nearside("place", "-", "--json", given=json.dumps(horses(2)).encode())
    assert json.loads(run.stdout)["placing"] == ["2", "1"]


def test_the_placing_reads_as_text_with_what_decides_each_adjacent_pair(tmp_path: Path) -> None:
    notes = [
        *marks(_7={"topline": 3}, _12={"topline": 1}),
        note("lameness", "l", number="12", grade=3, observer="steward", by="steward-1"),
        note("ruling", "r", number="31", outcome="excused", reason="unruly"),
        note("order", "o", numbers=["12", "7"]),
    ]
    run = nearside("place", write(tmp_path, class_file(["7", "12", "31", "5"], notes)))
    text = run.stdout.decode()
    for said in (
        "7 over 12 on balance: 7 is finer in the topline.",
        "31     excused (unruly)",
        "5      not looked at yet",
        "The steward asks for another look: 12",
        "12 over 7 goes against the notes",
        "The judge decides",
    ):
        assert said in text


EXAMPLE = str(Path(__file__).parents[1] / "examples" / "1-stock-type-mares.json")


def test_reasons_are_given_for_the_top_four_for_any_number_or_for_one_pair() -> None:
    def numbers(*arguments: str) -> list[str]:
        given: list[str] = json.loads(nearside("reasons", EXAMPLE, "--json", *arguments).stdout)["numbers"]
        return given

    placing = json.loads(nearside("place", EXAMPLE, "--json").stdout)["placing"]
    assert numbers() == placing[:4]
    assert numbers("--top", "6") == placing[:6]
    assert numbers("--pair", placing[5], placing[1]) == [placing[1], placing[5]]
    text = nearside("reasons", EXAMPLE).stdout.decode()
    assert text.startswith("I place stock type mares, aged, in this order: 4, 21, 7, and 12.")
    assert "read aloud)" in text
    assert nearside("reasons", EXAMPLE, "--short").stdout.decode().count("\n") == 3


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--pair", "7", "99"], '"99" is not in the placing'),
        (["--pair", "7", "7"], "two different numbers"),
        (["--top", "0"], "--top must be 1 or more"),
        (["--top", "4", "--pair", "7", "12"], "not allowed"),
    ],
)
def test_reasons_that_can_not_be_given_are_refused_in_one_line(arguments: list[str], said: str) -> None:
    run = nearside("reasons", EXAMPLE, *arguments)
    assert (run.returncode, run.stdout) == (2, b"")
    assert said in run.stderr.decode()
    assert run.stderr.decode().count("\n") == 1


def test_reasons_of_a_class_without_a_placing_are_refused(tmp_path: Path) -> None:
    run = nearside("reasons", write(tmp_path, class_file(["7"], [])))
    assert run.returncode == 2
    assert "no horse is placed" in run.stderr.decode()


def test_a_standard_of_ones_own_is_checked_with_its_place(tmp_path: Path) -> None:
    right = nearside("standard", "check", write(tmp_path, PLAIN))
    assert right.stdout.decode().startswith("Own standard (own) is a standard.")
    broken = json.loads(json.dumps(PLAIN))
    broken["criteria"][1]["traits"][0]["views"] = ["above"]
    run = nearside("standard", "check", write(tmp_path, broken))
    assert (run.returncode, run.stdout) == (2, b"")
    assert "criteria[1].traits[0].views" in run.stderr.decode()


def test_help_and_version_answer() -> None:
    assert nearside("--version").stdout.decode().strip() == f"nearside {__version__}"
    for command in ("place", "reasons", "standard", "serve", "open", "add", "seats", "demo"):
        assert command in nearside("--help").stdout.decode()
        assert nearside(command, "--help").returncode == 0


def test_a_panel_and_a_score_are_told_and_given_as_json(tmp_path: Path) -> None:
    """The placing 3-1-2-4 against 3-2-1-4 with cuts 2-8-2: Univ. of Maryland Extension, scoring of contests."""
    score = nearside("score", "--official", "3-2-1-4", "--cuts", "2-8-2", "--placing", "3-1-2-4", "--json")
    assert {key: json.loads(score.stdout)[key] for key in ("score", "lost")} == {"score": 42, "lost": 8}
    refused = nearside("score", "--official", "3-2-1-4", "--cuts", "1-6-8", "--placing", "3-1-2-4")
    assert (refused.returncode, refused.stdout) == (2, b"")
    assert b"the middle one is 5 at most" in refused.stderr
    cards = [{"judge": "a", "placing": ["12", "7"]}, {"judge": "b", "placing": ["7", "12"]}]
    file = tmp_path / "panel.json"
    file.write_text(json.dumps({"format": "nearside-panel/1", "method": "points", "cards": cards}))
    result = nearside("panel", str(file), "--json")
    assert json.loads(result.stdout)["result"] == [{"place": 1, "numbers": ["7", "12"]}]
    refused = nearside("panel", str(file), "--method", "majority")
    assert (refused.returncode, refused.stdout) == (2, b"")
    assert b"an odd number of judges" in refused.stderr
