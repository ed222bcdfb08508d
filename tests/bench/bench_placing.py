"""How long the placing of a full class takes: 30 horses, 40 marks each over 45 traits, all 435 pairs in words."""

from __future__ import annotations

import random
import statistics
import time
from typing import Any

from nearside.engine.placing import place
from nearside.show.classfile import checked_class_file
from nearside.show.standards import words

HORSES, MARKS, TRAITS = 30, 40, 45
ROUNDS = 15
BAR_MS = 30.0

Row = tuple[str, float, float, bool]


def full_class(seed: int = 1) -> dict[str, Any]:
    """A class file of the largest class expected, drawn from a seed."""
    draw = random.Random(seed)
    views = ["profile", "front", "rear", "head", "walk", "trot"]
    criteria: list[dict[str, Any]] = [
        {"key": key, "title": key.title(), "traits": []} for key in ("balance", "structure", "quality", "muscling")
    ]
    traits: list[dict[str, Any]] = []
    for i in range(TRAITS):
        trait: dict[str, Any] = {
            "key": f"t{i}",
            "title": f"Trait {i}",
            "views": draw.sample(views, 2 if i % 4 == 0 else 1),
            "weight": draw.choice([1, 2, 2, 2, 3, 4]),
            "faulty": f"poor part {i}",
        }
        if i % 3:
            trait |= {"good": f"fine part {i}", "more": f"finer in part {i}"}
        criteria[i % 4]["traits"].append(trait)
        traits.append(trait)
    notes: list[dict[str, Any]] = []
    numbers = [str(100 + i) for i in range(HORSES)]
    for number in numbers:
        for trait in draw.sample(traits, MARKS):
            degree = draw.choice([-3, -2, -1, 1, 2, 3] if "good" in trait else [-3, -2, -1])
            notes.append(
                {
                    "id": f"{number}-{trait['key']}",
                    "kind": "mark",
                    "card": "judge-a",
                    "by": "judge-a",
                    "at": 1,
                    "replaces": [],
                    "number": number,
                    "trait": trait["key"],
                    "view": trait["views"][0],
                    "degree": degree,
                }
            )
    return {
        "format": "nearside-class/1",
        "class": {
            "id": "full",
            "title": "A full class",
            "standard": {
                "format": "nearside-standard/1",
                "key": "bench",
                "title": "Bench",
                "views": views,
                "criteria": criteria,
            },
            "sexes": ["mare"],
            "ages": ["aged"],
            "places": 10,
        },
        "entries": [{"number": number} for number in numbers],
        "card": "judge-a",
        "notes": notes,
    }


def main() -> list[Row]:
    """The median over the rounds, in milliseconds of one core."""
    class_file, standard = checked_class_file(full_class())
    patterns = words()
    taken = []
    for _ in range(ROUNDS):
        start = time.process_time()
        placing = place(class_file, standard, patterns)
        taken.append((time.process_time() - start) * 1000)
    assert len(placing["pairs"]) == HORSES * (HORSES - 1) // 2
    median = statistics.median(taken)
    return [
        (
            "placing of 30 horses, 40 marks each, 435 pairs with reasons: ms on one core",
            median,
            BAR_MS,
            median <= BAR_MS,
        )
    ]


if __name__ == "__main__":
    for name, value, bar, is_met in main():
        print(f"{'met ' if is_met else 'MISS'}  {value:8.2f}  bar {bar:g}  {name}")
