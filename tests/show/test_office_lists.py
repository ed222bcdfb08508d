"""A list of entries at the show table: every row previewed, all taken or none, known numbers brought up to date."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from nearside.show.office_commands import list_read
from tests.show.desk import MARES, Desk, desk
from tests.show.ground import class_file, note

LIST = "No;Marks;Horse;Exhibitor\n12;;Ash;A. Field\n44;dun;Oak;\n7;bay 7;;\n"


def read(office: Desk, text: str, class_id: str | None = "c1") -> dict[str, Any]:
    """The preview of a list."""
    return list_read(office.ground.ground.records(office.ground.show), {"text": text, "class": class_id})


def problems(office: Desk, text: str, class_id: str | None = "c1") -> list[str | None]:
    preview = read(office, text, class_id)
    assert preview["ok"] == (not any(each["problem"] for each in preview["rows"]))
    return [each["problem"] for each in preview["rows"]]


def test_a_list_is_previewed_row_by_row_and_then_taken_whole(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        before = office.state()
        preview = read(office, LIST)
        assert office.state() == before
        assert [each["as"] for each in preview["columns"]] == ["number", "identification", "horse", "exhibitor"]
        assert [(each["line"], each["number"], each["is"], each["problem"]) for each in preview["rows"]] == [
            (2, "12", "changed", None),
            (3, "44", "new", None),
            (4, "7", "same", None),
        ]
        assert (preview["ok"], preview["rows"][1]["class"]) == (True, "c1")
        office.ask("entries-take", **{"text": LIST, "class": "c1"})
        assert office.numbers() == ["7", "12", "30", "44"]
        # An empty cell wipes nothing.
        assert office.entry("12")["identification"] == "bay 12"
        assert (office.entry("12")["horse"], office.entry("44")["horse"]) == ("Ash", "Oak")
        assert {each["is"] for each in read(office, LIST)["rows"]} == {"same"}


def test_taking_the_same_list_again_changes_nothing_and_wakes_nobody(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        office.ask("entries-take", **{"text": LIST, "class": "c1"})
        before = office.state()
        listener = office.ground.show.bell.listen("d", office.ground.show.seats["office"])
        office.ask("entries-take", **{"text": LIST, "class": "c1"})
        assert office.state() == before
        assert not listener.wake.is_set()


def test_one_bad_row_and_none_is_taken(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        refusal = office.refused("entries-take", **{"text": LIST + "12-7;grey;;\n", "class": "c1"})
        assert refusal.where == "line 5"
        assert refusal.sentence.startswith('line 5: number: "12-7" is none')
        assert "No row was taken" in refusal.sentence


def test_a_column_of_classes_spreads_a_list_over_the_show(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        text = "Class,No,Horse\nC1,81,Ash\n2,82,Oak\nstock type  mares C2,83,Elm\nclass c1,84,Fir\n"
        assert [each["class"] for each in read(office, text, None)["rows"]] == ["c1", "c2", "c2", "c1"]
        office.ask("entries-take", **{"text": text, "class": None})
        assert (office.numbers("c1")[3:], office.numbers("c2")[3:]) == (["81", "84"], ["82", "83"])
        assert problems(office, "Class,No\nC9,90\n,91\nC2,92\n", None) == [
            'class: no class is called "C9"; use a class\'s title, or its short name such as C1',
            "class: it is missing",
            None,
        ]
        assert [each["class"] for each in read(office, "Class,No\nC2,90\n,91\n", "c1")["rows"]] == ["c2", "c1"]
        assert office.refused("entries-take", **{"text": "7\n", "class": None}).where == "class"
        assert office.refused("entries-take", **{"text": "7\n", "class": "c9"}).code == "unknown_class"
        assert office.refused("entries-take", **{"text": " \n", "class": "c1"}).where == "text"
        assert office.refused("entries-take", **{"text": "7" * 1_000_001, "class": "c1"}).code == "too_large"


def test_two_classes_of_one_title_are_told_apart_by_their_short_names(tmp_path: Path) -> None:
    files = [class_file(), class_file("c2")]
    files[1]["class"]["title"] = files[0]["class"]["title"]
    with desk(tmp_path, files=files) as office:
        (problem,) = problems(office, "Class,No\nStock type mares c1,90\n", None)
        assert problem is not None
        assert problem.endswith("can mean two classes here; give the short name, C1 or C2")


def test_a_bare_number_is_a_class_s_place_in_the_day_or_its_short_name_and_is_not_guessed(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        office.ask("class", **MARES)
        text = "Class,No\n1,81\nClass no. 2,82\nclass 3,83\n"
        assert [each["class"] for each in read(office, text, None)["rows"]] == ["c1", "c2", "c3"]
        office.ask("classes-order", ids=["c1", "c3", "c2"])
        assert problems(office, text, None) == [
            None,
            'class: "Class no. 2" can mean two classes here; give the short name, C2 or C3',
            'class: "class 3" can mean two classes here; give the short name, C3 or C2',
        ]
        office.ask("class-gone", id="c3")
        assert [each["class"] for each in read(office, "Class,No\n2,82\n", None)["rows"]] == ["c2"]
        assert problems(office, "Class,No\n0,82\n9,83\n99999,84\n", None).count(None) == 0


def test_a_number_is_in_a_class_once_whatever_it_is_called(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        office.ground.push("steward", note("entry", number="12", now="21"))
        assert problems(office, "44\n 44\n12\n21\n") == [
            None,
            "number: 44 is in line 1 already",
            None,
            "number: 21 is in line 3 already",
        ]
        office.ask("entries-take", **{"text": "No,Horse\n21,Ash\n", "class": "c1"})
        assert office.entry("12")["horse"] == "Ash"
        assert office.numbers() == ["7", "12", "30"]


def test_a_horse_that_was_taken_out_comes_back_with_what_was_known_of_it(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        office.ask("entries-take", **{"text": LIST, "class": "c1"})
        office.ask("entry-gone", **{"class": "c1", "number": "12", "reason": None})
        assert [each["is"] for each in read(office, "12\n")["rows"]] == ["new"]
        office.ask("entries-take", **{"text": "12\n", "class": "c1"})
        assert (office.entry("12")["horse"], office.entry("12")["gone"]) == ("Ash", None)


def test_a_list_corrects_what_the_gate_wrote_and_leaves_alone_what_it_does_not_say(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        office.ground.push("steward", note("entry", number="44", identification="grey"))
        office.ask("entries-take", **{"text": "No,Horse\n44,Ash\n", "class": "c1"})
        assert (office.entry("44")["identification"], office.entry("44")["horse"]) == ("grey", "Ash")
        office.ask("entries-take", **{"text": "No,Marks\n44,grey star\n", "class": "c1"})
        assert office.entry("44")["identification"] == "grey star"


def test_nobody_comes_by_a_list_into_a_class_that_is_signed_or_has_divisions(tmp_path: Path) -> None:
    files = [class_file(), class_file("c2"), class_file("c3")]
    files[2]["entries"] = []
    with desk(tmp_path, files=files) as office:
        office.ask("combine", classes=["c1", "c3"], title="Both")
        assert "divisions" in str(problems(office, "44\n", "c4")[0])
        office.ground.push("judge-a", {**note("sign", "judge-a"), "class": "c2"})
        assert [bool(each) for each in problems(office, "44\n12\n", "c2")] == [True, False]


def test_a_class_has_so_many_entries_at_most(tmp_path: Path) -> None:
    with desk(tmp_path) as office:
        found = problems(office, "".join(f"{number}\n" for number in range(1001, 1500)))
        assert [each is None for each in found] == [True] * 497 + [False] * 2
