"""The demonstration holds what it promises, and the files under `examples/` are the same.

After a change of the demonstration write them anew: python -m tests.show.test_demo
"""

from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from nearside.engine.placing import place
from nearside.engine.shapes import ClassFile, Placing
from nearside.show.championships import championships_for
from nearside.show.classfile import read_class_file
from nearside.show.demo import SEATS, as_text, demo_files
from nearside.show.folder import catalogue_path
from nearside.show.opening import notes_with_cards, seats_asked
from nearside.show.records import read_records
from nearside.show.seats import Facts, may_write, seat_of
from nearside.show.standards import shipped_standard, words
from nearside.store.catalogue import TinyCatalogue
from nearside.web.serve import open_demo

EXAMPLES = Path(__file__).parents[2] / "examples"
FILES = demo_files()
NAMES = sorted(FILES)
MARES, GELDINGS, FILLIES, HUNTERS = NAMES


def placed(class_file: ClassFile, *, without: str = "") -> Placing:
    kept: Any = {**class_file, "notes": [each for each in class_file["notes"] if each["kind"] != without]}
    return place(kept, shipped_standard(str(class_file["class"]["standard"])), words())


def test_the_examples_are_the_demonstration() -> None:
    assert {path.name for path in EXAMPLES.glob("[0-9]*.json")} == set(NAMES)
    for name, class_file in FILES.items():
        assert (EXAMPLES / name).read_text() == as_text(class_file), name
        assert read_class_file((EXAMPLES / name).read_bytes())[0] == class_file


@pytest.mark.parametrize("name", NAMES)
def test_each_example_is_placed_by_the_command_for_people_and_for_programs(name: str) -> None:
    command = [sys.executable, "-m", "nearside", "place", str(EXAMPLES / name)]
    read = subprocess.run(command, capture_output=True, text=True, timeout=60, check=True)
    assert FILES[name]["class"]["title"] in read.stdout
    told = subprocess.run([*command, "--json"], capture_output=True, text=True, timeout=60, check=True)
    assert json.loads(told.stdout) == placed(FILES[name])
    assert read.stderr + told.stderr == ""


def test_the_demonstration_is_the_same_each_time() -> None:
    assert demo_files() == FILES


def test_the_first_class_is_fully_noted_with_a_lame_horse_last_and_a_call_over_horses_far_apart() -> None:
    placing = placed(FILES[MARES])
    assert len(placing["placing"]) >= 8
    assert placing["unseen"] == []
    assert placing["unplaced"] == []
    assert placing["last_by_rule"] == ["23"]
    called = next(each for each in placing["pairs"] if each["basis"] == "call")
    alone = placed(FILES[MARES], without="over")["placing"]
    assert alone.index(called["upper"]) - alone.index(called["lower"]) >= 3
    assert any(each["one_step"] for each in placing["pairs"])


def test_the_second_class_is_half_noted_with_a_dispute_a_late_entry_and_a_number_put_right() -> None:
    placing = placed(FILES[GELDINGS])
    assert [each["standing"] for each in placing["unplaced"]] == ["not_looked", "absent"]
    assert placing["look_again"]
    (dispute,) = placing["disputes"]
    notes = {each["id"]: each for each in FILES[GELDINGS]["notes"]}
    assert {notes[each]["by"] for each in dispute["notes"]} == {"judge-a", "scribe-a"}
    assert "57" in placing["placing"]
    assert "57" not in {each["number"] for each in FILES[GELDINGS]["entries"]}
    assert "63" in placing["placing"]
    assert not any(each.get("number") == "63" for each in FILES[GELDINGS]["notes"])
    assert placing["strangers"] == []


def test_the_third_class_waits_and_in_the_fourth_the_veterinarian_s_call_leaves_a_horse_unplaced() -> None:
    assert placed(FILES[FILLIES])["placing"] == []
    assert {each["number"]: each["standing"] for each in placed(FILES[HUNTERS])["unplaced"]} == {
        "74": "not_placed",
        "77": "absent",
    }


def test_every_note_of_the_demonstration_is_one_its_seat_may_write() -> None:
    seats = {each.id: each for each in seats_asked(SEATS, "demo-1")}
    facts = Facts(judges=frozenset(each.id for each in seats.values() if each.role == "judge"))
    notes = notes_with_cards(FILES.values(), ["judge-a"])
    assert len({each["id"] for each in notes}) == len(notes)
    for each in notes:
        assert may_write(seats[each["by"]], each, facts), each


def test_the_show_table_knows_each_horse_and_exhibitor_by_a_name_and_the_files_know_none(tmp_path: Path) -> None:
    open_demo(tmp_path)
    catalogue = TinyCatalogue(catalogue_path(tmp_path))
    entries, classes = catalogue.all("entries"), catalogue.all("classes")
    catalogue.close()
    assert {each["class"] for each in entries} == {each["class"]["id"] for each in FILES.values()}
    assert len(entries) == sum(len(each["entries"]) for each in FILES.values())
    names = [name for each in entries for name in (each["horse"], each["exhibitor"])]
    assert len(set(names)) == len(names)
    files = "".join(map(as_text, FILES.values()))
    assert not [name for name in names if name in files]
    assert all(each["study_office"] for each in classes)


def test_the_demonstration_has_a_grand_championship_fed_by_two_that_wait_for_their_classes(tmp_path: Path) -> None:
    open_demo(tmp_path)
    catalogue = TinyCatalogue(catalogue_path(tmp_path))
    (show,) = catalogue.all("shows")
    records = read_records(catalogue, show["id"], lambda _class_id: [])
    told = championships_for(records, seat_of(records.seats["office"]))["championships"]
    catalogue.close()
    assert [(each["title"], each["waiting"]) for each in told] == [
        ("Champion stock type mare", ["Stock type mares, aged", "Stock type fillies, yearling"]),
        ("Champion hunter type", ["Hunter type geldings, three and over", "Hunter type mares, aged"]),
        ("Grand champion", ["Champion stock type mare", "Champion hunter type"]),
    ]


def test_horses_are_known_by_number_and_identification_marks_only() -> None:
    for class_file in FILES.values():
        for entry in class_file["entries"]:
            assert set(entry) == {"number", "identification"}
            # Colors and white markings are written small; a name would not be.
            assert re.fullmatch(r"[a-z, -]+", str(entry["identification"]))


if __name__ == "__main__":
    for each in EXAMPLES.glob("*.json"):
        each.unlink()
    for file_name, content in FILES.items():
        (EXAMPLES / file_name).write_text(as_text(content))
