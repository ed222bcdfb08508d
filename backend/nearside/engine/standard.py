"""A standard read and checked: what the horses of a class are compared with.

A standard comes from a file somebody wrote, so every refusal says where and what to do. What passes has every field
filled in (`weight`, `degrees`) and can be relied on by the rest of the engine.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, cast

from .shapes import DEGREES_COUNT, ORDINARY_WEIGHT, SEXES, Criterion, Standard, Trait

FORMAT = "nearside-standard/1"
CRITERIA_AT_LEAST, CRITERIA_AT_MOST = 2, 8
VIEWS_AT_MOST = 6
FIRST_AT_MOST = 8  # what a thumb reaches without scrolling
TEXT_AT_MOST = 500


class StandardRefused(ValueError):
    """A standard that can't be used: `where` in it, and what to do."""

    def __init__(self, where: str, problem: str) -> None:
        super().__init__(f"{where}: {problem}" if where else problem)
        self.where = where
        self.problem = problem


def checked_standard(value: Any) -> Standard:
    """The standard, every optional field filled in.

    Arguments: plain JSON values. Raises: StandardRefused at the first thing that is wrong; nothing is changed.

    >>> checked_standard({"format": "nearside-standard/2"})
    Traceback (most recent call last):
    nearside.engine.standard.StandardRefused: the field "key" is missing
    """
    fields = _fields(value, "", ("format", "key", "title", "views", "criteria"), ("degrees",))
    if fields["format"] != FORMAT:
        raise StandardRefused("format", f'must be "{FORMAT}"')
    views = _texts(fields["views"], "views", VIEWS_AT_MOST)
    criteria = _list(fields["criteria"], "criteria")
    if not CRITERIA_AT_LEAST <= len(criteria) <= CRITERIA_AT_MOST:
        raise StandardRefused("criteria", f"give {CRITERIA_AT_LEAST} to {CRITERIA_AT_MOST} criteria")
    standard: Standard = {
        "format": FORMAT,
        "key": _text(fields["key"], "key"),
        "title": _text(fields["title"], "title"),
        "views": views,
        "degrees": _degrees(fields.get("degrees")),
        "criteria": [_criterion(each, f"criteria[{i}]", views) for i, each in enumerate(criteria)],
    }
    _refuse_doubles([each["key"] for each in standard["criteria"]], "criteria", "criterion")
    _refuse_doubles([trait["key"] for each in standard["criteria"] for trait in each["traits"]], "criteria", "trait")
    for view in views:
        first = [t for each in standard["criteria"] for t in each["traits"] if t.get("first") and view in t["views"]]
        if len(first) > FIRST_AT_MOST:
            problem = f'{len(first)} traits are marked first in the view "{view}": {FIRST_AT_MOST} at most'
            raise StandardRefused("criteria", problem)
    return standard


def is_judged(trait: Trait, sexes: Sequence[str]) -> bool:
    """Whether a trait is judged in a class of these sexes."""
    only = trait.get("sexes")
    return only is None or any(sex in only for sex in sexes)


def is_fault_only(trait: Trait) -> bool:
    """Whether the trait has no good end: correct is expected there, not a prize."""
    return trait.get("good") is None


def judged_traits(standard: Standard, sexes: Sequence[str]) -> list[tuple[int, Trait]]:
    """The traits judged in a class, in the standard's order, each with the place of its criterion (from 0)."""
    return [
        (place, trait)
        for place, criterion in enumerate(standard["criteria"])
        for trait in criterion["traits"]
        if is_judged(trait, sexes)
    ]


def _criterion(value: Any, where: str, views: list[str]) -> Criterion:
    fields = _fields(value, where, ("key", "title", "traits"), ())
    traits = _list(fields["traits"], f"{where}.traits")
    if not traits:
        raise StandardRefused(f"{where}.traits", "give at least one trait")
    return {
        "key": _text(fields["key"], f"{where}.key"),
        "title": _text(fields["title"], f"{where}.title"),
        "traits": [_trait(each, f"{where}.traits[{i}]", views) for i, each in enumerate(traits)],
    }


