"""What an announcer reads: the order, the words of a placing, and the numbers that can be taken for one another."""

from __future__ import annotations

from typing import Any

import pytest

from tests.js.asking import asked

READ = """
import { apart, belowSaid, missingSaid, spoken, stepSaid, stepsOf, takenFor, waySaid } from "./announce/announcing.js";
answer(({ lines, way, all }) => {
    const steps = stepsOf(lines, way);
    return {
        way: waySaid(steps, way),
        said: steps.map(stepSaid),
        missing: steps.map(missingSaid),
        spoken: steps.map(spoken),
        numbers: steps.map(({ horses }) => horses.map(({ number }) => number)),
        below: belowSaid(lines),
        apart: all.map(apart),
        alike: Object.fromEntries(all.map((number) => [number, takenFor(number, all)])),
    };
});
"""
LISTS = """
import { awaitedSaid, judgesSaid, listsOf, methodSaid, placeWord } from "./announce/announcing.js";
answer((result) => ({
    lists: listsOf(result),
    judges: judgesSaid(result),
    method: methodSaid(result),
    awaited: awaitedSaid(result),
    words: Array.from({ length: 40 }, (_, place) => placeWord(place + 1)),
}));
"""


def line(place: int, number: str, horse: str | None = None, exhibitor: str | None = None) -> dict[str, Any]:
    return {"place": place, "number": number, "identification": None, "horse": horse, "exhibitor": exhibitor}


def read(lines: list[dict[str, Any]], way: str, places: int = 6, all_numbers: tuple[str, ...] = ()) -> dict[str, Any]:
    told = [{**each, "awarded": each["place"] <= places} for each in lines]
    answer: dict[str, Any] = asked(READ, [{"lines": told, "way": way, "all": list(all_numbers)}])[0]
    return answer


FOUR = [line(1, "12", "Copper Kettle", "A. Alder"), line(2, "7"), line(3, "103"), line(4, "T4")]


def test_each_way_is_said_in_words_and_has_every_placing_in_its_turn() -> None:
    up, down = read(FOUR, "up"), read(FOUR, "down")
    assert up["way"] == "Read from the last place up: fourth, third, second, first."
    assert down["way"] == "Read from the first place down: first, second, third, fourth."
    assert up["numbers"] == [["T4"], ["103"], ["7"], ["12"]]
    assert down["numbers"] == up["numbers"][::-1]
    assert up["said"] == ["Fourth place", "Third place", "Second place", "First place"]
    assert up["spoken"][3] == "First place: number one two, Copper Kettle, shown by A. Alder."
    assert up["spoken"][0] == "Fourth place: number T four."


@pytest.mark.parametrize(("way", "places"), [("up", [4, 2, 1]), ("down", [1, 2, 4])])
def test_tied_horses_are_one_placing_and_the_place_they_leave_empty_is_said(way: str, places: list[int]) -> None:
    tied = [line(1, "5"), line(2, "31"), line(2, "7"), line(4, "12")]
    told = read(tied, way)
    at = places.index(2)
    assert told["said"][at] == "Tied for second place, two horses"
    assert told["numbers"][at] == ["7", "31"]
    assert told["missing"] == ["There is no third place." if place == 2 else "" for place in places]
    assert told["spoken"][at] == "Tied for second place, two horses: number seven; and number three one."
    assert "tied second" in told["way"]
    three = read([line(1, "1"), line(1, "2"), line(1, "3")], way)
    assert three["missing"] == ["There are no second and third places."]


def test_what_the_class_does_not_place_is_not_read() -> None:
    told = read(FOUR, "up", places=2)
    assert told["numbers"] == [["7"], ["12"]]
    assert told["below"] == "2 more horses placed below, not announced."
    assert read(FOUR, "up", places=4)["below"] == ""
    # A tie at the last place is read whole.
    assert read([line(1, "1"), line(2, "2"), line(2, "3")], "up", places=2)["numbers"] == [["2", "3"], ["1"]]


