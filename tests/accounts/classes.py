"""The classes whose full accounts are kept, by name; the examples, and small ones that show each thing once."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from tests.engine.cases import VIEWS, class_file, marks, note

EXAMPLES = Path(__file__).parents[2] / "examples"


def kept_classes() -> dict[str, Any]:
    """Class files by the name of their account."""
    classes = {path.stem: json.loads(path.read_text()) for path in sorted(EXAMPLES.glob("[0-9]*.json"))}
    three = marks(
        _7={"topline": 2, "bone": 1, "knees": -1},
        _12={"topline": 1, "girth": 2, "head": 2},
        _31={"neck": -1, "gaskin": 3},
    )
    calls = [note("over", f"o{a}{b}", pair=[a, b], winner=a) for a, b in (("7", "12"), ("12", "31"), ("31", "7"))]
    chain = [note("over", f"o{a}{b}", pair=[a, b], winner=a) for a, b in (("31", "12"), ("12", "7"))]
    rules = [
        note("lameness", "l1", number="7", grade=4, card="judge-a"),
        note("lameness", "l2", number="12", grade=3, observer="veterinarian", by="desk"),
        note("lameness", "l3", number="31", grade=3, observer="steward", by="steward-1"),
        note("ruling", "r1", number="45", outcome="last"),
        note("ruling", "r2", number="9", outcome="disqualified", reason="bleeding mouth"),
        note("presence", "p1", number="103", state="absent", by="steward-1"),
    ]
    looks = [note("looked", f"s{n}", number=n, view=view, done=True) for n in ("45", "50", "51") for view in VIEWS[:1]]
    own = note("order", "own", numbers=["31", "7", "12"])
    late = [
        note("entry", "e1", number="T1", identification="grey, no white", now=None, by="steward-1"),
        note("entry", "e2", number="13", identification=None, now="31", reason="misread at the gate", by="steward-1"),
        note("mark", "t1", number="T1", trait="topline", view="profile", degree=3),
        note("mark", "t2", number="13", trait="gaskin", view="rear", degree=-1),
        note("mark", "t3", number="99", trait="neck", view="profile", degree=1),
    ]
    classes["calls-in-a-circle"] = class_file(["7", "12", "31"], [*three, *calls])
    classes["calls-in-a-chain"] = class_file(["7", "12", "31"], [*three, *chain])
    classes["rules-and-the-gate"] = class_file(
        ["7", "12", "31", "45", "9", "103", "50", "51"], [*three, *rules, *looks]
    )
    classes["own-order-against-the-notes"] = class_file(["7", "12", "31"], [*three, own], places=2)
    classes["late-renumbered-and-strange"] = class_file(["7", "12", "31"], [*three, *late])
    return classes
