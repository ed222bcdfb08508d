"""The house keeps its floors: which part may import which, on both sides, and an engine that needs nothing."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
BACKEND = ROOT / "backend" / "nearside"
FRONTEND = ROOT / "frontend"

MAY_IMPORT = {
    "engine": {"engine"},
    "store": {"store"},
    "show": {"show", "engine", "store", "settings"},
    "web": {"web", "show", "store", "engine", "settings", "command", ""},
    "settings": set[str](),
    "command": {"show", "store", "settings"},
    "record": {"show", "store", "command"},
    "cli": {"web", "show", "engine", "settings", "record", ""},
    "__main__": {"cli"},
    "__init__": set[str](),
}

PAGE_MAY_IMPORT = {
    "lib": {"lib"},
    "engine": {"engine", "lib"},
    "offline": {"offline", "engine", "lib"},
    "state": {"state", "offline", "engine", "lib"},
    "announce": {"announce", "state", "offline", "engine", "lib"},
    "elements": {"elements", "announce", "state", "offline", "engine", "lib", "more.js"},
    "office": {"office", "announce", "state", "offline", "engine", "lib"},
    "main.js": {"elements", "state", "offline", "engine", "lib"},
    "more.js": {"elements", "announce", "state", "offline", "engine", "lib"},
    "office.js": {"office", "announce", "lib"},
}


def imports_of(path: Path) -> set[str]:
    """Every module of ours that a Python file imports, whole names."""
    package = path.relative_to(BACKEND.parent).with_suffix("").parts[:-1]
    found = set()
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            base = package[: len(package) - node.level + 1] if node.level else ()
            found.add(".".join([*base, *([node.module] if node.module else [])]))
    return found


@pytest.mark.parametrize("path", sorted(BACKEND.rglob("*.py")), ids=lambda path: str(path.relative_to(BACKEND)))
def test_arrows_point_one_way_in_the_backend(path: Path) -> None:
    part = path.relative_to(BACKEND).parts[0].removesuffix(".py")
    for name in imports_of(path):
        steps = name.split(".")
        if steps[0] == "nearside":
            assert (steps[1] if len(steps) > 1 else "") in MAY_IMPORT[part], f"{part} imports {name}"
        elif part == "engine":
            assert steps[0] in sys.stdlib_module_names, f"the engine imports {name}"


FORBIDDEN_IN_ENGINE = {"time", "datetime", "random", "secrets", "os", "pathlib", "io", "threading", "logging", "uuid"}


@pytest.mark.parametrize("path", sorted((BACKEND / "engine").glob("*.py")), ids=lambda path: path.name)
def test_the_engine_reads_no_clock_no_file_and_draws_no_chance(path: Path) -> None:
    assert not {name.split(".")[0] for name in imports_of(path)} & FORBIDDEN_IN_ENGINE
    calls = {node.id for node in ast.walk(ast.parse(path.read_text())) if isinstance(node, ast.Name)}
    assert not calls & {"open", "print", "input", "hash"}


def test_a_bare_interpreter_without_site_packages_imports_the_engine() -> None:
    names = ", ".join(f"nearside.engine.{path.stem}" for path in sorted((BACKEND / "engine").glob("*.py")))
    # The package's own __init__ asks for the installed version, so it is left out here.
    program = f"import sys, types; sys.path.insert(0, {str(BACKEND.parent)!r}); "
    program += f"p = types.ModuleType('nearside'); p.__path__ = [{str(BACKEND)!r}]; sys.modules['nearside'] = p; "
    run = subprocess.run(
        [sys.executable, "-I", "-S", "-c", program + f"import {names.replace('.__init__', '')}"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert (run.returncode, run.stderr) == (0, "")


def page_imports(path: Path) -> list[Path]:
    """The modules a page module loads; a type named in a comment is no load."""
    code = re.sub(r"/\*.*?\*/", "", path.read_text(), flags=re.DOTALL)
    found = re.findall(r"""(?:from|import|import\()\s*["'`](\.{1,2}/[^"'`$]+)(?:\$\{again\})?["'`]""", code)
    return [(path.parent / name).resolve() for name in found]


@pytest.mark.parametrize(
    "path",
    sorted(path for path in FRONTEND.rglob("*.js") if path.name != "sw.js"),
    ids=lambda path: str(path.relative_to(FRONTEND)),
)
def test_arrows_point_one_way_in_the_page(path: Path) -> None:
    part = path.relative_to(FRONTEND).parts[0]
    for target in page_imports(path):
        assert target.exists(), f"{target} is imported and not there"
        assert target.relative_to(FRONTEND).parts[0] in PAGE_MAY_IMPORT[part], f"{part} imports {target.name}"


def test_every_module_of_the_page_is_reached_from_an_entry() -> None:
    reached: set[Path] = set()
    waiting = [FRONTEND / "main.js", FRONTEND / "office.js"]
    while waiting:
        path = waiting.pop()
        if path not in reached:
            reached.add(path)
            waiting.extend(page_imports(path))
    assert {path for path in FRONTEND.rglob("*.js") if path.name != "sw.js"} == reached


def test_only_the_agreed_entries_stand_at_the_top() -> None:
    allowed = {"README.md", "DEVELOPERS.md", "pyproject.toml", "backend", "frontend", "tests", "examples"}
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True).stdout.split(
        "\n"
    )
    top = {name.split("/")[0] for name in listed if name}
    assert {name for name in top if not name.startswith(".")} <= allowed
