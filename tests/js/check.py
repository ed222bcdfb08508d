"""The page's JavaScript, checked by the TypeScript compiler from its JSDoc.

The compiler is a tool of the tests, not of the page: npm installs it into the hidden folder `.tools` the first time.
The service worker lives in another world than the page (no document), so it is checked with its own settings.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

from tests.packages import ask_for

ROOT = Path(__file__).parents[2]
TOOLS = ROOT / ".tools"
COMPILER = TOOLS / "node_modules" / ".bin" / "tsc"
VERSION = "7.0.2"
SETTINGS = ("tsconfig.json", "tsconfig.worker.json")


def check() -> int:
    """The exit status: 0 where every module is sound. Installs the compiler where it is missing."""
    if not _provide():
        return 1
    worst = 0
    for name in SETTINGS:
        worst = max(worst, subprocess.run([COMPILER, "-p", Path(__file__).parent / name], check=False).returncode)
    return worst


def _provide() -> bool:
    if _version() == VERSION:
        return True
    if shutil.which("npm") is None:
        ask_for("nodejs", "npm")
    npm = shutil.which("npm")
    if npm is None:
        print(
            "The page's types cannot be checked: there is no npm on this machine. Install Node.js 20 or newer with "
            "npm (on Debian, as root: apt-get install nodejs npm), and run this again.",
            file=sys.stderr,
        )
        return False
    TOOLS.mkdir(exist_ok=True)
    words = [npm, "install", "--prefix", str(TOOLS), "--no-audit", "--no-fund", "--silent", f"typescript@{VERSION}"]
    if subprocess.run(words, check=False).returncode != 0 or _version() != VERSION:
        print(f"npm could not install typescript@{VERSION} into {TOOLS}: its own words are above.", file=sys.stderr)
        return False
    return True


def _version() -> str | None:
    if not COMPILER.exists():
        return None
    run = subprocess.run([COMPILER, "--version"], capture_output=True, text=True, check=False)
    return run.stdout.strip().removeprefix("Version ")


if __name__ == "__main__":
    raise SystemExit(check())