def _trait(value: Any, where: str, views: list[str]) -> Trait:
    optional = ("weight", "good", "more", "sexes", "first")
    fields = _fields(value, where, ("key", "title", "views", "faulty"), optional)
    seen_from = _texts(fields["views"], f"{where}.views", VIEWS_AT_MOST)
    for view in seen_from:
        if view not in views:
            raise StandardRefused(f"{where}.views", f'"{view}" is not among the views of the standard')
    good, more = fields.get("good"), fields.get("more")
    if (good is None) != (more is None):
        raise StandardRefused(where, "give both good and more, or neither for a trait that can only be a fault")
    trait: Trait = {
        "key": _text(fields["key"], f"{where}.key"),
        "title": _text(fields["title"], f"{where}.title"),
        "views": seen_from,
        "weight": _integer(fields.get("weight"), f"{where}.weight", 1, 4, ORDINARY_WEIGHT),
        "faulty": _text(fields["faulty"], f"{where}.faulty"),
    }
    if good is not None:
        trait["good"] = _text(good, f"{where}.good")
        trait["more"] = _text(more, f"{where}.more")
    if fields.get("sexes") is not None:
        sexes = trait["sexes"] = _texts(fields["sexes"], f"{where}.sexes", len(SEXES))
        for sex in sexes:
            if sex not in SEXES:
                raise StandardRefused(f"{where}.sexes", f'"{sex}" is not one of {", ".join(SEXES)}')
    first = fields.get("first")
    if first is not None:
        if not isinstance(first, bool):
            raise StandardRefused(f"{where}.first", "must be true or false")
        trait["first"] = first
    return trait


def _degrees(value: Any) -> list[int]:
    if value is None:
        return list(DEGREES_COUNT)
    degrees = [_integer(each, "degrees", 1, 9) for each in _list(value, "degrees")]
    if len(degrees) != len(DEGREES_COUNT) or not degrees[0] < degrees[1] < degrees[2]:
        raise StandardRefused("degrees", "give three whole numbers from 1 to 9, each larger than the one before")
    return degrees


def _fields(value: Any, where: str, required: Sequence[str], optional: Sequence[str]) -> dict[str, Any]:
    if not isinstance(value, dict):
        raise StandardRefused(where or "standard", "must be an object")
    for name in value:
        if name not in required and name not in optional:
            raise StandardRefused(where, f'the field "{name}" is not known here')
    for name in required:
        if name not in value:
            raise StandardRefused(where, f'the field "{name}" is missing')
    return cast("dict[str, Any]", value)


def _list(value: Any, where: str) -> list[Any]:
    if not isinstance(value, list):
        raise StandardRefused(where, "must be a list")
    return value


def _text(value: Any, where: str) -> str:
    if not isinstance(value, str):
        raise StandardRefused(where, "must be text")
    if not value:
        raise StandardRefused(where, "must not be empty")
    if len(value) > TEXT_AT_MOST:
        raise StandardRefused(where, f"is longer than {TEXT_AT_MOST} characters")
    if any("\ud800" <= character <= "\udfff" for character in value):
        raise StandardRefused(where, "holds half a character (a lone surrogate)")
    return value


def _texts(value: Any, where: str, at_most: int) -> list[str]:
    texts = [_text(each, f"{where}[{i}]") for i, each in enumerate(_list(value, where))]
    if not 1 <= len(texts) <= at_most:
        raise StandardRefused(where, f"give 1 to {at_most}")
    _refuse_doubles(texts, where, "entry")
    return texts


def _integer(value: Any, where: str, lowest: int, highest: int, left_out: int | None = None) -> int:
    if value is None and left_out is not None:
        return left_out
    if isinstance(value, float) and value.is_integer():
        value = int(value)
    if isinstance(value, bool) or not isinstance(value, int) or not lowest <= value <= highest:
        raise StandardRefused(where, f"must be a whole number from {lowest} to {highest}")
    return value


def _refuse_doubles(keys: Sequence[str], where: str, what: str) -> None:
    seen: set[str] = set()
    for key in keys:
        if key in seen:
            raise StandardRefused(where, f'the {what} "{key}" is named twice')
        seen.add(key)
