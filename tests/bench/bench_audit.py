"""What Lighthouse (npm) makes of the page on a phone: performance, accessibility, best practices.

Audited as its own defaults have it, a middling phone on a slow network, simulated: the page as a stranger first opens
it, and the ring of a class on a phone that joined. Each category must reach 98 of 100.
"""

from __future__ import annotations

import json
import os
import socket
import subprocess
import tempfile
from pathlib import Path
from typing import Any

from playwright.sync_api import sync_playwright

from tests.browser.chromium import ARGUMENTS, find_chromium
from tests.browser.phone import Phone
from tests.browser.served import Served, open_show
from tests.js.tools import installed

CATEGORIES = ("performance", "accessibility", "best-practices")
AT_LEAST = 98.0

Row = tuple[str, float, float, bool]


def main() -> list[Row]:
    """The scores of both pages; a bar that is missed names the audits that cost points."""
    modules = installed("audit", lighthouse="12.2.3")
    if modules is None:
        raise SystemExit(1)
    command = ["node", str(modules / "lighthouse" / "cli" / "index.js")]
    with tempfile.TemporaryDirectory() as name, sync_playwright() as playwright:
        server = Served(Path(name) / "data", open_show(Path(name) / "data"))
        with socket.socket() as probe:
            probe.bind(("127.0.0.1", 0))
            port = probe.getsockname()[1]
        ARGUMENTS.append(f"--remote-debugging-port={port}")
        phone = Phone(playwright, Path(name) / "phone", server)
        try:
            rows = _audited(
                "first opened", [*command, f"{server.address}/", "--chrome-flags=--headless=new --no-sandbox"]
            )
            phone.join()
            phone.open_class()
            ring = phone.page.url
            phone.page.close()
            return rows + _audited("the ring", [*command, ring, f"--port={port}", "--disable-storage-reset"])
        finally:
            ARGUMENTS.pop()
            phone.close()
            server.kill()


def _audited(what: str, command: list[str]) -> list[Row]:
    words = [*command, "--quiet", "--output=json", f"--only-categories={','.join(CATEGORIES)}"]
    environment = {**os.environ, "CHROME_PATH": str(find_chromium())}
    run = subprocess.run(words, env=environment, capture_output=True, text=True, check=False)
    if run.returncode != 0:
        raise RuntimeError(f"Lighthouse gave up: {run.stderr.strip()[-500:]}")
    said = json.loads(run.stdout)
    return [_row(what, said, category) for category in CATEGORIES]


def _row(what: str, said: dict[str, Any], category: str) -> Row:
    of = said["categories"][category]
    score = 100 * of["score"]
    lost = [
        f"{each['id']} {said['audits'][each['id']].get('displayValue', '')}".strip()
        for each in of["auditRefs"]
        if each["weight"] > 0 and (said["audits"][each["id"]]["score"] or 0) < 0.9
    ]
    told = f" ({'; '.join(lost)})" if lost else ""
    return f"Lighthouse, {what}: {category}{told}", score, AT_LEAST, score >= AT_LEAST


if __name__ == "__main__":
    for name, value, bar, is_met in main():
        print(f"{'met ' if is_met else 'MISS'}  {value:8.1f}  bar {bar:g}  {name}")