@pytest.mark.parametrize(
    ("number", "other"),
    [
        *(("12", "21"), ("6", "9"), ("16", "91"), ("66", "99"), ("46", "49"), ("13", "30"), ("118", "180")),
        *(("B1", "8I"), ("103", "130"), ("68", "89"), ("O1", "01"), ("1", "I")),
    ],
)
def test_numbers_that_can_be_taken_for_one_another_are_told(number: str, other: str) -> None:
    alike = read([], "up", all_numbers=(number, other, "7"))["alike"]
    assert alike == {number: [other], other: [number], "7": []}


def test_numbers_that_differ_are_not_told_to_be_alike() -> None:
    numbers = ("12", "14", "7", "70", "8", "120", "33", "4", "5")
    assert read([], "up", all_numbers=numbers)["alike"] == {number: [] for number in numbers}
    assert read([], "up", all_numbers=("103", "T4"))["apart"] == ["one zero three", "T four"]


def result(**fields: Any) -> dict[str, Any]:
    return {"method": None, "problem": None, "judges": [], "awaited": [], **fields}


def test_each_division_and_each_separate_card_is_a_list_of_its_own_and_the_method_is_named() -> None:
    judges = [{"card": "a", "name": "North", "from_paper": False}, {"card": "b", "name": "East", "from_paper": True}]
    cards = [{"judge": "a", "name": "North", "result": FOUR[:2]}, {"judge": "b", "name": "East", "result": FOUR[1:3]}]
    divisions = [{"id": "j", "title": "Juniors", "result": FOUR[:1]}, {"id": None, "title": None, "result": FOUR[1:2]}]
    separate, divided, both, alone = asked(
        LISTS,
        [
            result(method="separate", judges=judges, cards=cards),
            result(method="majority", judges=judges, divisions=divisions, awaited=["b"]),
            result(
                method="majority",
                problem="two are even.",
                judges=judges,
                cards=[{"judge": "a", "name": None, "divisions": divisions}],
            ),
            result(judges=judges[:1], result=FOUR),
        ],
    )
    assert [(each["title"], each["lines"]) for each in separate["lists"]] == [
        ("Card of North", FOUR[:2]),
        ("Card of East", FOUR[1:3]),
    ]
    assert separate["judges"] == "Judges: North and East (from paper, entered by the office)"
    assert separate["method"] == "By separate cards, each judge's by itself"
    assert separate["awaited"] == ""
    assert [each["title"] for each in divided["lists"]] == ["Juniors", "In no division"]
    assert divided["method"] == "By majority placing of the judges' cards"
    assert divided["awaited"].startswith("The card of East is being corrected")
    assert [each["title"] for each in both["lists"]] == ["Card of a, Juniors", "Card of a, In no division"]
    assert both["method"].startswith("Each judge's card by itself, for majority")
    assert both["method"].endswith("can't be used: two are even.")
    for told in (separate, divided, both):
        assert len({each["key"] for each in told["lists"]}) == len(told["lists"])
    assert [(each["title"], each["lines"]) for each in alone["lists"]] == [(None, FOUR)]
    assert (alone["judges"], alone["method"]) == ("Judge: North", "One judge's card")
    words = alone["words"]
    assert words[:6] == ["first", "second", "third", "fourth", "fifth", "sixth"]
    assert [words[at - 1] for at in (12, 20, 21, 30, 33, 40)] == [
        *("twelfth", "twentieth", "twenty-first", "thirtieth", "thirty-third", "fortieth"),
    ]


STANDING = """
import { standingOf } from "./announce/announcing.js";
answer(([result, stage]) => standingOf(result, stage));
"""


def test_a_class_is_ready_once_released_and_never_while_a_signature_is_taken_back() -> None:
    released = result(stage=None, changed_since_announced=False)
    assert asked(
        STANDING,
        [
            [None, "ring"],
            [None, "announced"],
            [released, None],
            [{**released, "stage": "announced"}, "announced"],
            [{**released, "stage": "announced", "changed_since_announced": True}, "announced"],
            [{**released, "stage": "announced", "awaited": ["a"]}, "announced"],
            [{**released, "awaited": ["a"]}, None],
        ],
    ) == ["waits", "withdrawn", "ready", "announced", "changed", "withdrawn", "withdrawn"]
