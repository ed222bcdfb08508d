"""How soon a tap is seen on a slow phone, how soon a cold page takes marks, and what the page weighs.

A class of 30 horses with 36 marks each is on the phone; the CPU is slowed four times by the devtools protocol. The
taps are touches sent to the browser as a finger's are, spaced as a judge taps: the pauses are drawn around the moment
at which the placing is worked out anew, so that touches also fall into that work. From the touch's own time stamp,
waiting for other work included, to the task after the frame that shows it.
"""

from __future__ import annotations

import random
import statistics
import tempfile
from pathlib import Path
from typing import Any

from playwright.sync_api import sync_playwright

from nearside.web.assets import Asset, folder, read_assets
from tests.browser.phone import Phone
from tests.browser.served import Served, open_show

HORSES, VIEWS, MARKS_A_VIEW = 30, ("profile", "front", "rear"), 12
TAPS, SLOWED, COLD_STARTS = 140, 4, 5
PAUSES_MS = (200.0, 900.0)  # the placing is worked out when the thumb has rested for 300 ms
WORKED_OUT_AT_LEAST = 30
PAINTED_WITHIN_MS, COLD_START_WITHIN_MS = 50.0, 1000.0
PAGE_KB_AT_MOST, SCRIPTS_KB_AT_MOST = 100.0, 60.0

Row = tuple[str, float, float, bool]

# Before the page: how long each touch took to be seen, and how often the placing was worked out in an idle moment.
WATCH = """
window.taken = [];
window.workedOut = [];
const idle = window.requestIdleCallback;
window.requestIdleCallback = (work, options) => idle((deadline) => {
    const start = performance.now();
    work(deadline);
    window.workedOut.push(performance.now() - start);
}, options);
addEventListener("click", ({ timeStamp }) => requestAnimationFrame(() => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = () => window.taken.push(performance.now() - timeStamp);
    port2.postMessage(null);
}), { capture: true });
"""


def main() -> list[Row]:
    """The 95th percentile of the touches, the median of the cold starts, and two sizes."""
    with tempfile.TemporaryDirectory() as name, sync_playwright() as playwright:
        data = Path(name) / "data"
        server = Served(data, open_show(data))
        phone = Phone(playwright, Path(name) / "phone", server)
        try:
            return [*_taps(phone, server), _cold_start(phone, server), *_weight()]
        finally:
            phone.close()
            server.kill()


def _taps(phone: Phone, server: Served, seed: int = 1) -> list[Row]:
    draw = random.Random(seed)
    phone.before_the_page(WATCH)
    phone.join()
    with server.device("judge") as device:
        day = device.get("/api/day").json()
        notes = _full_class(day)
        for at in range(0, len(notes), 500):
            device.post("/api/notes", json={"notes": notes[at : at + 500]}).raise_for_status()
    phone.open_class()
    phone.page.locator("horse-line li").nth(HORSES).wait_for(state="attached")
    phone.horse("500").tap()
    phone.expect_horse("500")
    boxes = [each.bounding_box() for each in phone.page.locator(".trait > :is(.faulty, .good)").all()]
    phone.slow(SLOWED)
    phone.page.evaluate("taken.length = workedOut.length = 0")
    for at in range(TAPS):
        box = boxes[at % len(boxes)]
        assert box is not None
        phone.page.touchscreen.tap(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
        phone.page.wait_for_timeout(draw.uniform(*PAUSES_MS))
    phone.page.wait_for_function(f"taken.length === {TAPS}")
    taken: list[float] = sorted(phone.page.evaluate("taken"))
    worked_out: list[float] = phone.page.evaluate("workedOut")
    assert len(worked_out) >= WORKED_OUT_AT_LEAST, f"the placing was worked out {len(worked_out)} times only"
    p95 = taken[int(0.95 * len(taken))]
    told = f"{len(worked_out)} placings of {statistics.median(worked_out):.0f} ms meanwhile"
    label = f"touch to frame, 95th percentile of {TAPS}, CPU slowed {SLOWED} times, {told}: ms"
    return [(label, p95, PAINTED_WITHIN_MS, p95 < PAINTED_WITHIN_MS)]


def _cold_start(phone: Phone, server: Served) -> Row:
    """The server gone and the browser opened anew: from the start of loading until an end of a trait is there."""
    phone.expect_saved("At the office")
    server.kill()
    starts = []
    for _ in range(COLD_STARTS):
        phone.close()
        phone.cold_start()
        phone.page.locator(".trait > button").first.wait_for()
        starts.append(float(phone.page.evaluate("performance.now()")))
    middle = statistics.median(starts)
    label = "cold start offline to the first mark possible: ms"
    return label, middle, COLD_START_WITHIN_MS, middle < COLD_START_WITHIN_MS


def _full_class(day: dict[str, Any]) -> list[dict[str, Any]]:
    """Entries and marks that fill class c4 as far as a day ever would."""
    standard = next(each for each in day["standards"] if each["key"] == "stock-type")
    notes: list[dict[str, Any]] = []

    def add(kind: str, **fields: Any) -> None:
        base = {"id": f"b{len(notes)}", "kind": kind, "class": "c4", "by": "judge-a", "at": 1, "replaces": []}
        notes.append(base | fields)

    for horse in range(HORSES):
        number = str(500 + horse)
        add("entry", number=number, identification="bay", now=None)
        for view in VIEWS:
            traits = [t for c in standard["criteria"] for t in c["traits"] if view in t["views"] and not t.get("sexes")]
            for place, trait in enumerate(traits[:MARKS_A_VIEW]):
                degree = -1 - place % 3 if trait.get("good") is None or horse % 2 else 1 + place % 3
                add("mark", card="judge-a", number=number, trait=trait["key"], view=view, degree=degree)
    return notes


def _weight() -> list[Row]:
    assets = read_assets(folder())
    page = _kilobytes(assets)
    scripts = _kilobytes({path: each for path, each in assets.items() if path.endswith(".js")})
    return [
        ("the whole page, compressed: kB", page, PAGE_KB_AT_MOST, page <= PAGE_KB_AT_MOST),
        ("its scripts, compressed: kB", scripts, SCRIPTS_KB_AT_MOST, scripts <= SCRIPTS_KB_AT_MOST),
    ]


def _kilobytes(assets: dict[str, Asset]) -> float:
    return sum(len(each.packed or each.body) for each in assets.values()) / 1000


if __name__ == "__main__":
    for name, value, bar, is_met in main():
        print(f"{'met ' if is_met else 'MISS'}  {value:8.2f}  bar {bar:g}  {name}")
