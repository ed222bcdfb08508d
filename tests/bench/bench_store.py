"""What a durable note costs as a show's log grows: at 100,000 notes stored over at 1,000.

Two logs, side by side on the same disk, take turns in short rounds, so that whatever else the machine does meets
both. Each figure is the median over the rounds of the time of a round; the bar is on their ratio.
"""

import statistics
import tempfile
import time
from pathlib import Path

from nearside.store.notes import TinyNoteStore
from nearside.store.protocol import Note

Result = tuple[str, float, float, bool]  # name, value, bar, whether the value is within it

ROUNDS = 60
NOTES_A_ROUND = 10
MOST_RATIO = 1.25


def main() -> list[Result]:
    """Measure and return the figures; each is below its bar or not."""
    with tempfile.TemporaryDirectory(prefix="nearside-bench-") as folder:
        few, many = _filled(Path(folder) / "few", 1_000), _filled(Path(folder) / "many", 100_000)
        times: dict[TinyNoteStore, list[float]] = {few: [], many: []}
        for number in range(ROUNDS):
            for store in (few, many) if number % 2 else (many, few):
                times[store].append(_round(store))
        few.close()
        many.close()
    ratio = statistics.median(times[many]) / statistics.median(times[few])
    return [("a durable note at 100,000 stored over one at 1,000", ratio, MOST_RATIO, ratio <= MOST_RATIO)]


def note(number: int) -> Note:
    """A mark as a phone sends it."""
    return {
        "id": f"01JDEMO{number:019d}",
        "class": f"c{number % 14}",
        "kind": "mark",
        "card": "judge-a",
        "by": "judge-a",
        "at": 1_764_061_200_000 + number,
        "replaces": [],
        "number": str(number % 90),
        "trait": "topline",
        "view": "profile",
        "degree": number % 3 + 1,
    }


def _filled(path: Path, size: int) -> TinyNoteStore:
    store = TinyNoteStore(path)
    for start in range(0, size, 500):
        store.append([note(number) for number in range(start, start + 500)])
    return store


def _round(store: TinyNoteStore) -> float:
    first = store.head() + 1_000_000
    start = time.perf_counter()
    for number in range(first, first + NOTES_A_ROUND):
        store.append([note(number)])
    return time.perf_counter() - start


if __name__ == "__main__":
    for name, value, bar, is_within in main():
        print(f"{name}: {value:.3f} (bar {bar}) {'ok' if is_within else 'MISSED'}")
