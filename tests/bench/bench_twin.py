"""How long the twin takes in a real Chromium: the largest class, on the page's main thread, plain and slowed 4 times.

The main thread is measured, for that is where the page works the placing out, in idle time after a tap is painted;
slowing by the devtools protocol reaches it, and would not reach a worker.
"""

from __future__ import annotations

import statistics
import threading
from functools import partial
from http.server import ThreadingHTTPServer
from pathlib import Path
from typing import Any

from playwright.sync_api import sync_playwright

from nearside.show.classfile import checked_class_file
from nearside.show.standards import words
from tests.bench.bench_placing import full_class
from tests.browser.chromium import ARGUMENTS, find_chromium
from tests.twin.test_twin import Quiet

FRONTEND = Path(__file__).parents[2] / "frontend"
ROUNDS = 40
BARS_MS = {1: 10.0, 4: 50.0}

TIMES = """
async ([file, standard, words, rounds]) => {
  const { place } = await import("/engine/placing.js");
  const times = [];
  for (let i = 0; i < rounds; i += 1) {
    const start = performance.now();
    place(file, standard, words);
    times.push(performance.now() - start);
  }
  return times;
}
"""

Row = tuple[str, float, float, bool]


def main() -> list[Row]:
    """The median over the rounds, first rounds included, in milliseconds, for each slowing."""
    class_file, standard = checked_class_file(full_class())
    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(Quiet, directory=str(FRONTEND)))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    rows: list[Row] = []
    try:
        with sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path=find_chromium(), args=ARGUMENTS)
            for slowing, bar in BARS_MS.items():
                page = browser.new_page()
                page.goto(f"http://127.0.0.1:{server.server_port}/manifest.webmanifest")
                devtools = page.context.new_cdp_session(page)
                devtools.send("Emulation.setCPUThrottlingRate", {"rate": slowing})
                given: list[Any] = [class_file, standard, words(), ROUNDS]
                median = statistics.median(page.evaluate(TIMES, given))
                label = f"twin: placing of 30 horses, CPU slowed {slowing} times: ms on the main thread"
                rows.append((label, median, bar, median <= bar))
                page.close()
            browser.close()
    finally:
        server.shutdown()
        server.server_close()
    return rows
