"""Where each horse of a class stands before marks are compared: placed by them, last by rule, or not placed.

The first rule that applies decides, in this order: excused or disqualified by ruling; placed by ruling; absent by
the gate; last by ruling; the standing call against the class's lameness rule; not looked at. A steward's own
observation moves nothing, for a steward never advises: it only asks the judge to look again.

Grades are the published 0 to 5 of the lameness scale; from which grade a horse stands last or is not placed is the
class's own rule. A call is an observation at one moment, never a diagnosis.
"""

from __future__ import annotations

from typing import Literal, NamedTuple

from .shapes import Lameness, Standing
from .sheets import CardFacts

BY_MARKS, LAST = 0, 1


class Stands(NamedTuple):
    """How one horse stands: its tier (None: unplaced, as `standing` says), what put it there, any conflict."""

    tier: int | None
    standing: Standing | None = None
    reason: str | None = None
    by: Literal["ruling", "call"] | None = None
    is_conflict: bool = False


def standing_call(facts: CardFacts, number: str) -> tuple[int | None, bool]:
    """The grade that counts for a horse, and whether it is a veterinarian's.

    The card's own current grade, whatever it is; where the card has none, the highest of the veterinarians.
    """
    own = facts.own_grade.get(number)
    return (own, False) if own is not None else (facts.veterinarian_grade.get(number), True)


def stands(facts: CardFacts, number: str, lameness: Lameness) -> Stands:
    """How a horse stands. Source of the default rule, grade 3 last: common practice at open shows."""
    ruling = facts.rulings.get(number)
    outcome = None if ruling is None else ruling["outcome"]
    if ruling is not None and outcome in ("excused", "disqualified"):
        standing: Standing = "excused" if outcome == "excused" else "disqualified"
        return Stands(None, standing, ruling.get("reason"), "ruling")
    is_absent = number in facts.absent
    if outcome == "placed":
        return Stands(BY_MARKS, is_conflict=is_absent)
    if is_absent:
        return Stands(None, "absent", is_conflict=facts.says_something_of(number))
    if outcome == "last":
        return Stands(LAST, by="ruling")
    grade, _ = standing_call(facts, number)
    if grade is not None and grade >= lameness["from_grade"]:
        if lameness["outcome"] == "last":
            return Stands(LAST, by="call")
        if lameness["outcome"] == "not_placed":
            return Stands(None, "not_placed", by="call")
    if not facts.says_something_of(number):
        return Stands(None, "not_looked")
    return Stands(BY_MARKS)


def asks_again(facts: CardFacts, number: str, lameness: Lameness) -> int | None:
    """The steward's grade at which the judge is asked to look again; None where there is nothing to ask."""
    grade = facts.steward_grade.get(number)
    if grade is None or grade < lameness["from_grade"]:
        return None
    return None if number in facts.rulings or number in facts.own_grade else grade
