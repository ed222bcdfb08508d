"""Who comes back for a championship, out of released cards and of the championships that feed it.

The first of each class as it was released comes back, of each division placed apart, under separate cards the judge's
own first; where a class was combined into another, the first of its division there. While a card is out, or a feeding
championship, nobody comes back from there, and it is said what is waited for.

A horse last by rule does not come back, but that it is last stands on the judge's card: see `championships`.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import Any, NamedTuple

from nearside.engine.champions import Horse, Order, contenders, reserve_contenders, warnings
from nearside.engine.merging import merge
from nearside.engine.panel import Shared, among, card_result
from nearside.engine.shapes import DEFAULT_LAMENESS
from nearside.engine.sheets import card_facts
from nearside.engine.standing import LAST, stands
from nearside.show.cards import card_file
from nearside.show.records import Records
from nearside.show.refusals import Refusal, unknown_class
from nearside.show.resultlist import WITH_NAMES
from nearside.show.results import ClassResult, result_of_class
from nearside.show.seats import Seat
from nearside.store.protocol import Record

_NOT_PLACED = ("excused", "disqualified", "not_placed")


def standing_names(record: Record) -> Mapping[str, Any]:
    """The champion and reserve that stand: those of the last version."""
    nothing: dict[str, Any] = {"champion": None, "reserve": None}
    return record["named"][-1] if record["named"] else nothing


class Coming(NamedTuple):
    """What a championship is chosen from."""

    orders: list[Order]
    under_the_judge: list[Order]
    waiting: list[str]
    """Titles of classes and championships that are still out."""


class Day:
    """The show as championships read it; each class is worked out once."""

    def __init__(self, records: Records) -> None:
        self._records = records
        self._results: dict[str, ClassResult] = {}

    # -- horses

    def known(self, asked: Mapping[str, Any] | None, where: str) -> Horse | None:
        """The horse somebody means. Raises: Refusal where the class has no such number."""
        if asked is None:
            return None
        if asked["class"] not in self._records.judged:
            raise unknown_class(where)
        horse = self.now(asked)
        if horse is not None and not self._is_in_class(horse):
            sentence = f"{where}: the class has no such number; choose a horse of the list, or put the number right."
            raise Refusal("unknown_entry", sentence, where)
        return horse

    def now(self, horse: Mapping[str, Any] | None) -> Horse | None:
        """The horse by the number it has today."""
        if horse is None:
            return None
        return horse["class"], self._result(horse["class"]).reads_as.get(horse["number"], horse["number"])

    def horse(self, record: Mapping[str, Any] | None, seat: Seat) -> dict[str, Any] | None:
        """A horse as a seat is told of it."""
        horse = self.now(record)
        return None if horse is None else self._told_horse(horse, seat)

    def _told_horse(self, horse: Horse, seat: Seat) -> dict[str, Any]:
        class_id, number = horse
        known = self._result(class_id).known(number)
        told = {
            "class": class_id,
            "title": self._title(horse),
            "number": number,
            "identification": known.identification,
        }
        return {**told, "horse": known.horse, "exhibitor": known.exhibitor} if seat.role in WITH_NAMES else told

    def _title(self, horse: Horse) -> str:
        """The title of the division a horse was placed in, or of its class."""
        result = self._result(horse[0])
        division = result.division_of(horse[1])
        return next((each["title"] for each in result.divisions if each["id"] == division), result.title)

    def _placed(self, horse: Horse, judge: str) -> int | None:
        """The place on the judge's own card, among its division."""
        class_id, number = horse
        result = self._result(class_id)
        if not self._is_released(class_id):
            return None
        division = result.division_of(number)
        places = among(self._own_places(result, judge), lambda other: result.division_of(other) == division)
        return next((shared["place"] for shared in places if number in shared["numbers"]), None)

    # -- championships

    def told(self, record: Record, seat: Seat) -> dict[str, Any]:
        """A championship as a seat is told of it."""
        coming, named, judge = self._coming(record), standing_names(record), record["judge"]
        left_out = self._last_by_rule(record) if seat.role == "judge" else frozenset()
        champion, reserve = self.now(named["champion"]), self.now(named["reserve"])

        def row(horse: Horse) -> dict[str, Any]:
            return {**self._told_horse(horse, seat), "placed": self._placed(horse, judge)}

        then = None if champion is None else reserve_contenders(coming.orders, champion, left_out)
        return {
            "id": record["id"],
            "title": record["title"],
            "judge": judge,
            "contenders": [row(horse) for horse in contenders(coming.orders, left_out)],
            "reserve_contenders": None if then is None else [row(horse) for horse in then],
            "champion": self.horse(named["champion"], seat),
            "reserve": self.horse(named["reserve"], seat),
            "warnings": self._warned(coming, champion, reserve, left_out),
            "waiting": coming.waiting,
            "versions": len(record["named"]),
        }

    def warned_of(self, record: Record, champion: Horse | None, reserve: Horse | None) -> list[str]:
        """What everybody who reads the released orders is warned of when these are named."""
        return self._warned(self._coming(record), champion, reserve, frozenset())

    def own_placings(self, judge: str) -> list[dict[str, Any]]:
        """The judge's own signed orders of the day."""
        told = []
        for class_id in self._records.judged:
            if judge in self._records.judges_in(class_id):
                result = self._result(class_id)
                numbers = next(card.numbers for card in result.cards if card.judge == judge)
                if numbers is not None:
                    told.append({"class": class_id, "title": result.title, "numbers": numbers})
        return told

    def _coming(self, record: Record) -> Coming:
        coming, judge = Coming([], [], []), record["judge"]
        for class_id in record["classes"]:
            judged, division = self._judged_as(class_id)
            if self._records.classes[judged].get("gone"):
                continue
            orders = self._orders(judged, division, judge)
            if orders is None:
                coming.waiting.append(self._records.classes[class_id]["class"]["title"])
                continue
            coming.orders.extend(orders)
            coming.under_the_judge.append(_known_by(judged, self._own_places(self._result(judged), judge)))
        for championship_id in record["feeds"]:
            feeding = self._records.championships[championship_id]
            named = standing_names(feeding)
            order = [[horse] for each in ("champion", "reserve") if (horse := self.now(named[each])) is not None]
            if not order:
                coming.waiting.append(feeding["title"])
                continue
            coming.orders.append(order)
            if feeding["judge"] == judge:
                coming.under_the_judge.append(order)
        return coming

    def _judged_as(self, class_id: str) -> tuple[str, str | None]:
        """The class in which a class was judged in the end, and the division of it that it became."""
        division = None
        while (folded := self._records.classes[class_id].get("folded")) is not None:
            division = class_id if folded["how"] == "combined" else division
            class_id = folded["into"]
        return class_id, division

    def _orders(self, class_id: str, division: str | None, judge: str) -> list[Order] | None:
        """The orders of a class whose firsts come back; None while a card they rest on is out."""
        result = self._result(class_id)
        own = [card for card in result.cards if card.judge == judge]
        is_joint = any(part.judge is None for part in result.parts)
        rests_on = own if own and not is_joint else result.cards
        if not self._is_released(class_id) or any(card.numbers is None for card in rests_on):
            return None
        parts = [part for part in result.parts if not own or part.judge in (None, judge)]
        # The horses of no division come last; where the class has none, these are all.
        divisions = [*(each["id"] for each in result.divisions), None] if division is None else [division]
        return [_known_by(class_id, result.of_division(part, each)) for part in parts for each in divisions]

    def _own_places(self, result: ClassResult, judge: str) -> list[Shared]:
        """The judge's own card without those stricken out, whatever the class came to."""
        struck = {each["number"] for each in result.stricken}
        numbers = next((card.numbers for card in result.cards if card.judge == judge), None) or []
        return among(card_result({"judge": judge, "placing": numbers}), lambda number: number not in struck)

    def _last_by_rule(self, record: Record) -> frozenset[Horse]:
        """The horses that the card of the championship's judge has last by rule, or not placed at all."""
        found: set[Horse] = set()
        for class_id in {self._judged_as(each)[0] for each in record["classes"]}:
            if record["judge"] in self._records.judges_in(class_id):
                file, _ = card_file(self._records, class_id, record["judge"])
                facts = card_facts(merge(file["entries"], file["notes"], file["card"]))
                lameness = file["class"].get("lameness") or DEFAULT_LAMENESS
                for number in self._result(class_id).horses:
                    stand = stands(facts, number, lameness)
                    if stand.tier == LAST or stand.standing in _NOT_PLACED:
                        found.add((class_id, number))
        return frozenset(found)

    def _warned(
        self, coming: Coming, champion: Horse | None, reserve: Horse | None, left_out: Collection[Horse]
    ) -> list[str]:
        said = []
        for each in warnings(coming.orders, coming.under_the_judge, champion, reserve, left_out):
            who = self._spoken(each.horse)
            if each.beaten_by:
                above = ", ".join(self._spoken(horse) for horse in each.beaten_by)
                said.append(f"{who} is put above {above}: under the same judge it stood below.")
            elif each.named == "champion":
                said.append(f"{who} did not come back for champion: only firsts do.")
            else:
                said.append(f"{who} did not come back for reserve: only firsts do, and the second to the champion.")
        return said + [f"Still out: {title}." for title in coming.waiting if champion is not None]

    def _spoken(self, horse: Horse) -> str:
        return f"{horse[1]} ({self._title(horse)})"

    def _is_in_class(self, horse: Horse) -> bool:
        """Whether it is entered there, or placed though nobody entered it."""
        result = self._result(horse[0])
        placed = (shared["numbers"] for part in result.parts for shared in part.places)
        return horse[1] in result.horses or (self._is_released(horse[0]) and any(horse[1] in each for each in placed))

    def _is_released(self, class_id: str) -> bool:
        return self._result(class_id).signatures.is_released

    def _result(self, class_id: str) -> ClassResult:
        if class_id not in self._results:
            self._results[class_id] = result_of_class(self._records, class_id)
        return self._results[class_id]


def _known_by(class_id: str, places: Sequence[Shared]) -> Order:
    return [[(class_id, number) for number in shared["numbers"]] for shared in places]
