"""A panel file: what is refused where, and the result as it is read."""

from __future__ import annotations

from typing import Any

import pytest

from nearside.engine.panel import METHODS
from nearside.show.panelfile import METHOD_WORDS, RULES, checked_panel, result_account, result_of
from nearside.show.strict_json import Refused

PANEL: dict[str, Any] = {
    "format": "nearside-panel/1",
    "method": "majority",
    "call_judges": ["b"],
    "cards": [
        {"judge": "a", "placing": ["12", "7", "31"]},
        {"judge": "b", "placing": ["7", "12", "31"]},
        {"judge": "c", "placing": ["12", "31"]},
    ],
}


def test_the_result_names_its_method_and_is_told_line_by_line() -> None:
    answer = result_of(checked_panel(PANEL))
    assert answer == {
        "format": "nearside-panel-result/1",
        "method": "majority",
        "call_judges": ["b"],
        "result": [
            {"place": 1, "numbers": ["12"]},
            {"place": 2, "numbers": ["7"]},
            {"place": 3, "numbers": ["31"]},
        ],
    }
    assert result_account(answer) == f"Majority placing\n\n  1  12\n  2  7\n  3  31\n\n{RULES}\n"
    by_points = result_account(result_of(checked_panel(PANEL), "points"))
    assert by_points.startswith("Points, 10 for a first; ties by the order of b\n\n  1  12\n  2  31\n  3  7\n\n")
    apart = result_account(result_of(checked_panel({**PANEL, "method": "separate"})))
    assert apart.startswith("Separate cards: each is its own result.\n\na\n  1  12\n")
    no_call = checked_panel({**PANEL, "method": "points", "call_judges": None, "cards": PANEL["cards"][:2]})
    assert result_account(result_of(no_call)).startswith("Points, 10 for a first\n\n  1  7, 12  tied\n  3  31\n\n")


def test_every_method_has_its_words() -> None:
    assert {*METHOD_WORDS, "separate"} == set(METHODS)


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"format": "nearside-class/1"}, 'format: must be "nearside-panel/1"'),
        ({"method": "best of three"}, "method"),
        ({"more": 1}, "more"),
        ({"cards": []}, "cards"),
        ({"cards": [{"judge": "a", "placing": ["12", "12"]}]}, 'cards[0].placing[1]: "12" is named twice'),
        ({"cards": [{"judge": "a", "placing": ["12b"]}]}, "cards[0].placing[0]"),
        ({"cards": [{"judge": "a", "placing": []}] * 2}, 'cards[1].judge: "a" has a card already'),
        ({"call_judges": ["x"]}, 'call_judges[0]: "x" has no card: there are a, b, c'),
        ({"call_judges": ["a", "a"]}, 'call_judges[1]: "a" is named twice'),
    ],
)
def test_what_cannot_be_used_is_refused_with_its_place(change: dict[str, Any], says: str) -> None:
    with pytest.raises(Refused) as refusal:
        checked_panel({**PANEL, **change})
    assert says in str(refusal.value)


def test_an_even_number_of_judges_has_no_majority() -> None:
    panel = checked_panel({**PANEL, "cards": PANEL["cards"][:2]})
    with pytest.raises(Refused, match="cards: a majority takes an odd number of judges; these are 2"):
        result_of(panel)
    with pytest.raises(Refused, match="--method"):
        result_of(panel, "dropped_points")
