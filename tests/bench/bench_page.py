"""How soon a tap is seen on a slow phone, how soon a cold page takes marks, and what the page weighs.

A class of 30 horses with 36 marks each is on the phone, the server is there and every tap is saved and sent as on the
day; the CPU is slowed four times by the devtools protocol. The touches are real ones, given to the browser as a finger
gives them, four on traits and then one on the next horse. Measured in the page from the time the browser stamped on
the finger's leaving the glass to the task after the frame that shows what it did.
"""

from __future__ import annotations

import statistics
import tempfile
from pathlib import Path
from typing import Any

from playwright.sync_api import Page, sync_playwright

from nearside.web.assets import folder, read_assets
from tests.browser.phone import Phone
from tests.browser.served import Served, open_show

HORSES, VIEWS, MARKS_A_VIEW = 30, ("profile", "front", "rear"), 12
TOUCHES, TRAITS_A_HORSE, SLOWED = 200, 4, 4
COLD_STARTS = 7
PAINTED_WITHIN_MS, COLD_START_WITHIN_MS, KILOBYTES_AT_MOST = 50.0, 1000.0, 100.0

Row = tuple[str, float, float, bool]

# Touches and how long each took, in the order they came: [milliseconds, whether it went to the next horse].
WATCH = """() => {
    window.painted = [];
    addEventListener("click", (event) => {
        const isNext = event.target.closest(".next") !== null;
        requestAnimationFrame(() => setTimeout(() => {
            painted.push([performance.now() - event.timeStamp, isNext]);
        }));
    }, { capture: true });
}"""


def main() -> list[Row]:
    with tempfile.TemporaryDirectory() as name, sync_playwright() as playwright:
        data = Path(name) / "data"
        server = Served(data, open_show(data))
        phone = Phone(playwright, Path(name) / "phone", server)
        try:
            return [*_taps(phone, server), _weight()]
        finally:
            phone.close()
            server.kill()


def _taps(phone: Phone, server: Served) -> list[Row]:
    phone.join()
    with server.device("judge") as device:
        day = device.get("/api/day").json()
        for at in range(0, len(notes := _full_class(day)), 500):
            device.post("/api/notes", json={"notes": notes[at : at + 500]}).raise_for_status()
    phone.open_class()
    phone.page.locator("horse-line li").nth(HORSES).wait_for(state="attached")
    phone.expect_saved("At the office")
    slow = phone.context.new_cdp_session(phone.page)
    slow.send("Emulation.setCPUThrottlingRate", {"rate": SLOWED})
    painted = _touch(phone.page)
    phone.expect_saved("At the office")
    marks = sorted(taken for taken, is_next in painted if not is_next)
    steps = sorted(taken for taken, is_next in painted if is_next)
    server.kill()
    starts = []
    for _ in range(COLD_STARTS):
        phone.page.goto("about:blank")
        phone.page.goto(f"{server.address}/")
        phone.page.locator(".trait").first.wait_for()
        starts.append(float(phone.page.evaluate("performance.now()")))
    slowed = f"CPU slowed {SLOWED} times, ms"
    return [
        _row(f"a mark to its frame, 95th percentile of {len(marks)}, {slowed}", _p95(marks), PAINTED_WITHIN_MS),
        _row(f"the next horse to its frame, 95th percentile of {len(steps)}, {slowed}", _p95(steps), PAINTED_WITHIN_MS),
        _row(f"cold start offline to traits, {slowed}", statistics.median(starts), COLD_START_WITHIN_MS),
    ]


def _touch(page: Page) -> list[tuple[float, bool]]:
    page.evaluate(WATCH)
    for touch in range(TOUCHES):
        ends = page.locator(".trait > button")
        is_next = touch % (TRAITS_A_HORSE + 1) == TRAITS_A_HORSE
        box = (page.locator("thumb-bar .next") if is_next else ends.nth(touch % 7)).bounding_box()
        assert box is not None
        page.touchscreen.tap(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
        page.wait_for_function("(count) => painted.length === count", arg=touch + 1)
    painted: list[tuple[float, bool]] = page.evaluate("painted")
    return painted


def _p95(taken: list[float]) -> float:
    return taken[int(0.95 * len(taken))]


def _row(label: str, value: float, bar: float) -> Row:
    return label, value, bar, value <= bar


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


def _weight() -> Row:
    kilobytes = sum(len(each.packed or each.body) for each in read_assets(folder()).values()) / 1000
    return _row("the whole page, compressed, kB", kilobytes, KILOBYTES_AT_MOST)


if __name__ == "__main__":
    for row in main():
        print(row)
