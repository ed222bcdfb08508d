"""A placing scored by cuts, as it is typed: orders and cuts with a dash between, `3-2-1-4` and `2-8-2`."""

from __future__ import annotations

import re

from nearside.engine.cuts import HORSES, WHOLE, CutsRefused, Score, check_cuts, score_of
from nearside.show.strict_json import Refused, shown

_NUMBER = re.compile(r"[0-9A-Z]{1,6}")
_CUT = re.compile(r"[0-9]{1,3}")


def read_score(official: str, cuts: str, placing: str | None) -> Score:
    """The score of a typed placing; no placing given scores 0 (common practice of contests).

    Raises: Refused with what is wrong where.
    """
    order = _order(official, "--official")
    read = _cuts(cuts)
    if not placing:
        return {"score": 0, "lost": WHOLE, "pairs": []}
    placed = _order(placing, "--placing")
    for number in placed:
        if number not in order:
            raise Refused("--placing", f"{shown(number)} is not among the official four, {'-'.join(order)}")
    return score_of(order, read, placed)


def score_account(score: Score) -> str:
    """The score for a person to read, with what was lost where."""
    lines = [f"{score['score']} of {WHOLE}{'' if score['pairs'] else ': no placing was given'}\n"]
    lines += [
        f"  {pair['upper']} over {pair['lower']}: lost {pair['lost']}\n" for pair in score["pairs"] if pair["lost"]
    ]
    return "".join(lines)


def _order(text: str, where: str) -> list[str]:
    numbers = text.split("-")
    if len(numbers) != HORSES:
        raise Refused(where, f"needs four numbers with a dash between, like 3-2-1-4; this is {shown(text)}")
    for place, number in enumerate(numbers):
        if not _NUMBER.fullmatch(number):
            raise Refused(where, f"{shown(number)} is no number: 1 to 6 of 0-9 and A-Z")
        if number in numbers[:place]:
            raise Refused(where, f"{shown(number)} is named twice")
    return numbers


def _cuts(text: str) -> list[int]:
    parts = text.split("-")
    if not all(_CUT.fullmatch(part) for part in parts):
        raise Refused("--cuts", f"needs three whole numbers with a dash between, like 2-5-3; this is {shown(text)}")
    cuts = [int(part) for part in parts]
    try:
        check_cuts(cuts)
    except CutsRefused as error:
        raise Refused("--cuts", str(error)) from None
    return cuts
