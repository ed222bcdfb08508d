"""Class files read and checked: what the format allows is read, each thing it refuses is refused with its place."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

import pytest
from hypothesis import given

from nearside.show.classfile import checked_class_file, read_class_file, same_content
from nearside.show.strict_json import Refused, canonical, read_json
from tests.engine import cases
from tests.engine.cases import DROP, changed, class_file, marks, note

FILE = class_file(
    ["12", "7"],
    [
        note("mark", "n0", number="12", trait="topline", view="profile", degree=2),
        note("looked", "n1", number="12", view="front", done=True),
        note("remark", "n2", number=None, text="windy", tag=None),
        note("over", "n3", pair=["12", "7"], winner="12"),
        note("ruling", "n4", number="12", outcome="excused", reason="unruly"),
        note("order", "n5", numbers=["12", "7"]),
        note("sign", "n6", numbers=["12", "7"]),
        note("lameness", "n7", number="12", grade=2, card="judge-a"),
        note("presence", "n8", number="12", state="present"),
        note("entry", "n9", number="T1", identification="bay", now="7"),
    ],
    lameness={"from_grade": 3, "outcome": "last"},
)


def test_a_class_file_with_every_kind_of_note_is_read() -> None:
    file, standard = read_class_file(canonical(FILE).encode())
    assert [each["kind"] for each in file["notes"]] == [each["kind"] for each in FILE["notes"]]
    assert standard["degrees"] == [1, 2, 4]


@given(cases.class_files())
def test_whatever_a_show_may_bring_is_read_and_comes_back_the_same(file: dict[str, Any]) -> None:
    read, _ = read_class_file(canonical(file).encode())
    assert read_json(canonical(read).encode()) == read_json(canonical(file).encode())


def test_a_shipped_standard_is_named_by_its_key() -> None:
    file = deepcopy(FILE)
    file["class"]["standard"] = "stock-type"
    file["notes"] = []
    assert checked_class_file(file)[1]["key"] == "stock-type"


def test_optional_fields_may_be_left_out_or_null() -> None:
    file = deepcopy(FILE)
    file["class"]["lameness"] = None
    file["entries"] = [{"number": "12", "identification": None}]
    del file["notes"][9]["identification"]
    file["notes"][2]["about"] = None
    assert checked_class_file(file)[0]["notes"][9]["now"] == "7"


def test_a_number_noted_but_never_entered_is_not_refused() -> None:
    checked_class_file(class_file([], marks(_99={"topline": 1})))


def test_the_same_note_twice_is_one_note() -> None:
    twice = [*FILE["notes"], dict(FILE["notes"][0])]
    assert len(checked_class_file(FILE | {"notes": twice})[0]["notes"]) == len(FILE["notes"])
    assert same_content({"id": "a", "limb": None}, {"id": "a"})


Change = tuple[list[Any], Any, str]
REFUSED: list[Change] = [
    (["format"], "nearside-class/2", 'format: must be "nearside-class/1"'),
    (["color"], "bay", "color: is not a field known here"),
    (["card"], DROP, "card: is missing"),
    (["class", "judge"], "x", "class.judge: is not a field known here"),
    (["class", "sexes"], [], "class.sexes"),
    (["class", "sexes"], ["colt"], "class.sexes[0]: must be one of mare, stallion, gelding"),
    (["class", "ages"], ["old"], "class.ages[0]: must be one of"),
    (["class", "places"], 0, "class.places: is out of range"),
    (["class", "places"], 21, "class.places: is out of range"),
    (["class", "places"], True, "class.places: must be a whole number"),
    (["class", "lameness"], {"from_grade": 0, "outcome": "last"}, "class.lameness.from_grade: is out of range"),
    (["class", "lameness"], {"from_grade": 3}, "class.lameness.outcome: is missing"),
    (["class", "lameness"], {"from_grade": 3, "outcome": "shot"}, "class.lameness.outcome: must be one of"),
    (["class", "standard"], "no-such", 'class.standard: no standard "no-such" comes with Nearside'),
    (["class", "standard"], 3, "class.standard: must be the key of a standard"),
    (["class", "standard", "views"], [], "class.standard.views: give 1 to 6"),
    (["entries", 1, "number"], "12", 'entries[1].number: "12" is entered twice'),
    (["entries", 0, "number"], "12345678", "entries[0].number: must be an exhibitor number"),
    (["entries", 0, "number"], "", "entries[0].number: must be an exhibitor number"),
    (["entries", 0, "number"], "12\n", "entries[0].number: must be an exhibitor number"),
    (["entries", 0, "number"], "１２", "entries[0].number: must be an exhibitor number"),
    (["entries", 0, "horse"], "x", "entries[0].horse: is not a field known here"),
    (["notes", 0, "kind"], "marks", "notes[0].kind: must be one of mark"),
    (["notes", 0, "class"], "c1", "notes[0].class: is not a field known here"),
    (["notes", 0, "trait"], "ears", 'notes[0].trait: "ears" is not a trait of the standard'),
    (["notes", 0, "view"], "above", 'notes[0].view: "above" is not a view of the standard'),
    (["notes", 0, "view"], "front", 'notes[0].view: "topline" is judged from profile only'),
    (["notes", 0, "degree"], 4, "notes[0].degree: is out of range"),
    (["notes", 0, "degree"], 0, "notes[0].degree: 0 is no degree"),
    (["notes", 0, "degree"], True, "notes[0].degree: must be a whole number"),
    (["notes", 0, "degree"], DROP, "notes[0].degree: is missing"),
    (["notes", 0, "at"], "now", "notes[0].at: must be a whole number"),
    (["notes", 0, "replaces"], None, "notes[0].replaces: must be a list"),
    (["notes", 0, "id"], "n1", 'notes[1].id: "n1" is the id of another note'),
    (["notes", 1, "done"], 1, "notes[1].done: must be true or false"),
    (["notes", 1, "done"], False, "notes[1].done: must be true, or null"),
    (["notes", 1, "view"], "above", "notes[1].view"),
    (["notes", 2, "tag"], "sore", "notes[2].tag: must be one of blemish"),
    (["notes", 3, "pair"], ["12", "12"], "notes[3].pair: needs two different numbers"),
    (["notes", 3, "pair"], ["12"], "notes[3].pair"),
    (["notes", 3, "winner"], "9", "notes[3].winner: must be one of the pair"),
    (["notes", 4, "reason"], None, "notes[4].reason: is needed for excused"),
    (["notes", 5, "numbers"], ["12", "12"], "notes[5].numbers: names a horse twice"),
    (["notes", 6, "numbers"], None, "notes[6].reason: is needed to take a signature back"),
    (["notes", 7, "grade"], 6, "notes[7].grade: is out of range"),
    (["notes", 7, "observer"], "veterinarian", "notes[7].observer: goes with a call without a card"),
    (["notes", 7, "card"], None, "notes[7].observer: goes with a call without a card"),
    (["notes", 8, "card"], "judge-a", "notes[8].card: is not a field known here"),
    (["notes", 9, "now"], "T1", "notes[9].now: must be another number"),
    (["notes", 0], [], "notes[0]: must be an object"),
    (["notes"], {}, "notes: must be a list"),
]


@pytest.mark.parametrize(
    ("path", "value", "said"),
    REFUSED,
    ids=[f"{'.'.join(map(str, p))}={'left out' if v is DROP else repr(v)}" for p, v, _ in REFUSED],
)
def test_what_is_wrong_is_refused_with_its_place(path: list[Any], value: Any, said: str) -> None:
    with pytest.raises(Refused) as refusal:
        checked_class_file(changed(FILE, path, value))
    assert said in str(refusal.value)


def test_a_fault_only_trait_has_no_good_degree() -> None:
    good = note("mark", "m", number="7", trait="knees", view="profile", degree=1)
    with pytest.raises(Refused, match=r"notes\[0\]\.degree: .* can only be a fault"):
        checked_class_file(class_file(["7"], [good]))


def test_a_trait_not_judged_in_the_class_is_refused() -> None:
    mark = note("mark", "m", number="7", trait="sex", view="head", degree=1)
    with pytest.raises(Refused, match=r"notes\[0\]\.trait: .* is not judged in a class of these sexes"):
        checked_class_file(class_file(["7"], [mark], sexes=["gelding"]))


@pytest.mark.parametrize("value", [None, [], "x", 3])
def test_what_is_no_object_is_no_class_file(value: Any) -> None:
    with pytest.raises(Refused):
        checked_class_file(value)
