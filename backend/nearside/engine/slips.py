"""The slip an exhibitor may have: what the judge's card holds for and against one horse, and where others were better.

Said along the signed order, in the words of the standard: the horse's own good marks, strongest first; two faults at
most; then by which criteria horses placed above had the better of it. No other horse is named or can be told from it,
and nothing is said of remarks, calls and rulings. Where the judge placed against the notes, or a rule placed the horse,
nothing is said of those above: the slip never argues with the signature, nor does it say by its wording that it might.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, TypedDict

from .merging import merge
from .reasons import fill, spoken
from .shapes import DEFAULT_LAMENESS, ClassFile, Standard
from .sheets import Scheme, Sheet, card_facts, scheme_of, sheets_of
from .standing import BY_MARKS, stands

FAULTS_TOLD = 2
CRITERIA_TOLD = 2


class Slip(TypedDict):
    """One horse's slip: its place in the order, what is told, and the same as sentences."""

    number: str
    place: int
    goods: list[str]
    faults: list[str]
    better: list[str]
    """Titles of criteria."""
    text: list[str]


def slips(class_file: ClassFile, standard: Standard, words: Mapping[str, Any], order: Sequence[str]) -> list[Slip]:
    """A slip for every horse of the order.

    Of a horse's marks, those of one end are sorted by W_c x weight x count, the largest first, equals in the standard's
    order. A criterion is told where it decides for a horse above: the one with the largest W_c x D_c where the notes
    have that horse ahead, the first that differs where they are level and it speaks for that horse. Of several those
    that decide for most of the horses above, equals in the standard's order.

    Arguments: `order`, the signed one, best first, read through the entries.
    Returns: in that order. A horse the card says nothing of has an empty slip.
    """
    facts = card_facts(merge(class_file["entries"], class_file["notes"], class_file["card"]))
    scheme = scheme_of(standard, class_file["class"]["sexes"])
    sheets = sheets_of(order, facts, scheme)
    lameness = class_file["class"].get("lameness") or DEFAULT_LAMENESS
    by_marks = {number for number in order if stands(facts, number, lameness).tier == BY_MARKS}
    made: list[Slip] = []
    for place, number in enumerate(order, start=1):
        sheet = sheets[number]
        above = [sheets[other] for other in order[: place - 1] if {number, other} <= by_marks]
        goods = [str(scheme.traits[trait].get("good")) for trait in _strongest(sheet.good, scheme)]
        faults = [scheme.traits[trait]["faulty"] for trait in _strongest(sheet.faulty, scheme)[:FAULTS_TOLD]]
        better = [standard["criteria"][criterion]["title"] for criterion in _better(sheet, above, scheme)]
        text = _told(goods, faults, better, place, words["slip"])
        made.append(
            {"number": number, "place": place, "goods": goods, "faults": faults, "better": better, "text": text}
        )
    return made


def _strongest(strengths: Sequence[int], scheme: Scheme) -> list[int]:
    """The places of the traits with a strength at this end."""
    weighed = [scheme.weights[criterion] * strengths[place] for place, criterion in enumerate(scheme.criterion_of)]
    return sorted((place for place, each in enumerate(weighed) if each > 0), key=lambda place: -weighed[place])


def _better(sheet: Sheet, above: Sequence[Sheet], scheme: Scheme) -> list[int]:
    """The criteria, by their places, that decide for most of the horses above."""
    times = [0] * len(scheme.weights)
    for other in above:
        weighed = [
            weight * (theirs - own)
            for weight, theirs, own in zip(scheme.weights, other.scores, sheet.scores, strict=True)
        ]
        margin = sum(weighed)
        if margin > 0:
            times[weighed.index(max(weighed))] += 1
        elif margin == 0:
            first = next((place for place, each in enumerate(weighed) if each), None)
            if first is not None and weighed[first] > 0:
                times[first] += 1
    told = [place for place, count in enumerate(times) if count]
    return sorted(told, key=lambda place: -times[place])[:CRITERIA_TOLD]


def _told(
    goods: Sequence[str], faults: Sequence[str], better: Sequence[str], place: int, patterns: Mapping[str, str]
) -> list[str]:
    between = patterns["between"]
    parts = [("goods", goods), ("faults", faults)]
    parts.append(("better_one" if place == 2 else "better", [spoken(title) for title in better]))
    return [fill(patterns[part], {"list": between.join(phrases)}) for part, phrases in parts if phrases]
