"""The placing of a class from one card's notes, with what decides every pair.

The order of work: merge the notes; see how each horse stands; order those placed by their marks by key, called winners
raised; below them those last by rule; compare every pair; then what is even, which look would settle a close pair, and
where the judge's own order goes against the notes. The engine suggests; the judge decides.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise
from operator import sub
from typing import Any, NamedTuple

from .calls import Calls, called_order, chain, sorted_calls
from .looking import look_again
from .merging import merge
from .numbers import NaturalKey, in_natural_order, natural_key
from .reasons import Comparison, sentence
from .shapes import DEFAULT_LAMENESS, Basis, ClassFile, Placing, Standard, TraitDifference
from .sheets import CardFacts, Scheme, Sheet, card_facts, scheme_of, sheets_of
from .standing import BY_MARKS, LAST, Stands, asks_again, standing_call, stands
from .steps import Changes, fall, rise
from .weighing import share_of_weighings

FORMAT = "nearside-placing/1"


class Ring(NamedTuple):
    """A class as it is compared: the scheme, and for each number how it stands and what its marks come to."""

    scheme: Scheme
    facts: CardFacts
    standing: dict[str, Stands]
    sheets: Mapping[str, Sheet]
    calls: Calls
    words: Mapping[str, Any]


class Compared(NamedTuple):
    """A pair with its figures: D_c by criterion, and the pair as it is given out."""

    differences: list[int]
    pair: dict[str, Any]


def place(class_file: ClassFile, standard: Standard, words: Mapping[str, Any]) -> Placing:
    """The suggested placing of a class.

    Arguments: a checked class file; its checked standard; the sentence patterns.
    Returns: a `nearside-placing/1`. Pairs in placing order; every other list in the order its place demands.
    """
    show_class, card = class_file["class"], class_file["card"]
    merged = merge(class_file["entries"], class_file["notes"], card)
    facts = card_facts(merged)
    lameness = show_class.get("lameness") or DEFAULT_LAMENESS
    numbers = in_natural_order(entry["number"] for entry in merged["entries"])
    scheme = scheme_of(standard, show_class["sexes"])
    standing = {number: stands(facts, number, lameness) for number in numbers}
    sheets = sheets_of([number for number in numbers if standing[number].tier is not None], facts, scheme)

    by_marks = sorted(
        (number for number in sheets if standing[number].tier == BY_MARKS),
        key=lambda number: _key(sheets[number]),
    )
    last = sorted(
        (number for number in sheets if standing[number].tier == LAST),
        key=lambda number: (standing_call(facts, number)[0] or 0, _key(sheets[number])),
    )
    calls = sorted_calls(facts.calls, by_marks)
    order = called_order(by_marks, calls) + last

    ring = Ring(scheme, facts, standing, sheets, calls, words)
    changes = {number: Changes(scheme, sheets[number]) for number in order}
    compared = _compared_pairs(ring, order, changes)
    adjacent = [each for each in compared if each.pair["adjacent"]]
    asks = {number: asks_again(facts, number, lameness) for number in numbers}
    own = None if facts.order is None else list(facts.order)
    return {
        "format": FORMAT,
        "class": show_class["id"],
        "card": card,
        "placing": order,
        "last_by_rule": last,
        "unplaced": [
            {"number": number, "standing": standing[number].standing, "reason": standing[number].reason}
            for number in numbers
            if standing[number].tier is None
        ],
        "totals": [_figures(scheme, sheets[number]) for number in order],
        "scale": scheme.scale,
        "pairs": [each.pair for each in compared],
        "even": _even_runs(adjacent),
        "circles": calls.circles,
        "calls_set_aside": [{"winner": winner, "loser": loser} for winner, loser in calls.set_aside],
        "asks": [{"number": number, "grade": grade} for number, grade in asks.items() if grade is not None],
        "conflicts": [number for number in numbers if standing[number].is_conflict],
        "strangers": in_natural_order(facts.noted.difference(numbers)),
        "unseen": _unseen(scheme, [sheets[number] for number in order]),
        "disputes": merged["disputes"],
        "look_again": look_again(
            scheme,
            sheets,
            changes,
            [
                (each.pair["upper"], each.pair["lower"], each.pair["margin"])
                for each in adjacent
                if each.pair["basis"] in ("notes", "even")
            ],
        ),
        "own": own,
        "against": [] if own is None else _against(ring, own),
    }


def _key(sheet: Sheet) -> tuple[int, list[int], NaturalKey]:
    """(-T, -S_1, ..., -S_n, number in natural order): the smaller stands higher."""
    return -sheet.total, [-score for score in sheet.scores], natural_key(sheet.number)


def _compared_pairs(ring: Ring, order: Sequence[str], changes: Mapping[str, Changes]) -> list[Compared]:
    """Every pair of the placing, 1-2, 1-3, ..., 2-3, ...: the hot path, thirty horses make 435 of them."""
    scheme = ring.scheme
    sheets = [ring.sheets[number] for number in order]
    falls = [fall(scheme, each, changes[each.number]) for each in sheets]
    rises = [rise(scheme, each, changes[each.number]) for each in sheets]
    criteria = [criterion["key"] for criterion in scheme.standard["criteria"]]
    rows = _Rows(scheme)
    nets = [
        [weight * (g - f) for weight, g, f in zip(rows.weights, each.good, each.faulty, strict=True)] for each in sheets
    ]
    compared: list[Compared] = []
    for i, upper in enumerate(sheets):
        for j in range(i + 1, len(sheets)):
            lower = sheets[j]
            differences = list(map(sub, upper.scores, lower.scores))
            margin = upper.total - lower.total
            basis, calls = _basis(ring, upper.number, lower.number, margin)
            above, below = _by_trait(nets[i], nets[j], rows)
            one_step = basis in ("notes", "even") and margin <= max(rises[j], falls[i])
            pair = {
                "upper": upper.number,
                "lower": lower.number,
                "adjacent": j == i + 1,
                "basis": basis,
                "chain": calls,
                "margin": margin,
                "share": share_of_weighings(differences),
                "decided_by": _decided_by(basis, differences, scheme.weights, criteria),
                "for": above,
                "grants": below,
                "one_step": one_step,
            }
            pair["sentence"] = sentence(_comparison(ring, pair, any(differences)), scheme, ring.words)
            compared.append(Compared(differences, pair))
    return compared


def _basis(ring: Ring, upper: str, lower: str, margin: int) -> tuple[Basis, list[str] | None]:
    """What a pair rests on, with the chain of calls where it rests on calls."""
    tier = ring.standing[upper].tier
    if tier != ring.standing[lower].tier:
        return "rule", None
    if tier == LAST:
        grades = [standing_call(ring.facts, number)[0] or 0 for number in (upper, lower)]
        if grades[0] != grades[1]:
            return "rule", None
    calls = chain(ring.calls, upper, lower) if upper in ring.calls.below else None
    if calls is not None:
        return "call", calls
    if margin > 0:
        return "notes", None
    return ("even" if margin == 0 else "carried"), None


class _Rows:
    """The rows of `for` and `grants`, each made once and shared by all pairs that hold it."""

    def __init__(self, scheme: Scheme) -> None:
        criteria = scheme.standard["criteria"]
        self._names = [
            (criteria[criterion]["key"], trait["key"])
            for criterion, trait in zip(scheme.criterion_of, scheme.traits, strict=True)
        ]
        self.weights = [scheme.weights[criterion] for criterion in scheme.criterion_of]
        self._made: dict[tuple[int, int], TraitDifference] = {}

    def of(self, place: int, weighed: int) -> TraitDifference:
        """The row of a trait, from W_c x difference."""
        row = self._made.get((place, weighed))
        if row is None:
            criterion, trait = self._names[place]
            difference = weighed // self.weights[place]
            row = self._made[place, weighed] = {"criterion": criterion, "trait": trait, "difference": difference}
        return row


def _by_trait(
    upper: Sequence[int], lower: Sequence[int], rows: _Rows
) -> tuple[list[TraitDifference], list[TraitDifference]]:
    """What the marks themselves say, before any discount: for the upper horse, and granted to the lower.

    Arguments: W_c x net of each trait, for both horses.
    Returns: by W_c x difference, the largest for each side first, equals in the standard's order.
    """
    weighed = list(map(sub, upper, lower))
    above = [place for place, difference in enumerate(weighed) if difference > 0]
    below = [place for place, difference in enumerate(weighed) if difference < 0]
    above.sort(key=weighed.__getitem__, reverse=True)
    below.sort(key=weighed.__getitem__)
    return [rows.of(place, weighed[place]) for place in above], [rows.of(place, weighed[place]) for place in below]


def _decided_by(
    basis: Basis, differences: Sequence[int], weights: Sequence[int], criteria: Sequence[str]
) -> str | None:
    """The criterion with the largest W_c x D_c, the earlier of equals; for an even pair the first that differs."""
    if basis == "notes":
        weighed = [weight * difference for weight, difference in zip(weights, differences, strict=True)]
        return criteria[weighed.index(max(weighed))]
    if basis == "even":
        return next((key for key, difference in zip(criteria, differences, strict=True) if difference), None)
    return None


def _comparison(ring: Ring, pair: dict[str, Any], differs: bool) -> Comparison:
    upper, lower = pair["upper"], pair["lower"]
    above, below = ring.sheets[upper].seen, ring.sheets[lower].seen
    stand = ring.standing[lower]
    grade, by_veterinarian = standing_call(ring.facts, lower)
    return Comparison(
        pair=pair,
        differs=differs,
        same_tier=ring.standing[upper].tier == stand.tier,
        last_by_call=stand.by == "call",
        grade=grade or 0,
        by_veterinarian=by_veterinarian,
        only_upper_seen=[] if above == below else [view for view in above if view not in below],
        only_lower_seen=[] if above == below else [view for view in below if view not in above],
    )


def _figures(scheme: Scheme, sheet: Sheet) -> dict[str, Any]:
    criteria = [
        {"criterion": criterion["key"], "score": score}
        for criterion, score in zip(scheme.standard["criteria"], sheet.scores, strict=True)
    ]
    return {"number": sheet.number, "total": sheet.total, "criteria": criteria}


def _even_runs(adjacent: Sequence[Compared]) -> list[list[str]]:
    """Maximal runs of adjacent horses that nothing separates: even, and level in every criterion."""
    runs: list[list[str]] = []
    is_open = False
    for each in adjacent:
        if each.pair["basis"] == "even" and not any(each.differences):
            if is_open:
                runs[-1].append(each.pair["lower"])
            else:
                runs.append([each.pair["upper"], each.pair["lower"]])
            is_open = True
        else:
            is_open = False
    return runs


def _unseen(scheme: Scheme, sheets: Sequence[Sheet]) -> list[dict[str, Any]]:
    unseen = []
    for sheet in sheets:
        views = [view for view in scheme.standard["views"] if view not in sheet.seen]
        if views:
            unseen.append({"number": sheet.number, "views": views})
    return unseen


def _against(ring: Ring, own: Sequence[str]) -> list[dict[str, Any]]:
    """The adjacent pairs of the judge's own order, both placed by their marks, that go against the notes."""
    against = []
    for upper, lower in pairwise(own):
        stands_by_marks = all(
            number in ring.standing and ring.standing[number].tier == BY_MARKS for number in (upper, lower)
        )
        if stands_by_marks:
            margin = ring.sheets[upper].total - ring.sheets[lower].total
            if margin < 0:
                against.append({"upper": upper, "lower": lower, "margin": margin})
    return against
