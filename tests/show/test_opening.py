"""Opening a show: seats, codes, records; all of it or nothing."""

from __future__ import annotations

import doctest
from pathlib import Path
from typing import Any

import pytest

from nearside.show import opening
from nearside.show.classfile import checked_class_file
from nearside.show.folder import add_in_folder, open_in_folder
from nearside.show.opening import notes_with_cards, seats_asked
from nearside.show.refusals import CannotOpen
from nearside.show.seats import Seat
from nearside.show.showground import Showground
from nearside.show.standards import shipped_standard
from nearside.store.catalogue import TinyCatalogue
from tests.show.ground import IDS, SEATS, class_file, note, open_small_show, small_show


def test_the_examples_in_the_docstrings_hold() -> None:
    assert doctest.testmod(opening).failed == 0


def test_seats_get_ids_names_cards_and_judges_by_the_order_they_are_asked_for() -> None:
    seats = {each.id: each for each in seats_asked(SEATS, "s")}
    assert tuple(seats) == IDS
    assert {name: seat.card for name, seat in seats.items() if seat.card} == {
        "judge-a": "judge-a",
        "scribe-a": "judge-a",
        "trainee-a": "trainee-a",
        "judge-b": "judge-b",
        "scribe-b": "judge-b",
        "trainee-b": "trainee-b",
    }
    assert (seats["trainee-a"].shadows, seats["trainee-b"].shadows) == ("judge-a", "judge-b")


def test_a_show_has_an_office_even_where_none_is_asked_for() -> None:
    assert [each.id for each in seats_asked(["judge:Ada"], "s")] == ["office", "judge-a"]
    assert [each.id for each in seats_asked(["judge", "office:Desk"], "s")] == ["judge-a", "office"]
    assert [each.id for each in seats_asked(["steward", "steward"], "s")] == ["office", "steward-a", "steward-b"]
    assert seats_asked(["announcer:Mill Meadow"], "s")[1] == Seat("announcer", "s", "announcer", "Mill Meadow", None)


def test_thirty_judges_have_thirty_ids() -> None:
    seats = seats_asked(["judge"] * 30, "s")
    assert len({each.id for each in seats}) == 31
    assert seats[-1].id == "judge-ad"


@pytest.mark.parametrize("asked", ["scribe", "referee", "", "judge:" + "x" * 121, ":Name"])
def test_a_seat_that_cannot_be_is_refused(asked: str) -> None:
    with pytest.raises(CannotOpen, match="--seat"):
        seats_asked([asked], "s")


def test_every_seat_has_a_code_of_its_own_and_the_catalogue_is_read_back_whole(tmp_path: Path) -> None:
    opened = open_small_show(tmp_path)
    assert len({each.code for each in opened}) == len(IDS)
    with small_show(tmp_path) as ground:
        assert list(ground.show.classes) == ["c1", "c2"]
        assert {each.seat.id: each.seat for each in opened} == ground.show.seats


def open_with(data: Path, *files: dict[str, Any], title: str = "T", show_id: str = "s") -> None:
    open_in_folder(data, show_id, title, [checked_class_file(each) for each in files], seats_asked(SEATS, show_id), [])


def own_standard(key: str, title: str) -> dict[str, Any]:
    file = class_file(title)
    file["class"]["standard"] = {**shipped_standard("stock-type"), "key": key, "title": title}
    return file


@pytest.mark.parametrize(
    ("files", "title", "word"),
    [
        ([class_file("c1"), class_file("c1")], "T", "two of the files"),
        ([class_file("c/1")], "T", "class id"),
        ([class_file("")], "T", "class id"),
        ([class_file("c1")], " ", "--title"),
        ([class_file("c1")], "x" * 121, "--title"),
        ([own_standard("k", "one"), own_standard("k", "other")], "T", "two different standards"),
        ([own_standard("stock-type", "mine")], "T", "two different standards"),
    ],
)
def test_what_cannot_be_opened_is_refused_and_leaves_nothing(
    tmp_path: Path, files: list[dict[str, Any]], title: str, word: str
) -> None:
    with pytest.raises(CannotOpen, match=word):
        open_with(tmp_path, *files, title=title)
    ground = Showground.in_folder(tmp_path)
    assert ground.shows == {}
    assert not list(tmp_path.glob("shows/*"))
    ground.catalogue.close()


def test_a_second_show_stands_beside_the_first_and_the_same_one_is_refused(tmp_path: Path) -> None:
    open_with(tmp_path, class_file(), show_id="s1")
    open_with(tmp_path, class_file(), show_id="s2")
    with pytest.raises(CannotOpen, match="s2"):
        open_with(tmp_path, class_file(), show_id="s2")
    with small_show(tmp_path) as ground:
        assert set(ground.ground.shows) == {"s1", "s2"}
        assert all(each.show == "s1" for each in ground.show.seats.values())


