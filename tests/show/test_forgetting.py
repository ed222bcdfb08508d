"""Names and words are gone from every file of the show, its result and its chain are what they were."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from nearside.show.forgetting import forget, to_forget
from nearside.show.refusals import CannotOpen
from nearside.show.resultlist import results_for
from nearside.show.showfile import read_show_file
from nearside.show.strict_json import canonical
from nearside.show.transfer import show_in, show_out
from nearside.show.verifying import verify_folder
from nearside.store.protocol import StoreLocked
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
    rows = [each.get("result") or each.get("cards") for each in told["classes"]]
    return json.loads(canonical(rows).replace('"identification"', '"id"'))  # type: ignore[no-any-return]


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
    before = placed(tmp_path / "data")
    forget(tmp_path / "data", SHOW)
    after = placed(tmp_path / "data")
    for rows, bare in zip(before, after, strict=True):
        assert [(each["place"], each["number"]) for each in rows] == [(each["place"], each["number"]) for each in bare]
        assert all(each["horse"] is None is each["exhibitor"] for each in bare)
    with small_show(tmp_path / "data") as ground:
        assert ground.show.seats["judge-a"].name == "Judge A"
        assert ground.push_one("judge-b", note("remark", "judge-b", **{"class": "c2"}))["status"] == "kept"
        assert not any(field.startswith("_") for each in ground.pull("judge-a").notes for field in each)
    show_out(tmp_path / "data", None, tmp_path / "show.json")
    read_show_file((tmp_path / "show.json").read_bytes())
    show_in(tmp_path / "show.json", tmp_path / "new")
    assert verify_folder(tmp_path / "new", None)[0].is_whole


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
