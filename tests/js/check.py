"""The page's JavaScript, checked by the TypeScript compiler from its JSDoc.

The compiler is a tool of the tests, not of the page. The service worker lives in another world than the page (no
document), so it is checked with its own settings.
"""

from __future__ import annotations

import subprocess
from pathlib import Path

from tests.js.tools import installed

VERSION = "7.0.2"
SETTINGS = ("tsconfig.json", "tsconfig.worker.json")


def check() -> int:
    """The exit status: 0 where every module is sound. Installs the compiler where it is missing."""
    modules = installed("types", typescript=VERSION)
    if modules is None:
        return 1
    worst = 0
    for name in SETTINGS:
        command = [modules / ".bin" / "tsc", "-p", Path(__file__).parent / name]
        worst = max(worst, subprocess.run(command, check=False).returncode)
    return worst


if __name__ == "__main__":
    raise SystemExit(check())
