"""Where a Chromium is on this machine, and how the tests start it."""

from __future__ import annotations

import shutil

NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")

# No background traffic: the tests speak to this machine only.
ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


def find_chromium() -> str | None:
    """The path of a Chromium, or None where none is installed."""
    return next((path for name in NAMES if (path := shutil.which(name)) is not None), None)
