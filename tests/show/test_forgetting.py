"""Names and words are gone from every file of the show, its result and its chain are what they were."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from nearside.show.folder import notes_path
from nearside.show.forgetting import forget, to_forget
from nearside.show.refusals import CannotOpen
from nearside.show.resultlist import results_for
from nearside.show.showfile import TABLES, read_show_file
from nearside.show.transfer import show_in, show_out
from nearside.show.verifying import verify_folder
from nearside.store.protocol import StoreLocked
from nearside.store.still import read_notes
from tests.show.desk import MARES, NO_NAMES, ask_with_a_full_log, desk
from tests.show.ground import SHOW, note, small_show
from tests.show.whole_show import NAMES, WORDS, make_whole_show


def content(folder: Path) -> str:
    return "".join(path.read_text() for path in sorted(folder.rglob("*")) if path.is_file())


def placed(data: Path) -> list[Any]:
    """Of each class and card the places, as the announcer gets them."""
    with small_show(data) as ground:
        records, show = ground.ground.records(ground.show), ground.show
        seat = next(each for each in show.seats.values() if each.role == "announcer")
        told = results_for(records, seat, lambda _class_id: "")
    return [each.get("result") or each.get("cards") for each in told["classes"]]


def test_no_name_and_no_words_are_left_and_the_show_verifies_as_before(tmp_path: Path) -> None:
    make_whole_show(tmp_path)
    before = content(tmp_path)
    assert all(words in before for words in (*NAMES, *WORDS, "gone home", "wrong age", "best of the day"))
    heads = [each.head for each in verify_folder(tmp_path, None)[0].classes.values()]
    said = to_forget(tmp_path, None)
    assert content(tmp_path) == before
    done = forget(tmp_path, None)
    assert (done.records, done.notes) == (said.records, said.notes)
    after = content(tmp_path)
    for words in (*NAMES, *WORDS, "gone home", "wrong age", "best of the day"):
        assert words not in after, words
    (found,) = verify_folder(tmp_path, None)
    assert found.is_whole
    assert [each.head for each in found.classes.values()] == heads
    assert sum(each.taken_out for each in found.classes.values()) == 6
    assert "bay, star" in after
    again = forget(tmp_path, None)
    assert (again.records, again.notes) == (0, 0)
    assert content(tmp_path) == after


def test_the_show_is_served_and_put_out_as_before_with_the_same_places(tmp_path: Path) -> None:
    make_whole_show(tmp_path / "data")
    with desk(tmp_path / "data") as at:
        at.ask("class", **{**MARES, "id": "c2", "title": "Placed", "standard": "stock-type", "judges": ["judge-b"]})
        for number, marks in (("44", "grey"), ("12", "star, snip")):
            at.ground.push("steward", note("entry", **{"class": "c2", "number": number, "identification": marks}))
        signature = note("sign", "judge-b", **{"class": "c2", "numbers": ["30", "12", "7", "44"]})
        assert at.ground.push_one("judge-b", signature)["status"] == "kept"
        named = {"identification": "bay 7", "horse": NAMES[0], "exhibitor": NAMES[1], "division": None}
        at.ask("entry", **{"class": "c2", "number": "7", **named})
    before = placed(tmp_path / "data")
    forget(tmp_path / "data", SHOW)
    after = placed(tmp_path / "data")
    told = ("place", "number", "identification", "horse", "exhibitor")
    assert [[[each[field] for field in told] for each in rows] for rows in before] == [
        [[1, "12", "bay 12", None, None]],
        [
            [1, "30", "bay 30", None, None],
            [2, "12", "star, snip", None, None],
            [3, "7", "bay 7", *NAMES[:2]],
            [4, "44", "grey", None, None],
        ],
    ]
    # Of what marks the horses, the office's list is what stays.
    without = {"horse": None, "exhibitor": None}
    (first, second) = before
    second[1]["identification"], second[3]["identification"] = "bay 12", None
    assert after == [[{**each, **without} for each in first], [{**each, **without} for each in second]]
    with small_show(tmp_path / "data") as ground:
        assert ground.show.seats["judge-a"].name == "Judge A"
        assert ground.push_one("judge-b", note("remark", "judge-b", **{"class": "c2"}))["status"] == "kept"
        assert not any(field.startswith("_") for each in ground.pull("judge-a").notes for field in each)
    show_out(tmp_path / "data", None, tmp_path / "show.json")
    read_show_file((tmp_path / "show.json").read_bytes())
    show_in(tmp_path / "show.json", tmp_path / "new")
    assert verify_folder(tmp_path / "new", None)[0].is_whole


def test_every_text_of_a_record_was_thought_of(tmp_path: Path) -> None:
    """One that is new here is somebody's words, to be taken out, or it goes to the others with what says so."""
    make_whole_show(tmp_path / "data")
    show_out(tmp_path / "data", None, tmp_path / "show.json")
    file = json.loads((tmp_path / "show.json").read_bytes())
    for each in file["classes"]:
        del each["class"]["standard"]
    of_ours = {"id", "role", "how", "stage", "method", "lameness", "sexes", "ages", "number", "announced_as", "warned"}
    of_ours |= {"outcome"}
    names_another = {"card", "shadows", "class", "into", "to", "by", "judge", "judges", "classes", "feeds", "division"}
    stays, goes = {"title", "identification"}, {"name", "horse", "exhibitor", "reason", "why"}
    records = [file["show"], *(file[table] for table in TABLES)]
    assert texts(records) <= {*of_ours, *names_another, *stays, *goes}
    assert texts(records) >= goes


