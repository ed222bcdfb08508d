"""Oral reasons: what a judge says of a placing, in the words of the standard, each statement with the notes behind it.

The form is that of spoken reasons: opening, the pairs from the top, the last horse, closing; within a pair the deciding
fact first, then the grant, then the criticism; comparative, positive first, and where it is seen. Only what was noted
is said, and a view from which a horse was not seen is said too. Patterns alternate, so no phrase comes twice running.

Where the judge has an own order, the reasons are for that order, and a pair placed against the notes says so. As with
the sentences, this module decides nothing: what it says is in the placing and in the marks.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise
from typing import Any

from .merging import is_empty, merge
from .reasons import better_side, fill, listed, spoken, view_phrase
from .shapes import ClassFile, Placing, Standard
from .sheets import card_facts, scheme_of, sheet_of
from .standard import is_fault_only
from .standing import standing_call

FORMAT = "nearside-reasons/1"
WORDS_A_MINUTE = 150
HORSES_IN_TWO_MINUTES = 4  # two minutes is the published limit for a placing of four
WORDS_A_HORSE = 2 * WORDS_A_MINUTE // HORSES_IN_TWO_MINUTES
TRAITS_SPOKEN = 2  # more in one breath are not heard
FULL, NO_MORE_THAN_A_GRANT, BARE = 2, 1, 0

# What a pair rests on once the judge's own order has turned it.
_TURNED = {
    "notes": "own",
    "even": "own_level",
    "carried": "own_notes",
    "call": "own_call",
    "rule": "own_rule",
}


def spoken_order(placing: Placing) -> list[str]:
    """The order reasons are given for: the judge's own where there is one, else the suggestion."""
    return list(placing["placing"] if placing["own"] is None else placing["own"])


def oral_reasons(
    class_file: ClassFile, standard: Standard, words: Mapping[str, Any], placing: Placing, numbers: Sequence[str]
) -> dict[str, Any]:
    """The reasons for some horses, in this order.

    Arguments: `placing` of this class file; `numbers`, best first, at least one.
    Returns: a `nearside-reasons/1`: `statements`, each with its part, pair, text and the ids of the notes behind it;
    `short`, one sentence a pair; `words`, as spoken, and `seconds` at 150 words a minute. What is said is cut, further
    comparisons first and then criticism, until it fits two minutes for four horses, or half a minute a horse.
    """
    speaker = _Speaker(class_file, standard, words, placing)
    at_most = WORDS_A_HORSE * max(HORSES_IN_TWO_MINUTES, len(numbers))
    for fullness in (FULL, NO_MORE_THAN_A_GRANT, BARE):
        statements = speaker.statements(numbers, fullness)
        count = sum(words_spoken(each["text"]) for each in statements)
        if count <= at_most:
            break
    return {
        "format": FORMAT,
        "class": placing["class"],
        "card": placing["card"],
        "numbers": list(numbers),
        "statements": statements,
        "short": speaker.short(numbers),
        "words": count,
        "seconds": (count * 60 + WORDS_A_MINUTE - 1) // WORDS_A_MINUTE,
    }


def words_spoken(text: str) -> int:
    """How many words a text is when read aloud: numbers as they are said, hyphened words as two.

    >>> words_spoken("I place 12 over 103."), words_spoken("low-tied")
    (8, 2)
    """
    return sum(_number_words(run) if "0" <= run[0] <= "9" else 1 for run in _RUNS.findall(text))


# Digits, or anything that is no ASCII sign or space: the same in every engine, whatever its tables of letters.
_RUNS = re.compile("[0-9]+|[A-Za-z'\u0080-\U0010ffff]+")


def _number_words(digits: str) -> int:
    number = int(digits)
    if digits[0] == "0" or number > 999:
        return len(digits)
    hundreds, rest = divmod(number, 100)
    tens = 0 if rest == 0 else 1 if rest <= 20 or rest % 10 == 0 else 2
    return (2 if hundreds else 0) + (1 if hundreds and rest else 0) + tens


