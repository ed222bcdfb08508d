"""What goes into the engine and what comes out, in one file.

Everything is plain JSON: these types name the fields, they check nothing. A class file is checked where it enters
(`nearside.show.classfile`), a standard by `nearside.engine.standard`; the engine relies on that.
"""

from __future__ import annotations

from typing import Any, Literal, NotRequired, TypedDict, get_args

Sex = Literal["mare", "stallion", "gelding"]
Age = Literal["weanling", "yearling", "two", "three", "aged"]
Basis = Literal["rule", "call", "notes", "even", "carried"]
Standing = Literal["absent", "excused", "disqualified", "not_placed", "not_looked"]

SEXES: tuple[str, ...] = get_args(Sex)

# What a slight, a clear and a marked degree count when a standard does not say. Our own choice, not from a source:
# each step doubles, so that one plain fault outweighs two slight ones of the same weight.
DEGREES_COUNT: tuple[int, int, int] = (1, 2, 4)

# Ordinary weight of a trait: 1 minor, 2 ordinary, 3 more than ordinary, 4 serious.
ORDINARY_WEIGHT = 2

# Common practice at open shows: lame at every trot (grade 3) or worse stands last in its class.
DEFAULT_LAMENESS: Lameness = {"from_grade": 3, "outcome": "last"}


class Trait(TypedDict):
    """A trait as the standard gives it; without `good` and `more` it is fault-only."""

    key: str
    title: str
    views: list[str]
    weight: int
    faulty: str
    good: NotRequired[str | None]
    more: NotRequired[str | None]
    sexes: NotRequired[list[str] | None]
    first: NotRequired[bool | None]


class Criterion(TypedDict):
    key: str
    title: str
    traits: list[Trait]


class Standard(TypedDict):
    """A checked standard: every trait has its weight, `degrees` is filled in."""

    format: str
    key: str
    title: str
    views: list[str]
    degrees: list[int]
    criteria: list[Criterion]


class Lameness(TypedDict):
    """The class's own rule: from which grade (1 to 5), and what follows."""

    from_grade: int
    outcome: str


class ShowClass(TypedDict):
    id: str
    title: str
    standard: str | dict[str, Any]
    sexes: list[str]
    ages: list[str]
    places: int
    lameness: NotRequired[Lameness | None]


class Entry(TypedDict):
    number: str
    identification: str | None


class Note(TypedDict):
    """One immutable fact somebody wrote; which further fields it has depends on its kind."""

    id: str
    kind: str
    by: str
    at: int
    replaces: list[str]
    card: NotRequired[str | None]
    number: NotRequired[str | None]
    trait: NotRequired[str]
    view: NotRequired[str]
    degree: NotRequired[int | None]
    done: NotRequired[bool | None]
    text: NotRequired[str | None]
    tag: NotRequired[str | None]
    about: NotRequired[str | None]
    pair: NotRequired[list[str]]
    winner: NotRequired[str | None]
    outcome: NotRequired[str | None]
    reason: NotRequired[str | None]
    numbers: NotRequired[list[str] | None]
    observer: NotRequired[str | None]
    grade: NotRequired[int | None]
    gait: NotRequired[str | None]
    limb: NotRequired[str | None]
    circumstance: NotRequired[str | None]
    state: NotRequired[str | None]
    identification: NotRequired[str | None]
    now: NotRequired[str | None]


ClassFile = TypedDict(
    "ClassFile",
    {"format": str, "class": ShowClass, "entries": list[Entry], "card": str, "notes": list[Note]},
)


class Slot(TypedDict):
    """A slot with its current notes: `used` is the one in force, even when its value is null."""

    slot: list[str]
    current: list[str]
    used: Note


class Dispute(TypedDict):
    slot: list[str]
    notes: list[str]
    used: str


class Merged(TypedDict):
    """Notes merged: the entries, where numbers lead, every slot, and what is disputed."""

    entries: list[Entry]
    reads_as: dict[str, str]
    slots: list[Slot]
    disputes: list[Dispute]


class TraitDifference(TypedDict):
    criterion: str
    trait: str
    difference: int


Placing = dict[str, Any]
"""A `nearside-placing/1`; every list in it has a total order.

The order: `placing`, `last_by_rule`, `unplaced` (number, standing, reason), `own` (null where the card has none).
The figures: `totals` (number, total, score by criterion), `scale`. What decides: `pairs` (upper, lower, adjacent,
basis, chain, margin, share, decided_by, for, grants, one_step, sentence), in placing order 1-2, 1-3, ..., 2-3, ...
What is left to see to: `even`, `circles`, `calls_set_aside`, `asks`, `conflicts`, `strangers`, `unseen`, `disputes`,
`look_again`, `against`. Whose it is: `format`, `class`, `card`.
"""
