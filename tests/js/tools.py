"""Tools of the tests that come from npm: installed into the hidden folder `.tools` the first time they are needed.

Each set has a folder of its own, so that the ones for measuring weigh on nobody who only runs the tests.
"""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from pathlib import Path

from tests.packages import ask_for

TOOLS = Path(__file__).parents[2] / ".tools"


def installed(name: str, **versions: str) -> Path | None:
    """The `node_modules` that holds these packages in exactly these versions; None, with words on standard error, where
    they can't be had.
    """
    modules = TOOLS / name / "node_modules"
    if _has(modules, versions):
        return modules
    if shutil.which("npm") is None:
        ask_for("nodejs", "npm")
    npm = shutil.which("npm")
    if npm is None:
        print(
            f"{', '.join(versions)} can't be installed: there is no npm on this machine. Install Node.js 20 or newer "
            "with npm (on Debian, as root: apt-get install nodejs npm), and run this again.",
            file=sys.stderr,
        )
        return None
    modules.parent.mkdir(parents=True, exist_ok=True)
    words = [f"{package.replace('_', '-')}@{version}" for package, version in versions.items()]
    command = [npm, "install", "--prefix", str(modules.parent), "--no-audit", "--no-fund", "--silent", *words]
    if subprocess.run(command, check=False).returncode != 0 or not _has(modules, versions):
        print(
            f"npm could not install {' '.join(words)} into {modules.parent}: its own words are above.", file=sys.stderr
        )
        return None
    return modules


def _has(modules: Path, versions: dict[str, str]) -> bool:
    for package, version in versions.items():
        about = modules / package.replace("_", "-") / "package.json"
        if not about.is_file() or json.loads(about.read_text())["version"] != version:
            return False
    return True
