"""What would turn a pair: the single steps on one trait in one view that would even it or turn it.

It shows how much a pair hangs on one mark. It is no advice to mark otherwise, and so it stands away from the marking.
"""

from __future__ import annotations

from typing import TypedDict

from .merging import merge
from .shapes import ClassFile, Standard
from .sheets import card_facts, scheme_of, sheet_of
from .steps import DOWN, UP, Changes, steps


class Turn(TypedDict):
    """One step, and the margin of the pair after it: 0 evens it, below 0 turns it."""

    number: str
    trait: str
    view: str
    before: int
    after: int
    margin: int


def turning_steps(class_file: ClassFile, standard: Standard, upper: str, lower: str) -> list[Turn]:
    """The steps after which the upper horse no longer leads by its marks, the worst for it first.

    A step down of the upper horse or up of the lower one; 0 stands for no degree.
    Returns: by margin after the step; equals upper before lower, then in the standard's order, view by view.
    """
    facts = card_facts(merge(class_file["entries"], class_file["notes"], class_file["card"]))
    scheme = scheme_of(standard, class_file["class"]["sexes"])
    above, below = sheet_of(upper, facts, scheme), sheet_of(lower, facts, scheme)
    margin = above.total - below.total
    found: list[Turn] = []
    for sheet, direction in ((above, DOWN), (below, UP)):
        for step in steps(scheme, sheet, direction, Changes(scheme, sheet)):
            left = margin - direction * step.change
            if left <= 0 and step.change != 0:
                found.append(
                    {
                        "number": sheet.number,
                        "trait": step.trait,
                        "view": step.view,
                        "before": step.before,
                        "after": step.after,
                        "margin": left,
                    }
                )
    return sorted(found, key=lambda turn: turn["margin"])
