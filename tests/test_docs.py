"""The documents are kept true: commands they show exist, outputs they show are printed, numbers they name are right."""

from __future__ import annotations

import inspect
import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

from nearside.cli import _parser
from nearside.show.office_commands import COMMANDS
from nearside.store.protocol import Catalogue, NoteStore
from nearside.web.app import ROUTES
from tests.engine.cases import marks, placed
from tests.test_cli import nearside

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text()
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text()


def blocks(text: str, language: str) -> list[str]:
    return re.findall(rf"```{language}\n(.*?)```", text, re.DOTALL)


def commands() -> list[list[str]]:
    lines = [line for block in blocks(README, "sh") for line in block.splitlines()]
    found = []
    for line in lines:
        for part in line.split("#")[0].split("&&"):
            words = part.strip().replace('"Harvest open show"', "Harvest").split()
            if words and words[0] == ".venv/bin/nearside":
                found.append(words[1:])
    return found


def test_ci_runs_the_readmes_test_command_and_nothing_else() -> None:
    script = (ROOT / ".ci" / "run").read_text().splitlines()
    command = next(line for block in blocks(README, "sh") for line in block.splitlines() if "-m tests" in line)
    assert script[-1] == command


@pytest.mark.parametrize("words", commands(), ids=" ".join)
def test_every_command_of_the_readme_is_understood(words: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    """Each is parsed as it stands (an option nobody knows would be refused); those that only read a file are run."""
    monkeypatch.chdir(ROOT)
    if words[0] in ("place", "reasons", "standard", "panel", "score"):
        run = nearside(*words)
        assert (run.returncode, run.stderr) == (0, b"")
    else:
        assert callable(_parser(words).parse_args(words).run)


def test_the_output_shown_for_the_example_is_the_output(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    (shown,) = blocks(README, "text")
    assert nearside("place", "examples/4-hunter-type-mares.json").stdout.decode() == shown


def test_pictures_and_files_named_in_the_readme_are_there() -> None:
    for name in re.findall(r"\]\((?!http)([^)#]+)", README) + re.findall(r"examples/[\w.-]+\.json", README):
        assert (ROOT / name).exists(), name


def test_the_buttons_the_readme_names_at_the_table_are_on_its_page() -> None:
    steps = README[README.index("### A show from the office page") : README.index("### From class files")]
    page = "".join(path.read_text() for path in (ROOT / "frontend" / "office").rglob("*.js"))
    named = [words for words in re.findall(r"\*\*([^*]+)\*\*|\*([^*]+)\*", steps) if not words[0].endswith(".")]
    assert len(named) > 12
    assert [words for words in named if f'"{"".join(words)}"' not in page] == []


@pytest.mark.parametrize("path", sorted((ROOT / "examples").glob("[0-9]*.json")), ids=lambda path: path.stem)
def test_every_example_class_is_placed_by_the_command(path: Path) -> None:
    run = nearside("place", str(path), "--json")
    assert run.returncode == 0
    placing = json.loads(run.stdout)
    entered = {entry["number"] for entry in json.loads(path.read_text())["entries"]}
    stood = {*placing["placing"], *(each["number"] for each in placing["unplaced"])}
    assert entered <= stood | {n["number"] for n in json.loads(path.read_text())["notes"] if n.get("now")}


def test_the_class_worked_by_hand_in_developers_has_the_figures_it_names() -> None:
    placing = placed(["12", "7"], marks(_12={"topline": 2, "girth": 1}, _7={"topline": 3, "knees": -1}))
    pair = placing["pairs"][0]
    worked = DEVELOPERS[DEVELOPERS.index("**Worked by hand**") :]
    for figure in (*(each["total"] for each in placing["totals"]), pair["margin"], placing["scale"], pair["share"]):
        assert re.search(rf"\b{figure}\b", worked), figure


def test_every_file_developers_names_is_there() -> None:
    named = re.findall(r"`(\w[\w./-]*\.(?:py|js|json)|(?:backend|frontend|tests|examples)/[\w./-]+)`", DEVELOPERS)
    assert "engine/merging.py" in named
    package, before = ROOT / "backend" / "nearside", ""
    for name in named:
        # A bare name stands in the folder of the name before it.
        homes = [home / part for home in (ROOT, package, ROOT / "frontend") for part in ("", before, "standards")]
        assert any((home / name).exists() for home in homes), name
        before = str(Path(name).parent) if "/" in name else before


def test_the_map_names_every_module_of_the_engine_and_every_folder_of_the_house() -> None:
    (house,) = (block for block in blocks(DEVELOPERS, "") if block.startswith("backend/nearside/"))
    words = set(re.findall(r"[\w]+", house))
    assert {path.stem for path in (ROOT / "backend/nearside/engine").glob("[a-z]*.py")} <= words
    tracked = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True).stdout
    for part in ("backend/nearside", "frontend", "tests"):
        below = {line.removeprefix(f"{part}/").split("/")[0] for line in tracked.splitlines() if line.startswith(part)}
        folders = {name for name in below if (ROOT / part / name).is_dir()}
        # The tests' own folders beside those that mirror the backend.
        mirrored = {path.name for path in (ROOT / "backend/nearside").iterdir()} if part == "tests" else set()
        assert folders - mirrored - words == set(), part


def test_the_calls_developers_lists_are_the_routes_there_are() -> None:
    listed = re.findall(r"^\| (`(?:GET|POST) [^|]*?) \|", DEVELOPERS, re.MULTILINE)
    calls = {
        (method, path.partition("?")[0])
        for cell in listed
        for method, path in re.findall(r"`(GET|POST) (/[^` ]*)", cell)
    }
    routes = {(method, route.path) for route in ROUTES for method in route.methods or () if method != "HEAD"}
    assert calls - {("GET", "/")} == routes - {("GET", "/{path:path}")}


def test_the_commands_of_the_office_developers_lists_are_those_there_are() -> None:
    row = next(line for line in DEVELOPERS.splitlines() if line.startswith("| `POST /api/office/{command}`"))
    assert row.split("`")[-2].split() == list(COMMANDS)


@pytest.mark.parametrize("seam", [NoteStore, Catalogue], ids=lambda seam: seam.__name__)
def test_the_seams_developers_shows_are_the_protocols(seam: type) -> None:
    (shown,) = (block for block in blocks(DEVELOPERS, "python") if block.startswith(f"class {seam.__name__}("))
    heads = re.findall(r"def (\w+)(\(.*)\) -> (.*?): \.\.\.", shown)
    source = inspect.getsource(seam)
    assert heads == re.findall(r"def (\w+)(\(.*)\) -> (.*?):\n", source)


def test_the_docstrings_examples_are_right() -> None:
    run = subprocess.run(
        [sys.executable, "-m", "pytest", "-q", "--doctest-modules", "backend/nearside/engine", "backend/nearside/show"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert run.returncode == 0, run.stdout
