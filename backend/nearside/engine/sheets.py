"""A horse's sheet: everything one card says of it, and the figures that follow from its marks.

`card_facts` reads the merged slots once and sorts what stands by horse; `sheet_of` turns a horse's marks into the
figures every comparison rests on, so that nothing is worked out twice for the 435 pairs of thirty horses.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from operator import mul, sub

from .merging import is_empty
from .shapes import Merged, Note, Standard, Trait
from .standard import judged_traits
from .weighing import impression, order_weights, plainest, weighing_scale

Degrees = dict[str, dict[str, int]]
"""trait -> view -> degree, of one horse."""


@dataclass(slots=True)
class CardFacts:
    """What stands on one card and at the gate, by number; only slots that hold a value."""

    degrees: dict[str, Degrees] = field(default_factory=dict)
    looked: dict[str, set[str]] = field(default_factory=dict)
    rulings: dict[str, Note] = field(default_factory=dict)
    own_grade: dict[str, int] = field(default_factory=dict)
    veterinarian_grade: dict[str, int] = field(default_factory=dict)
    steward_grade: dict[str, int] = field(default_factory=dict)
    absent: set[str] = field(default_factory=set)
    calls: list[tuple[str, str]] = field(default_factory=list)
    called: set[str] = field(default_factory=set)
    order: list[str] | None = None
    noted: set[str] = field(default_factory=set)

    def says_something_of(self, number: str) -> bool:
        """Whether the card says anything of a horse; remarks, order and signature do not."""
        return (
            number in self.degrees
            or number in self.looked
            or number in self.called
            or number in self.rulings
            or number in self.own_grade
        )


@dataclass(frozen=True, slots=True)
class Scheme:
    """A standard as one class is judged by it: its judged traits, numbered, and the weights of its criteria.

    `ends_of` gives the good and the faulty end of a single degree, 0 standing for none.
    """

    standard: Standard
    traits: list[Trait]
    trait_weights: list[int]
    ends_of: dict[int, tuple[int, int]]
    criterion_of: list[int]
    place_of: dict[str, int]
    weights: list[int]
    scale: int


@dataclass(frozen=True, slots=True)
class Sheet:
    """A horse's figures. Lists run over the judged traits, or over the criteria where they say so.

    `good` and `faulty` are weight x count; `good_ends`, `faulty_ends` the same by criterion, only what is over 0;
    `good_parts`, `faulty_parts` are the impressions of these, and `scores` their difference.
    `seen` are the views of the standard, in its order, from which the card has a degree or a look.
    """

    number: str
    degrees: Degrees
    seen: list[str]
    good: list[int]
    faulty: list[int]
    good_ends: list[list[int]]
    faulty_ends: list[list[int]]
    good_parts: list[int]
    faulty_parts: list[int]
    scores: list[int]
    total: int


def scheme_of(standard: Standard, sexes: Sequence[str]) -> Scheme:
    """The scheme of a class: W_c for each criterion, judged traits in the standard's order."""
    judged = judged_traits(standard, sexes)
    n = len(standard["criteria"])
    return Scheme(
        standard=standard,
        traits=[trait for _, trait in judged],
        trait_weights=[trait["weight"] for _, trait in judged],
        ends_of={degree: plainest([degree], standard["degrees"]) for degree in range(-3, 4)},
        criterion_of=[place for place, _ in judged],
        place_of={trait["key"]: place for place, (_, trait) in enumerate(judged)},
        weights=order_weights(n),
        scale=weighing_scale(n),
    )


def card_facts(merged: Merged) -> CardFacts:
    """What stands, sorted by horse."""
    facts = CardFacts()
    for slot in merged["slots"]:
        note = slot["used"]
        if note["kind"] != "entry" and not is_empty(note):
            _take(facts, note)
    return facts


def sheet_of(number: str, facts: CardFacts, scheme: Scheme) -> Sheet:
    """The figures of one horse.

    S_c = impression(good ends) - impression(faulty ends); T = sum of W_c x S_c. A mark on a trait not judged in the
    class counts for nothing.
    """
    degrees = facts.degrees.get(number, {})
    counts = scheme.standard["degrees"]
    good = [0] * len(scheme.traits)
    faulty = [0] * len(scheme.traits)
    good_ends: list[list[int]] = [[] for _ in scheme.weights]
    faulty_ends: list[list[int]] = [[] for _ in scheme.weights]
    looked = set(facts.looked.get(number, ()))
    for trait, by_view in degrees.items():
        looked.update(by_view)
        place = scheme.place_of.get(trait)
        if place is None:
            continue
        weight, criterion = scheme.trait_weights[place], scheme.criterion_of[place]
        best, worst = plainest(by_view.values(), counts)
        if best:
            good[place] = weight * best
            good_ends[criterion].append(good[place])
        if worst:
            faulty[place] = weight * worst
            faulty_ends[criterion].append(faulty[place])
    good_parts, faulty_parts = list(map(impression, good_ends)), list(map(impression, faulty_ends))
    scores = list(map(sub, good_parts, faulty_parts))
    total = sum(map(mul, scheme.weights, scores))
    seen = [view for view in scheme.standard["views"] if view in looked]
    return Sheet(number, degrees, seen, good, faulty, good_ends, faulty_ends, good_parts, faulty_parts, scores, total)


def _take(facts: CardFacts, note: Note) -> None:
    kind = note["kind"]
    if kind == "mark":
        number, degree = str(note["number"]), note["degree"]
        if degree is not None:
            facts.degrees.setdefault(number, {}).setdefault(note["trait"], {})[note["view"]] = degree
            facts.noted.add(number)
        return
    if kind == "over":
        winner = str(note["winner"])
        loser = note["pair"][1] if note["pair"][0] == winner else note["pair"][0]
        facts.calls.append((winner, loser))
        facts.called.update(note["pair"])
        facts.noted.update(note["pair"])
        return
    if kind in ("order", "sign"):
        if kind == "order":
            facts.order = note["numbers"]
        facts.noted.update(note["numbers"] or ())
        return
    number = note.get("number") or ""
    if not number:
        return  # a remark on the class as a whole
    facts.noted.add(number)
    if kind == "looked":
        facts.looked.setdefault(number, set()).add(note["view"])
    elif kind == "ruling":
        facts.rulings[number] = note
    elif kind == "lameness":
        _take_grade(facts, number, note)
    elif kind == "presence" and note["state"] == "absent":
        facts.absent.add(number)


def _take_grade(facts: CardFacts, number: str, note: Note) -> None:
    grade = note["grade"] or 0
    if note.get("card") is not None:
        facts.own_grade[number] = grade
        return
    grades: dict[str, int] = facts.veterinarian_grade if note.get("observer") == "veterinarian" else facts.steward_grade
    grades[number] = max(grade, grades.get(number, 0))


def sheets_of(numbers: Sequence[str], facts: CardFacts, scheme: Scheme) -> Mapping[str, Sheet]:
    """The sheets of several horses, by number."""
    return {number: sheet_of(number, facts, scheme) for number in numbers}