def texts(value: Any, field: str = "") -> set[str]:
    """The fields that hold text, anywhere in a value."""
    if isinstance(value, dict):
        return set().union(*(texts(held, name) for name, held in value.items()))
    if isinstance(value, list):
        return set().union(*(texts(held, field) for held in value))
    return {field} if isinstance(value, str) else set()


def test_words_that_a_full_log_still_owes_a_change_hold_it_up(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        ask_with_a_full_log(ground, "entry", **{**NO_NAMES, "identification": "the old mare"})
    before = content(tmp_path)
    assert "promised" in before
    for work in (to_forget, forget):
        with pytest.raises(CannotOpen, match=r"half written.* start it once"):
            work(tmp_path, None)
    assert content(tmp_path) == before
    with small_show(tmp_path):
        pass
    forget(tmp_path, None)
    with small_show(tmp_path):
        pass
    notes = read_notes(notes_path(tmp_path, SHOW)).notes
    assert [each["identification"] for each in notes] == [None, None]


def test_what_was_not_finished_by_a_crash_is_finished_by_doing_it_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    make_whole_show(tmp_path)

    def dies(*_: object) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as patched:
        patched.setattr("nearside.store.catalogue.TinyCatalogue.change", dies)
        with pytest.raises(KeyboardInterrupt):
            forget(tmp_path, None)
    assert "kind eye" not in content(tmp_path)
    assert NAMES[0] in content(tmp_path)
    forget(tmp_path, None)
    assert NAMES[0] not in content(tmp_path)
    assert verify_folder(tmp_path, None)[0].is_whole


def test_a_show_that_is_served_or_not_there_is_left_alone(tmp_path: Path) -> None:
    make_whole_show(tmp_path)
    with small_show(tmp_path):
        before = content(tmp_path)
        with pytest.raises(StoreLocked):
            forget(tmp_path, None)
        assert content(tmp_path) == before
    with pytest.raises(CannotOpen, match="there are: s1"):
        forget(tmp_path, "s9")


def test_classes_that_are_not_signed_by_all_their_judges_are_named_before(tmp_path: Path) -> None:
    make_whole_show(tmp_path)
    assert to_forget(tmp_path, None).open_classes == []
    with small_show(tmp_path) as ground:
        ground.push("judge-b", note("mark", "judge-b", **{"class": "c2"}))
    assert to_forget(tmp_path, None).open_classes == ["Stock type mares c2"]
    with desk(tmp_path) as at:
        at.ask("seat", id=None, role="judge", name="Judge who left", judge=None)
        for seat in ("judge-a", "judge-b"):
            assert at.ground.push_one(seat, note("sign", seat, **{"class": "c2"}))["status"] == "kept"
        left = next(each["id"] for each in at.state()["seats"] if each["name"] == "Judge who left")
        at.ask("seat-gone", id=left)
    assert to_forget(tmp_path, None).open_classes == []
