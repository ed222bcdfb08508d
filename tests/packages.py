"""Programs from the system's package manager that the tests and measurements need, provided where that is possible."""

from __future__ import annotations

import os
import shutil
import subprocess


def ask_for(*packages: str) -> None:
    """Installs Debian packages where this is Debian and we are root; does nothing elsewhere."""
    apt = shutil.which("apt-get")
    if apt is None or os.geteuid() != 0:
        return
    quiet = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    for words in (["update", "-qq"], ["install", "-y", "-qq", "--no-install-recommends", *packages]):
        subprocess.run([apt, *words], env=quiet, check=False, stdout=subprocess.DEVNULL)
