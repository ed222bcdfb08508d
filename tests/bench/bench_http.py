"""Notes per second through HTTP, against Starlette and SQLite doing less; and how soon a full log is served.

Both servers run for the whole time and take turns in short rounds under the same load; each figure is the median over
the rounds of the ratio within one, so that whatever else the machine does meets both. The start is timed from making
the process to the first whole answer of `GET /api/notes`.
"""

import asyncio
import json
import statistics
import sys
import tempfile
import time
from pathlib import Path

import httpx

from nearside.store.notes import TinyNoteStore
from tests.bench.bench_store import Result
from tests.bench.load import mark
from tests.crash.server import Served, open_show

BATCHES = {1: 800, 20: 320, 200: 64}  # notes in a request: requests in a round
ROUNDS = 15
LEAST_RATIO = 0.8
STORED_AT_START = 36_000
STARTS = 5
MOST_START_S = 1.5


def main() -> list[Result]:
    """Measure and return the figures; throughput has to be above its bar, the start below."""
    with tempfile.TemporaryDirectory(prefix="nearside-bench-") as folder:
        return asyncio.run(_measured(Path(folder)))


async def _measured(folder: Path) -> list[Result]:
    return [*await _throughput(folder / "throughput"), await _start(folder / "start")]


async def _throughput(folder: Path) -> list[Result]:
    codes = open_show(folder)
    ours = await Served.start(folder)
    baseline = await Served.run("tests.bench.baseline", str(folder / "baseline.sqlite"))
    load = await asyncio.create_subprocess_exec(
        sys.executable, "-m", "tests.bench.load", stdin=asyncio.subprocess.PIPE, stdout=asyncio.subprocess.PIPE
    )
    try:
        cookie, card = await _joined(ours.address, codes["judge"])
        results = []
        for batch, requests in BATCHES.items():
            seconds: dict[Served, list[float]] = {ours: [], baseline: []}
            for number in range(-1, ROUNDS):  # the first round warms up and does not count
                for served in (ours, baseline) if number % 2 else (baseline, ours):
                    order = {"address": served.address, "cookie": cookie, "card": card}
                    taken = await _loaded(load, {**order, "batch": batch, "requests": requests})
                    if number >= 0:
                        seconds[served].append(taken)
            rates = [batch * requests / statistics.median(seconds[served]) for served in (ours, baseline)]
            ratio = statistics.median(b / a for a, b in zip(seconds[ours], seconds[baseline], strict=True))
            name = f"notes a second, {batch} a request: {rates[0]:.0f} over the baseline's {rates[1]:.0f}"
            results.append((name, ratio, LEAST_RATIO, ratio >= LEAST_RATIO))
        return results
    finally:
        load.kill()
        await load.wait()
        await ours.kill()
        await baseline.kill()


async def _loaded(load: asyncio.subprocess.Process, order: dict[str, object]) -> float:
    assert load.stdin is not None
    assert load.stdout is not None
    load.stdin.write(json.dumps(order).encode() + b"\n")
    line = await load.stdout.readline()
    assert line, "the load gave up; see its error above"
    return float(line)


async def _joined(address: str, code: str) -> tuple[str, str]:
    """The cookie of a device on a seat, and the card it writes on."""
    async with httpx.AsyncClient(base_url=address) as client:
        answer = await client.post("/api/join", json={"code": code})
        answer.raise_for_status()
        cookie = "; ".join(f"{name}={value}" for name, value in client.cookies.items())
        return cookie, answer.json()["seat"]["card"]


async def _start(folder: Path) -> Result:
    codes = open_show(folder)
    served = await Served.start(folder)
    cookie, card = await _joined(served.address, codes["judge"])
    await served.kill()
    _fill(next(folder.rglob("*.notes")), card)
    times = []
    async with httpx.AsyncClient() as client:
        for _ in range(STARTS):
            start = time.perf_counter()
            served = await Served.start(folder)
            answer = await client.get(f"{served.address}/api/notes", headers={"Cookie": cookie})
            times.append(time.perf_counter() - start)
            await served.kill()
            assert len(answer.json()["notes"]) == 500
    taken = statistics.median(times)
    name = f"seconds from start to first answer with {STORED_AT_START} notes stored"
    return name, taken, MOST_START_S, taken <= MOST_START_S


def _fill(path: Path, card: str) -> None:
    store = TinyNoteStore(path)
    for first in range(0, STORED_AT_START, 20):
        store.append([{**mark(number, card), "by": card} for number in range(first, first + 20)])
    store.close()


if __name__ == "__main__":
    for name, value, bar, is_within in main():
        print(f"{name}: {value:.3f} (bar {bar}) {'ok' if is_within else 'MISSED'}")
