"""`python -m tests`: everything that must pass, in one command, from nothing.

Runs, in this order, and stops at the first that fails: ruff (format and lint), mypy (strict), the TypeScript compiler
over the page, pytest (unit, property, contract, crash, twin, browser; a file at a time on each core, the longest file
first). It provides its own browser: where no Chromium is found it asks Debian's package manager for one, and says
plainly what is missing where it can't.

`python -m tests --bench` runs the measurements of tests/bench instead; `python -m tests WORDS...` hands the words to
pytest alone.
"""

from __future__ import annotations

import importlib
import os
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path

from tests.browser.chromium import find_chromium
from tests.packages import ask_for

ROOT = Path(__file__).parents[1]
BENCHES = sorted(path.stem for path in (Path(__file__).parent / "bench").glob("bench_*.py"))

ON_EACH_CORE = ("-n", "auto", "--maxprocesses", "4", "--dist", "loadfile", "--no-loadscope-reorder")


def main(arguments: Sequence[str]) -> int:
    """The exit status: 0 where all passed."""
    os.chdir(ROOT)
    if list(arguments) == ["--bench"]:
        return bench()
    if arguments:
        return command(sys.executable, "-m", "pytest", *arguments)
    steps: list[tuple[str, Callable[[], int]]] = [
        ("format", lambda: command(sys.executable, "-m", "ruff", "format", "--check", "--quiet")),
        ("lint", lambda: command(sys.executable, "-m", "ruff", "check", "--quiet", "--output-format=concise")),
        ("types", lambda: command(sys.executable, "-m", "mypy", "--no-error-summary")),
        ("types of the page", types_of_the_page),
        ("browser", provide_browser),
        (
            "tests",
            lambda: command(sys.executable, "-m", "pytest", "--durations=8", *ON_EACH_CORE, "tests/twin", "tests"),
        ),
    ]
    for name, step in steps:
        start = time.monotonic()
        print(f"-- {name}", flush=True)
        status = step()
        print(f"-- {name}: {'failed' if status else 'passed'} in {time.monotonic() - start:.0f} s", flush=True)
        if status:
            return status
    return 0


def command(*words: str) -> int:
    """Runs a command in the open; its exit status."""
    return subprocess.run(words, check=False).returncode


def types_of_the_page() -> int:
    """The TypeScript compiler over the page's JavaScript; installs it where it is not there yet."""
    from tests.js.check import check

    return check()


def provide_browser() -> int:
    """Makes sure there is a Chromium; asks the system's package manager where there is none."""
    if find_chromium() is not None:
        return 0
    ask_for("chromium", "fonts-dejavu-core")
    if find_chromium() is not None:
        return 0
    print(
        "No Chromium was found and none could be installed. The browser tests need one: install Debian's package "
        "'chromium' (as root: apt-get install chromium), or put a Chromium on the PATH, and run this again.",
        file=sys.stderr,
    )
    return 1


def bench() -> int:
    """Every measurement with the bar it must meet; fails where one is missed."""
    missed = 0
    for name in BENCHES:
        for label, value, bar, is_met in importlib.import_module(f"tests.bench.{name}").main():
            print(f"{'met ' if is_met else 'MISS'}  {value:10.3f}  bar {bar:<8g}  {label}", flush=True)
            missed += not is_met
    return 1 if missed else 0


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