class _Speaker:
    """One class as it is spoken of. `_turn` counts how often each family of patterns was used."""

    def __init__(self, class_file: ClassFile, standard: Standard, words: Mapping[str, Any], placing: Placing) -> None:
        merged = merge(class_file["entries"], class_file["notes"], class_file["card"])
        self._facts = card_facts(merged)
        self._scheme = scheme_of(standard, class_file["class"]["sexes"])
        self._title = class_file["class"]["title"]
        self._words = words
        self._placing = placing
        self._stands = set(placing["placing"])
        self._sheets = {number: sheet_of(number, self._facts, self._scheme) for number in placing["placing"]}
        self._pairs = {(each["upper"], each["lower"]): each for each in placing["pairs"]}
        self._notes = _notes_behind(merged["slots"])
        self._turn: dict[str, int] = {}

    def statements(self, numbers: Sequence[str], fullness: int) -> list[dict[str, Any]]:
        """Everything that is said, in order."""
        self._turn = {}
        said = [
            self._statement("opening", None, "opening", {"title": spoken(self._title), "numbers": self._list(numbers)})
        ]
        said += self._winner(numbers[0])
        pairs = list(pairwise(numbers))
        named: list[str] = []
        for place, (upper, lower) in enumerate(pairs):
            where = "top" if place == 0 else "bottom" if place == len(pairs) - 1 and place > 1 else "middle"
            spoken_pair, named = self._pair(upper, lower, where if len(pairs) > 1 else "middle", fullness)
            said += spoken_pair
        if len(numbers) > 2:
            said.append(self._last(numbers[-1], named))
        if len(numbers) > 1:
            said.append(self._statement("closing", None, "closing", {"numbers": self._list(numbers)}))
        return said

    def short(self, numbers: Sequence[str]) -> list[dict[str, Any]]:
        """One sentence a pair, for the microphone."""
        self._turn = {}
        return [self._grounds(upper, lower, "short")[0] for upper, lower in pairwise(numbers)]

    # -- statements

    def _winner(self, number: str) -> list[dict[str, Any]]:
        goods = self._strongest(number, good=True)
        if not goods:
            return []
        phrases = [str(self._scheme.traits[place].get("good")) for place in goods]
        values = {"winner": number, "goods": self._list(phrases)}
        return [self._statement("winner", None, "winner", values, self._marks([number], goods))]

    def _pair(self, upper: str, lower: str, where: str, fullness: int) -> tuple[list[dict[str, Any]], list[str]]:
        """What is said of a pair, and the keys of the traits of the lower horse faulted in it."""
        grounds, named = self._grounds(upper, lower, where)
        said = [grounds]
        pair = self._oriented(upper, lower)
        if pair is None:
            return said, []
        said += self._lameness(pair)
        pair_numbers = {"upper": upper, "lower": lower}
        for_, grants = self._places(pair["for"]), self._places(pair["grants"])
        merits = [place for place in for_ if not self._is_fault(place) and place not in named]
        if fullness == FULL and merits and "rule" not in pair["basis"]:
            said.append(self._compared("also", "also", [upper, lower], merits[:TRAITS_SPOKEN], pair_numbers))
            named = named + merits[:TRAITS_SPOKEN]
        granted = [place for place in grants if not self._is_fault(place)][:TRAITS_SPOKEN]
        if granted:
            said.append(self._compared("grant", "grant", [upper, lower], granted, pair_numbers))
        elif grants:
            faults = grants[:TRAITS_SPOKEN]
            family = self._fault_family("grant_fault", lower, faults)
            said.append(self._faulted("grant", family, [upper, lower], faults, pair_numbers))
        faults = [place for place in for_ if place not in named and self._sheets[lower].faulty[place] > 0]
        if fullness >= NO_MORE_THAN_A_GRANT and faults:
            said.append(self._faulted("criticism", "fault", [upper, lower], faults[:1], pair_numbers, of=[lower]))
            named = named + faults[:1]
        for number, other in ((lower, upper), (upper, lower)):
            views = [view for view in self._sheets[other].seen if view not in self._sheets[number].seen]
            if views:
                seen_from = self._list([view_phrase(view, self._words) for view in views])
                said.append(self._statement("unseen", [upper, lower], "unseen", {"number": number, "views": seen_from}))
        return said, [self._scheme.traits[place]["key"] for place in named]

    def _grounds(self, upper: str, lower: str, where: str) -> tuple[dict[str, Any], list[int]]:
        """The deciding fact of a pair, and the traits it names."""
        numbers = {"upper": upper, "lower": lower}
        pair = self._oriented(upper, lower)
        if pair is None:
            return self._statement("pair", [upper, lower], "pair_unnoted", numbers), []
        basis = pair["basis"]
        if basis == "call":
            return self._called(pair, numbers), []
        if pair["decided_by"] is None:
            notes = self._notes.get(("rule", lower), []) if basis == "rule" else []
            return self._statement("pair", [upper, lower], f"pair_{basis}", numbers, notes), []
        places = self._places(each for each in pair["for"] if each["criterion"] == pair["decided_by"])
        titles = {each["key"]: each["title"] for each in self._scheme.standard["criteria"]}
        numbers["criterion"] = spoken(titles[pair["decided_by"]])
        merits = [place for place in places if not self._is_fault(place)][:TRAITS_SPOKEN]
        if merits:
            family = "short" if where == "short" else "pair"
            return self._compared("pair", family, [upper, lower], merits, numbers, where), merits
        if places:
            faults = places[:TRAITS_SPOKEN]
            family = self._fault_family("short_fault" if where == "short" else "pair_fault", upper, faults)
            return self._faulted("pair", family, [upper, lower], faults, numbers), faults
        return self._statement("pair", [upper, lower], "pair_whole", numbers), []

    def _called(self, pair: Mapping[str, Any], numbers: dict[str, str]) -> dict[str, Any]:
        links = list(pairwise(pair["chain"]))
        notes = [note for link in links for note in self._notes.get(("call", *sorted(link)), [])]
        family = "pair_call" if len(links) == 1 else "pair_chain"
        pattern = self._words["sentence"]["chain_link"]
        chain = self._list([fill(pattern, {"winner": winner, "loser": loser}) for winner, loser in links])
        return self._statement("pair", [pair["upper"], pair["lower"]], family, {**numbers, "chain": chain}, notes)

    def _lameness(self, pair: Mapping[str, Any]) -> list[dict[str, Any]]:
        """What was seen of a horse that stands below by rule for lameness."""
        lower = pair["lower"]
        grade, by_veterinarian = standing_call(self._facts, lower)
        if pair["basis"] != "rule" or not grade or lower in self._facts.rulings:
            return []
        family = "lame_veterinarian" if by_veterinarian else "lame"
        values = {"lower": lower, "grade": self._words["grades"][grade]}
        notes = self._notes.get(("rule", lower), [])
        return [self._statement("rule", [pair["upper"], lower], family, values, notes)]

    def _last(self, number: str, named: Sequence[str]) -> dict[str, Any]:
        faults = [p for p in self._strongest(number, good=False) if self._scheme.traits[p]["key"] not in named]
        if not faults:
            return self._statement("last", None, "last", {"last": number})
        phrases = [self._scheme.traits[place]["faulty"] for place in faults]
        values = {"last": number, "faults": self._list(phrases)}
        return self._statement("last", None, "last_fault", values, self._marks([number], faults))

    # -- facts

    def _oriented(self, upper: str, lower: str) -> dict[str, Any] | None:
        """The pair as placed, the other way round where the own order goes against it; None where one has no sheet."""
        pair = self._pairs.get((upper, lower))
        if pair is not None:
            return dict(pair)
        pair = self._pairs.get((lower, upper))
        if pair is None:
            return None
        turned = {
            side: [{**each, "difference": -each["difference"]} for each in pair[other]]
            for side, other in (("for", "grants"), ("grants", "for"))
        }
        basis = _TURNED[pair["basis"]]
        return {**pair, **turned, "upper": upper, "lower": lower, "basis": basis, "decided_by": None}

    def _strongest(self, number: str, *, good: bool) -> list[int]:
        """The places of the traits that weigh most on a horse, W_c x strength, at one end."""
        sheet = self._sheets.get(number)
        if sheet is None:
            return []
        strengths = sheet.good if good else sheet.faulty
        weights = [self._scheme.weights[criterion] for criterion in self._scheme.criterion_of]
        places = [place for place, strength in enumerate(strengths) if strength > 0]
        places.sort(key=lambda place: -weights[place] * strengths[place])
        return places[:TRAITS_SPOKEN]

    def _places(self, rows: Iterable[Mapping[str, Any]]) -> list[int]:
        return [self._scheme.place_of[row["trait"]] for row in rows]

    def _is_fault(self, place: int) -> bool:
        return is_fault_only(self._scheme.traits[place])

    def _fault_family(self, family: str, better: str, faults: Sequence[int]) -> str:
        """The patterns for faults of one horse: those that say `more` where the better one shows them too."""
        return f"{family}_more" if any(self._sheets[better].faulty[place] for place in faults) else family

    def _marks(self, numbers: Sequence[str], places: Sequence[int]) -> list[str]:
        """The ids of the marks behind traits of horses."""
        traits = [self._scheme.traits[place]["key"] for place in places]
        return [note for number in numbers for trait in traits for note in self._notes.get(("mark", number, trait), [])]

    # -- words

    def _compared(
        self,
        part: str,
        family: str,
        pair: list[str],
        places: Sequence[int],
        values: Mapping[str, str],
        where: str | None = None,
    ) -> dict[str, Any]:
        traits = [self._scheme.traits[place]["key"] for place in places]
        filled = {**values, "traits": better_side(traits, self._scheme, self._words)}
        return self._statement(part, pair, family, filled, self._marks(pair, places), where)

    def _faulted(
        self,
        part: str,
        family: str,
        pair: list[str],
        places: Sequence[int],
        values: Mapping[str, str],
        of: Sequence[str] | None = None,
    ) -> dict[str, Any]:
        phrases = [self._scheme.traits[place]["faulty"] for place in places]
        filled = {**values, "faults": self._list(phrases)}
        return self._statement(part, pair, family, filled, self._marks(pair if of is None else of, places))

    def _statement(
        self,
        part: str,
        pair: list[str] | None,
        family: str,
        values: Mapping[str, str],
        notes: Sequence[str] = (),
        where: str | None = None,
    ) -> dict[str, Any]:
        patterns = self._words["oral"][family]
        if isinstance(patterns, dict):
            patterns, family = patterns[where], f"{family} {where}"
        if isinstance(patterns, str):
            patterns = [patterns]
        turn = self._turn[family] = self._turn.get(family, -1) + 1
        return {"part": part, "pair": pair, "text": fill(patterns[turn % len(patterns)], values), "notes": list(notes)}

    def _list(self, phrases: Sequence[str]) -> str:
        return listed(phrases, self._words)


def _notes_behind(slots: Sequence[Mapping[str, Any]]) -> dict[tuple[str, ...], list[str]]:
    """The ids of the notes in force: marks by horse and trait, calls by both numbers, rulings and lameness by horse."""
    behind: dict[tuple[str, ...], list[str]] = {}
    for slot in slots:
        note = slot["used"]
        kind = note["kind"]
        if is_empty(note):
            continue
        if kind == "mark":
            behind.setdefault(("mark", note["number"], note["trait"]), []).append(note["id"])
        elif kind == "over":
            behind.setdefault(("call", *sorted(note["pair"])), []).append(note["id"])
        elif kind in ("ruling", "lameness"):
            behind.setdefault(("rule", note["number"]), []).append(note["id"])
    return behind
