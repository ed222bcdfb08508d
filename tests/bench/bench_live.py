"""How soon what one device wrote is on another's screen, on one machine's network.

A steward's phone sends a number into the ring, a judge's phone has its class open. Timed is from the touch at the gate
to the frame in which the judge's head count is another one; both clocks are the machine's.
Every tap is one round; the median and the 95th percentile stand against the second that people call at once.
"""

from __future__ import annotations

import re
import statistics
import tempfile
from pathlib import Path

from playwright.sync_api import expect, sync_playwright

from tests.browser.phone import Phone
from tests.browser.served import Served, open_show

ROUNDS = 60
MEDIAN_WITHIN_MS, P95_WITHIN_MS = 500.0, 1000.0

Row = tuple[str, float, float, bool]

# When the count in the class bar was last painted otherwise, by the clock on the wall.
WATCH = """() => {
    window.painted = 0;
    const look = () => requestAnimationFrame(() => { window.painted = Date.now(); });
    const whole = { subtree: true, childList: true, characterData: true };
    new MutationObserver(look).observe(document.querySelector("class-bar"), whole);
}"""
TAP = """(button) => { const now = Date.now(); button.click(); return now; }"""


def main() -> list[Row]:
    """The two figures, each with its bar."""
    with tempfile.TemporaryDirectory(prefix="nearside-bench-") as folder, sync_playwright() as playwright:
        data = Path(folder) / "data"
        server = Served(data, open_show(data))
        gate = Phone(playwright, Path(folder) / "gate", server)
        judge = Phone(playwright, Path(folder) / "judge", server)
        try:
            return _measured(gate, judge)
        finally:
            gate.close()
            judge.close()
            server.kill()


def _measured(gate: Phone, judge: Phone) -> list[Row]:
    judge.join()
    judge.open_class()
    gate.join("steward")
    gate.page.get_by_role("button", name=re.compile("Stock type mares")).tap()
    heads = judge.page.locator("class-bar .in-ring")
    button = gate.page.get_by_role("button", name=re.compile("^12, .*: in the ring$"))
    gate.page.get_by_role("button", name=re.compile("^7, .*: in the ring$")).tap()
    expect(heads).to_contain_text("1 of 6 in")
    judge.page.evaluate(WATCH)
    took = []
    for place in range(ROUNDS):
        tapped = button.evaluate(TAP)
        expect(heads).to_contain_text(f"{1 if place % 2 else 2} of 6 in")
        judge.page.wait_for_function("(tapped) => painted >= tapped", arg=tapped)
        took.append(judge.page.evaluate("painted") - tapped)
    took.sort()
    median, p95 = statistics.median(took), took[int(0.95 * len(took))]
    return [
        (f"from the gate to the judge, ms, median of {ROUNDS}", median, MEDIAN_WITHIN_MS, median <= MEDIAN_WITHIN_MS),
        ("from the gate to the judge, ms, 95th percentile", p95, P95_WITHIN_MS, p95 <= P95_WITHIN_MS),
    ]


if __name__ == "__main__":
    for label, value, bar, is_met in main():
        print(f"{'met ' if is_met else 'MISS'}  {value:10.3f}  bar {bar:<8g}  {label}")
