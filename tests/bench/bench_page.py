"""How soon a touch is answered on a slow phone, how soon a cold page takes marks, and what the page weighs.

First the taps that a scripted horse takes. Then a class of 30 horses with 36 marks each is on the phone; the CPU is
slowed four times by the devtools protocol. The touches are sent to the browser as a finger's are and spaced as a
judge taps: the pauses are drawn around the moment at which the placing is worked out anew, so that touches also fall
into that work. Every fifth goes on to the next horse. How long each took is the browser's own word (W3C Event Timing:
from the touch to the next frame, for the whole interaction), which says nothing of what took less than 16 ms; such
count as 16.
"""

from __future__ import annotations

import json
import random
import re
import statistics
import tempfile
from pathlib import Path
from typing import Any

from playwright.sync_api import sync_playwright

from nearside.web.serve import page_assets
from tests.browser.phone import Phone
from tests.browser.served import Served, open_show
from tests.browser.walking import TAPS_AT_MOST, walk_round

HORSES, VIEWS, MARKS_A_VIEW = 30, ("profile", "front", "rear"), 12
TOUCHES, TOUCHES_A_HORSE, SLOWED, COLD_STARTS = 300, 5, 4, 7
PAUSES_MS = (200.0, 900.0)  # the placing is worked out when the thumb has rested for 300 ms
WORKED_OUT_AT_LEAST = 30
LEAST_TOLD_MS = 16.0
P98_WITHIN_MS, P50_WITHIN_MS, COLD_START_WITHIN_MS = 100.0, 50.0, 1000.0
PAGE_KB_AT_MOST, FIRST_SCRIPT_KB_AT_MOST = 100.0, 48.0

Row = tuple[str, float, float, bool]

# Before the page: how long each interaction took, and how often the placing was worked out in an idle moment.
WATCH = """
window.interactions = new Map();
new PerformanceObserver((list) => {
    for (const { interactionId, duration } of list.getEntries()) {
        if (interactionId) interactions.set(interactionId, Math.max(duration, interactions.get(interactionId) ?? 0));
    }
}).observe({ type: "event", durationThreshold: 16 });
window.workedOut = [];
const idle = window.requestIdleCallback;
window.requestIdleCallback = (work, options) => idle((deadline) => {
    const start = performance.now();
    work(deadline);
    window.workedOut.push(performance.now() - start);
}, options);
window.clicks = 0;
addEventListener("click", () => { clicks += 1; }, { capture: true });
"""
# The middles of the ends in sight, and of the button to the next horse.
PLACES = """() => {
    const middle = (element) => {
        const { x, y, width, height } = element.getBoundingClientRect();
        return [x + width / 2, y + height / 2];
    };
    const lowest = document.querySelector("thumb-bar").getBoundingClientRect().top;
    const ends = [...document.querySelectorAll(".trait > :is(.faulty, .good)")].map(middle);
    return [...ends.filter(([, y]) => y < lowest - 10), middle(document.querySelector("thumb-bar .next"))];
}"""


def main() -> list[Row]:
    """The taps of a horse, the touches' percentiles, the median of the cold starts, and two sizes."""
    with tempfile.TemporaryDirectory() as name, sync_playwright() as playwright:
        data = Path(name) / "data"
        server = Served(data, open_show(data))
        phone = Phone(playwright, Path(name) / "phone", server)
        try:
            phone.before_the_page(WATCH)
            phone.join()
            return [_horse(phone), *_touches(phone, server), _cold_start(phone, server), *_weight()]
        finally:
            phone.close()
            server.kill()


def _horse(phone: Phone) -> Row:
    """One horse of a small class, from all sides, with six marks; nothing may need a scroll."""
    phone.open_class(view=None)
    return _row("a horse with six marks and all its views: taps", walk_round(phone), TAPS_AT_MOST)


def _touches(phone: Phone, server: Served, seed: int = 1) -> list[Row]:
    draw = random.Random(seed)
    with server.device("judge") as device:
        day = device.get("/api/day").json()
        notes = _full_class(day)
        for at in range(0, len(notes), 500):
            device.post("/api/notes", json={"notes": notes[at : at + 500]}).raise_for_status()
    phone.page.get_by_role("button", name="All classes").tap()
    phone.open_class()
    phone.page.locator("horse-line li").nth(HORSES).wait_for(state="attached")
    phone.horse("500").tap()
    phone.expect_horse("500")
    phone.slow(SLOWED)
    phone.page.wait_for_timeout(1000)  # what came before is told by then
    phone.page.evaluate("interactions.clear(); workedOut.length = clicks = 0")
    for touch in range(TOUCHES):
        *ends, following = phone.page.evaluate(PLACES)
        is_next = touch % TOUCHES_A_HORSE == TOUCHES_A_HORSE - 1
        phone.page.touchscreen.tap(*(following if is_next else ends[touch % len(ends)]))
        phone.page.wait_for_timeout(draw.uniform(*PAUSES_MS))
    assert phone.page.evaluate("clicks") == TOUCHES
    told: list[float] = phone.page.evaluate("[...interactions.values()]")
    worked_out: list[float] = phone.page.evaluate("workedOut")
    assert len(worked_out) >= WORKED_OUT_AT_LEAST, f"the placing was worked out {len(worked_out)} times only"
    assert 0 < len(told) <= TOUCHES, f"{len(told)} interactions told of {TOUCHES} touches"
    taken = sorted([*told, *[LEAST_TOLD_MS] * (TOUCHES - len(told))])
    meanwhile = f"{len(worked_out)} placings of {statistics.median(worked_out):.0f} ms meanwhile"
    return [
        _row(
            f"touch to next frame, {share}th percentile of {TOUCHES}, CPU slowed {SLOWED} times, {meanwhile}: ms",
            ms,
            bar,
        )
        for share, ms, bar in [
            (98, taken[int(0.98 * TOUCHES)], P98_WITHIN_MS),
            (50, taken[TOUCHES // 2], P50_WITHIN_MS),
        ]
    ]


def _cold_start(phone: Phone, server: Served) -> Row:
    """The server gone and the browser opened anew: from the start of loading until an end of a trait is painted."""
    phone.expect_saved("At the office")
    server.kill()
    starts = []
    for _ in range(COLD_STARTS):
        phone.close()
        phone.cold_start(times_slower=SLOWED)
        phone.page.locator(".trait > :is(.faulty, .good)").first.wait_for()
        starts.append(
            float(phone.page.evaluate("new Promise((done) => requestAnimationFrame(() => done(performance.now())))"))
        )
    label = f"cold start offline to the first mark possible, CPU slowed {SLOWED} times, median of {COLD_STARTS}: ms"
    return _row(label, statistics.median(starts), COLD_START_WITHIN_MS)


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
    assets = page_assets()
    held = json.loads(re.findall(rb"\{.*?\}", assets["/sw.js"].body)[0])["assets"]
    whole = sum(assets[each].travels for each in [*held, "/sw.js"]) / 1000
    return [
        _row("the whole page, compressed: kB", whole, PAGE_KB_AT_MOST),
        _row("its script to begin with, compressed: kB", assets["/main.js"].travels / 1000, FIRST_SCRIPT_KB_AT_MOST),
    ]


def _row(label: str, value: float, bar: float) -> Row:
    return label, value, bar, value <= bar


if __name__ == "__main__":
    for name, value, bar, is_met in main():
        print(f"{'met ' if is_met else 'MISS'}  {value:8.2f}  bar {bar:g}  {name}")
