"""How the tests read the shipped standards and the cases gathered from handbooks."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from nearside.engine.shapes import Standard, Trait
from nearside.show.standards import shipped_standard

TESTS = Path(__file__).parents[1]
KEYS = ["draft-type", "hunter-type", "pony-type", "refined-desert-type", "saddle-type", "stock-type"]
ORDINARY = 2


def published(name: str) -> dict[str, Any]:
    cases: dict[str, Any] = json.loads((TESTS / "published" / name).read_text())
    return cases


def traits_of(standard: Standard) -> Iterator[Trait]:
    return (trait for criterion in standard["criteria"] for trait in criterion["traits"])


def trait(key: str, trait_key: str) -> Trait | None:
    return next((each for each in traits_of(shipped_standard(key)) if each["key"] == trait_key), None)


def phrases(of: Trait) -> dict[str, str]:
    said = {"good": of.get("good"), "faulty": of["faulty"], "more": of.get("more")}
    return {end: phrase for end, phrase in said.items() if phrase is not None}


def order_of(key: str) -> list[str]:
    return [criterion["key"] for criterion in shipped_standard(key)["criteria"]]
