"""An invented open show of 12 classes and 140 entries, and what every seat does there: the play, without the stage.

Everything is made up and drawn from one seed, so the same show can be played again. What the play expects at its end is
worked out here by plain counting, not by the code under test.
"""

from __future__ import annotations

import random
from dataclasses import dataclass, field

TITLE = "Low Bridge Open Show"
JUDGES = ("East", "West")
STEWARDS = ("North gate", "South gate", "Ring")
TRAINEES = ("First in training", "Second in training")
SEED = 140

# The end of a trait that every standard played here shows first in profile: the merit, and the fault.
MERIT, FAULT = "matching shoulder, barrel and hip", "long middle, uneven proportions"
TRAIT = "proportions"

_CLASSES = [
    # title, standard, sexes, ages, entries, judges
    ("Stock type mares, aged", "stock-type", ["mare"], ["aged"], 14, "East"),
    ("Stock type fillies, yearling", "stock-type", ["mare"], ["yearling"], 11, "East"),
    ("Stock type geldings, aged", "stock-type", ["gelding"], ["aged"], 13, "East"),
    ("Stock type stallions, aged", "stock-type", ["stallion"], ["aged"], 8, "East"),
    ("Hunter type mares, aged", "hunter-type", ["mare"], ["aged"], 12, "West"),
    ("Hunter type fillies, two", "hunter-type", ["mare"], ["two"], 9, "West"),
    ("Hunter type geldings, three and over", "hunter-type", ["gelding"], ["three", "aged"], 15, "West"),
    ("Pony type mares, aged", "pony-type", ["mare"], ["aged"], 12, "West"),
    ("Pony type geldings, aged", "pony-type", ["gelding"], ["aged"], 10, "West"),
    ("Saddle type mares, aged", "saddle-type", ["mare"], ["aged"], 12, "East"),
    ("Best turned-out type, mares", "stock-type", ["mare"], ["three", "aged"], 13, "both"),
    ("Young stock, mixed", "hunter-type", ["mare", "gelding"], ["weanling", "yearling"], 11, "both"),
]
_COLORS = ("bay", "chestnut", "grey", "black", "buckskin", "palomino", "bay roan", "dun", "brown", "skewbald")
_WHITES = ("star", "blaze", "snip", "no white", "left hind sock", "both fore socks", "stripe", "white coronet")
_FIRST = ("Amber", "Barley", "Clover", "Dusty", "Ember", "Fallow", "Ginger", "Hazel", "Indigo", "Juniper", "Linden")
_SECOND = ("Mill", "Ford", "Lane", "Brook", "Gate", "Hill", "Meadow", "Orchard", "Field", "Copse", "Quarry", "Weir")
_PEOPLE = ("A. Thatcher", "B. Wainwright", "C. Fuller", "D. Sawyer", "E. Cooper", "F. Turner", "G. Mason", "H. Tiler")


@dataclass
class Horse:
    """An entry as the office types it."""

    number: str
    identification: str
    name: str
    exhibitor: str


@dataclass
class Played:
    """A class, what each judge taps in it, and the order each judge signs."""

    title: str
    standard: str
    sexes: list[str]
    ages: list[str]
    horses: list[Horse]
    judges: list[str]
    taps: dict[str, dict[str, int]] = field(default_factory=dict)
    """By judge and number, the degree of `TRAIT` seen in profile: -3 to 3, 0 is no mark."""
    orders: dict[str, list[str]] = field(default_factory=dict)
    """By judge, the order signed: best first, the absent left out."""
    absent: str | None = None
    """The number scratched at the gate."""
    stricken: list[str] = field(default_factory=list)
    """The numbers the office struck from the result."""

    is_on_paper: bool = False

    def rename(self, wrong: str, right: str) -> None:
        """A number put right, wherever it stands."""
        for horse in self.horses:
            horse.number = right if horse.number == wrong else horse.number
        for judge in self.judges:
            self.taps[judge] = {right if each == wrong else each: taps for each, taps in self.taps[judge].items()}
            self.orders[judge] = [right if each == wrong else each for each in self.orders[judge]]

    def enter(self, horse: Horse, judge: str, degree: int) -> None:
        """A late horse, placed last."""
        self.horses.append(horse)
        self.taps[judge][horse.number] = degree
        self.orders[judge].append(horse.number)

    @property
    def present(self) -> list[str]:
        return [each.number for each in self.horses if each.number != self.absent]


def play() -> list[Played]:
    """The twelve classes. Numbers are an exhibitor's, so one number may stand in several classes."""
    chance = random.Random(SEED)
    classes = []
    for place, (title, standard, sexes, ages, count, judges) in enumerate(_CLASSES):
        numbers = sorted(chance.sample(range(1, 200), count))
        horses = [
            Horse(
                str(number),
                f"{chance.choice(_COLORS)}, {chance.choice(_WHITES)}",
                f"{chance.choice(_FIRST)} {chance.choice(_SECOND)}",
                chance.choice(_PEOPLE),
            )
            for number in numbers
        ]
        played = Played(title, standard, sexes, ages, horses, list(JUDGES) if judges == "both" else [judges])
        if place % 3 == 1:
            played.absent = chance.choice(horses).number
        for judge in played.judges:
            played.taps[judge] = {number: chance.choice((-2, -1, 1, 2, 3)) for number in played.present}
            played.orders[judge] = _by_what_is_seen(played.present, played.taps[judge], chance)
        classes.append(played)
    assert sum(len(each.horses) for each in classes) == 140
    return classes


def _by_what_is_seen(numbers: list[str], taps: dict[str, int], chance: random.Random) -> list[str]:
    """Best first by the one trait; among even ones as the judge pleases."""
    shuffled = chance.sample(numbers, len(numbers))
    return sorted(shuffled, key=lambda number: -taps[number])


def as_csv(classes: list[Played]) -> str:
    """All entries as a spreadsheet of another country writes them: semicolons, CRLF, a byte order mark."""
    lines = ["Exhibitor;Class;Horse;No.;Description"]
    for each in classes:
        lines += [
            f'{horse.exhibitor};"{each.title}";{horse.name};{horse.number};"{horse.identification}"'
            for horse in each.horses
        ]
    return "\ufeff" + "\r\n".join(lines) + "\r\n"


def by_points(orders: dict[str, list[str]], calling: str) -> list[str]:
    """The horses of a panel by points, 10 for a first down to 1 for a tenth, ties by the calling judge's order."""
    points = {number: sum(max(0, 10 - order.index(number)) for order in orders.values()) for number in orders[calling]}
    return sorted(orders[calling], key=lambda number: (-points[number], orders[calling].index(number)))