def test_notes_taken_along_get_a_judge_s_card_and_ids_of_their_class() -> None:
    def without_class(one: dict[str, Any]) -> dict[str, Any]:
        return {field: value for field, value in one.items() if field != "class"} | {"by": "blue"}

    marks = [
        without_class(note("mark", "blue", id="n1")),
        without_class(note("mark", "blue", id="n2", replaces=["n1"])),
        without_class(note("remark", "blue", id="n3", about="n9")),
        without_class(note("presence", id="n4", by="gate")),
        without_class(note("lameness", id="n5", by="gate")),
    ]
    file, _ = checked_class_file(class_file("c7", card="blue", notes=marks))
    first, second, third, fourth, _ = notes_with_cards([file], ["judge-a"])
    assert (first["id"], first["card"], first["by"], first["class"]) == ("c7/n1", "judge-a", "judge-a", "c7")
    assert second["replaces"] == ["c7/n1"]
    assert third["about"] == "c7/n9"
    assert "card" not in fourth


def test_a_note_that_a_phone_made_keeps_its_id_and_is_in_one_class_alone() -> None:
    made = "5f0c3b9e-91f1-4c6e-8c5e-0b1f6a2d7e34"
    again = "5f0c3b9e-91f1-4c6e-8c5e-0b1f6a2d7e35"
    marks = [
        {**note("mark", "judge-b", id=made, by="judge-b")},
        {**note("mark", "judge-b", id=again, by="judge-b", replaces=[made])},
    ]
    for mark in marks:
        del mark["class"]
    files = [checked_class_file(class_file(each, card="judge-b", notes=marks))[0] for each in ("c7", "c8")]
    first, second = notes_with_cards(files[:1], ["judge-a", "judge-b"])
    assert (first["id"], second["id"], second["replaces"]) == (made, again, [made])
    # A card that goes by a judge's name is that judge's.
    assert {(each["card"], each["by"]) for each in (first, second)} == {("judge-b", "judge-b")}
    with pytest.raises(CannotOpen, match="c7 and c8 hold the same note"):
        notes_with_cards(files, ["judge-a", "judge-b"])


def added(data: Path, *files: dict[str, Any], show: str | None = None) -> str:
    return add_in_folder(data, show, [checked_class_file(each) for each in files], with_notes=True)


def test_a_class_is_added_to_a_show_with_its_notes_once_however_often_it_is_tried(tmp_path: Path) -> None:
    open_small_show(tmp_path)
    mark = note("mark", "judge-b", by="judge-b")
    del mark["class"]
    file = class_file("c3", card="judge-b", notes=[mark])
    # Interrupted after the notes were in the log, as a power cut would.
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(TinyCatalogue, "change", lambda *_: (_ for _ in ()).throw(OSError("cut")))
        with pytest.raises(OSError, match="cut"):
            added(tmp_path, file)
    with small_show(tmp_path) as ground:
        assert list(ground.show.classes) == ["c1", "c2"]
    other = note("mark", "judge-b", by="judge-b")
    del other["class"]
    with pytest.raises(CannotOpen, match="from another file, whose adding was broken off"):
        added(tmp_path, class_file("c3", card="judge-b", notes=[other]))
    assert added(tmp_path, file) == "Test show"
    with small_show(tmp_path) as ground:
        assert list(ground.show.classes) == ["c1", "c2", "c3"]
        assert ground.ids("judge-b") == {f"c3/{mark['id']}"}
        assert ground.ids("judge-a") == set()
    with pytest.raises(CannotOpen, match="has a class c3 already"):
        added(tmp_path, file)
    with pytest.raises(CannotOpen, match="--show which show gets the class; there are: s1"):
        added(tmp_path, class_file("c4"), show="s9")
    with pytest.raises(CannotOpen, match="two different standards"):
        added(tmp_path, own_standard("stock-type", "mine"))
    made = "5f0c3b9e-91f1-4c6e-8c5e-0b1f6a2d7e34"
    added(tmp_path, class_file("c5", card="judge-b", notes=[mark | {"id": made}]))
    with pytest.raises(CannotOpen, match='already, in class "c5" and with other content'):
        added(tmp_path, class_file("c6", card="judge-b", notes=[mark | {"id": made}]))
    with small_show(tmp_path) as ground:
        assert list(ground.show.classes) == ["c1", "c2", "c3", "c5"]


def test_more_cards_than_judges_are_refused() -> None:
    files = [checked_class_file(class_file(each, card=each))[0] for each in ("one", "two")]
    assert notes_with_cards(files, ["judge-a", "judge-b"]) == []
    with pytest.raises(CannotOpen, match="judges"):
        notes_with_cards(files, ["judge-a"])
