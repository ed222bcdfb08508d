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
    tsc = compiler()
    if tsc is None:
        return 1
    here = Path(__file__).parent
    return max(subprocess.run([tsc, "-p", str(here / name)], check=False).returncode for name in SETTINGS)


def compiler() -> str | None:
    """The compiler; None, with words on standard error, where it can't be had."""
    modules = installed("types", typescript=VERSION)
    return None if modules is None else str(modules / ".bin" / "tsc")


if __name__ == "__main__":
    raise SystemExit(check())
