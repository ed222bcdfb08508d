"""A whole show as one file: all of it out, all of it in, the same out again; the office's copy sealed."""

from __future__ import annotations

import copy
import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nearside.show.chain import digest_of, verified
from nearside.show.folder import catalogue_path, notes_path
from nearside.show.refusals import CannotOpen
from nearside.show.showfile import TABLES, office_copy, read_show_file
from nearside.show.strict_json import Refused, canonical, read_json
from nearside.show.transfer import show_in, show_out
from nearside.show.verifying import verified_account, verify_file, verify_folder
from nearside.store.still import read_catalogue, read_notes
from tests.engine.cases import changed
from tests.show.ground import SHOW, note, open_small_show, small_show
from tests.show.test_classfile_fuzz import junk, places
from tests.show.whole_show import NAMES, all_told, make_whole_show
from tests.web.house import house


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the whole show, and its file beside it."""
    folder = tmp_path_factory.mktemp("whole")
    make_whole_show(folder / "data")
    show_out(folder / "data", None, folder / "show.json")
    return folder


def test_what_goes_out_comes_in_and_goes_out_again_byte_for_byte(whole: Path, tmp_path: Path) -> None:
    show, notes = show_in(whole / "show.json", tmp_path / "data")
    assert (show["title"], notes) == ("Whole show", 13)
    show_out(tmp_path / "data", SHOW, tmp_path / "again.json")
    assert (tmp_path / "again.json").read_bytes() == (whole / "show.json").read_bytes()
    assert (
        canonical(json.loads((tmp_path / "again.json").read_bytes())).encode() == (tmp_path / "again.json").read_bytes()
    )
    # All that the catalogue holds is the same, but for codes, devices and the show's secret.
    before, after = (read_catalogue(catalogue_path(data / "data")).tables for data in (whole, tmp_path))
    for table in ("shows", *TABLES):
        assert before[table].keys() == after[table].keys()
        for key, record in before[table].items():
            secret = {"code", "secret"} & record.keys()
            assert {**record, **dict.fromkeys(secret)} == {**after[table][key], **dict.fromkeys(secret)}
            assert all(record[field] != after[table][key][field] for field in secret)
    (found,) = verify_folder(tmp_path / "data", None)
    assert found.is_whole
    assert sum(len(each.spans) for each in found.classes.values()) == 2


def test_every_seat_is_told_the_same_where_the_show_was_taken_in(whole: Path, tmp_path: Path) -> None:
    show_in(whole / "show.json", tmp_path / "data")
    assert all_told(tmp_path / "data") == all_told(whole / "data")


def test_the_show_is_all_there_and_goes_on_where_it_is_taken_in(whole: Path, tmp_path: Path) -> None:
    file = json.loads((whole / "show.json").read_bytes())
    records = canonical(file)
    assert all(name in records for name in NAMES)
    assert {each["kind"] for each in file["notes"]} >= {"mark", "sign", "entry", "lameness", "presence", "remark"}
    assert any("_late" in each for each in file["notes"])
    for field in ("divisions", "folded", "strikes", "gone", "study_office", "announced_at"):
        assert any(each.get(field) for each in file["classes"]), field
    assert any(each["gone"] for each in file["entries"] if "gone" in each)
    assert file["championships"][0]["named"]
    assert '"code"' not in records
    assert '"secret"' not in records
    show_in(whole / "show.json", tmp_path / "data")
    with small_show(tmp_path / "data") as ground:
        assert ground.push_one("judge-b", note("mark", "judge-b", **{"class": "c2"}))["status"] == "kept"
        assert len(ground.pull("judge-a").notes) > 5


def test_a_running_show_goes_out_and_none_is_taken_in_twice_or_over_another(tmp_path: Path) -> None:
    with small_show(tmp_path / "data") as ground:
        ground.push("judge-a", note("mark", "judge-a"))
        show_out(tmp_path / "data", None, tmp_path / "show.json")
        kept = (tmp_path / "show.json").read_bytes()
        with pytest.raises(CannotOpen, match="is there already"):
            show_out(tmp_path / "data", None, tmp_path / "show.json")
    before = read_catalogue(catalogue_path(tmp_path / "data"))
    with pytest.raises(CannotOpen, match="has the show s1 already"):
        show_in(tmp_path / "show.json", tmp_path / "data")
    assert read_catalogue(catalogue_path(tmp_path / "data")) == before
    assert (tmp_path / "show.json").read_bytes() == kept


def test_a_taking_in_that_was_broken_off_is_done_again_without_doubling(whole: Path, tmp_path: Path) -> None:
    journal = notes_path(tmp_path / "data", SHOW)
    notes = read_notes(notes_path(whole / "data", SHOW))
    journal.parent.mkdir(parents=True)
    half = notes.content[: notes.content.index(b"\n", 200) + 1]
    journal.write_bytes(half)
    show_in(whole / "show.json", tmp_path / "data")
    assert read_notes(journal).notes == notes.notes
    other = tmp_path / "other"
    open_small_show(other)
    with small_show(other) as ground:
        ground.push("judge-a", note("mark", "judge-a"))
    catalogue_path(other).unlink()
    with pytest.raises(CannotOpen, match="holds notes of another show"):
        show_in(whole / "show.json", other)


def test_a_show_goes_beside_another_and_its_codes_are_its_own(whole: Path, tmp_path: Path) -> None:
    file = json.loads((whole / "show.json").read_bytes())
    file["show"]["id"] = "s2"
    (tmp_path / "s2.json").write_text(canonical(file))
    codes = {each.code for each in open_small_show(tmp_path / "data")}
    show_in(tmp_path / "s2.json", tmp_path / "data")
    seats = read_catalogue(catalogue_path(tmp_path / "data")).all("seats")
    assert len({each["code"] for each in seats}) == len(seats) == len(codes) + len(file["seats"])
    with pytest.raises(CannotOpen, match="say with --show"):
        show_out(tmp_path / "data", None, tmp_path / "out.json")
    show_out(tmp_path / "data", "s2", tmp_path / "out.json")
    assert (tmp_path / "out.json").read_bytes() == (tmp_path / "s2.json").read_bytes()


def broken(file: dict[str, Any], *place: Any, value: Any = "LEFT OUT") -> dict[str, Any]:
    file = copy.deepcopy(file)
    holder: Any = file
    for step in place[:-1]:
        holder = holder[step]
    if value == "LEFT OUT":
        del holder[place[-1]]
    else:
        holder[place[-1]] = value
    return file


@pytest.mark.parametrize(
    ("place", "value", "where"),
    [
        (("format",), "nearside-class/1", "format"),
        (("more",), 1, "more"),
        (("show", "id"), "../s1", "show.id"),
        (("show", "secret"), "x", "show.secret"),
        (("seats", 0, "code"), "ABCDEFGH", "seats[0].code"),
        (("seats", 0, "role"), "king", "seats[0].role"),
        (("seats", 1, "card"), "nobody", "seats[1]"),
        (("classes", 0, "judges"), ["nobody"], "classes[0].judges"),
        (("classes", 0, "class", "id"), "c/1", "classes[0].class.id"),
        (("classes", 1, "class", "id"), "c1", "classes[1]"),
        (("classes", 0, "class", "places"), 0, "classes[0].class.places"),
        (("entries", 0, "class"), "nowhere", "entries[0].class"),
        (("entries", 0, "number"), "a b", "entries[0].number"),
        (("championships", 0, "judge"), "nobody", "championships[0].judge"),
        (("championships", 0, "gone"), {"at": 1}, "championships[0].gone"),
        (("notes", 0, "class"), "", "notes[0].class"),
        (("notes", 0, "kind"), "mood", "notes[0].kind"),
        (("notes", 0, "more"), 1, "notes[0].more"),
        (("notes", 0, "_more"), 1, "notes[0]._more"),
        (("notes", 0, "_head"), "12", "notes[0]._head"),
        (("notes", 1, "id"), "t0", "notes[1].id"),
        (("notes", 0, "sealed"), "ab", "notes[0].sealed"),
        (("open_classes",), [], "open_classes"),
    ],
)
def test_what_is_no_show_s_file_is_refused_with_its_place(whole: Path, place: Any, value: Any, where: str) -> None:
    file = json.loads((whole / "show.json").read_bytes())
    file["notes"][0]["id"] = "t0"
    with pytest.raises(Refused) as refused:
        read_show_file(json.dumps(broken(file, *place, value=value)).encode())
    assert refused.value.where == where
    assert "\n" not in str(refused.value)


@settings(max_examples=300, deadline=None)
@given(st.data())
def test_a_show_s_file_with_anything_in_any_place_is_read_or_refused(whole: Path, data: st.DataObject) -> None:
    file = json.loads((whole / "show.json").read_bytes())
    for _ in range(data.draw(st.integers(1, 2))):
        file = changed(file, data.draw(st.sampled_from(places(file))), data.draw(junk))
    content = json.dumps(file).encode(errors="surrogatepass")
    try:
        read = read_show_file(content)
    except Refused:
        return
    assert canonical(read) == canonical(read_json(content))  # 2.0 is read as 2


def test_what_is_refused_leaves_nothing_behind(whole: Path, tmp_path: Path) -> None:
    content = (whole / "show.json").read_bytes()
    for given_bytes in (b"", b"{}", content[:-1], content.replace(b'"judge"', b'"king"'), b"\xff" + content):
        (tmp_path / "bad.json").write_bytes(given_bytes)
        with pytest.raises(CannotOpen, match=r"bad\.json: "):
            show_in(tmp_path / "bad.json", tmp_path / "new")
    with pytest.raises(CannotOpen, match="can't be read"):
        show_in(tmp_path / "nothing.json", tmp_path / "new")
    assert not (tmp_path / "new").exists()


def test_the_office_s_copy_holds_no_more_than_the_office_reads_and_its_chain_verifies(
    whole: Path, tmp_path: Path
) -> None:
    whole_file = json.loads((whole / "show.json").read_bytes())
    with small_show(whole / "data") as ground:
        office = ground.show.seats["office"]
        held = office_copy(whole_file, office, ground.show.facts)
        read = {each["id"] for each in ground.pull("office").notes}
    assert {each["id"] for each in held["notes"] if "sealed" not in each} == read
    sealed = [each for each in held["notes"] if "sealed" in each]
    assert all(set(each) == {"class", "sealed"} for each in sealed)
    assert "kind eye" not in canonical(held)
    (tmp_path / "copy.json").write_text(canonical(held))
    of_copy, (of_log,) = verify_file(tmp_path / "copy.json"), verify_folder(whole / "data", None)
    assert of_copy.is_whole
    assert {each: of_copy.classes[each].head for each in of_copy.classes} == {"c1": of_log.classes["c1"].head}
    # In a log a digest never stands for a note.
    log = [each for each in whole_file["notes"] if each["class"] == "c1"]
    place = next(place for place, each in enumerate(log) if each["kind"] == "sign") - 1
    log[place] = {"class": "c1", "sealed": digest_of(log[place])}
    assert not verified(SHOW, "c1", log).is_whole
    with pytest.raises(Refused, match="the office's copy"):
        read_show_file(canonical(held).encode())


def test_the_copy_is_for_the_office_alone_and_tells_nothing_of_what_is_not_signed_by_all(tmp_path: Path) -> None:
    with house(tmp_path / "data") as web:
        web.push("steward", note("presence"))
        before = web.get("/api/show-file", "office")
        assert before.headers["content-disposition"] == 'attachment; filename="test-show.json"'
        assert before.headers["cache-control"] == "no-store"
        assert before.json()["open_classes"] == ["c1", "c2"]
        web.push("judge-a", note("mark", "judge-a"), note("sign", "judge-a"))
        web.push("judge-b", note("remark", "judge-b"))
        assert web.get("/api/show-file", "office").content == before.content
        for seat in ("judge-a", "steward", "scribe-a", "trainee-a"):
            assert web.get("/api/show-file", seat).status_code == 403
        assert web.get("/api/show-file").status_code == 401
        web.push("judge-b", note("sign", "judge-b"))
        answer = web.get("/api/show-file", "office", headers={"Accept-Encoding": "gzip"})
        assert answer.headers["content-encoding"] == "gzip"
        assert answer.json()["open_classes"] == ["c2"]
        kinds = [each.get("kind", "sealed") for each in answer.json()["notes"]]
        assert kinds == ["presence", "sealed", "sign", "sealed", "sign"]
        assert web.get("/api/show-file", "office", headers={"Accept-Encoding": ""}).json() == answer.json()
    for name, content, checked in (("before", before.content, []), ("after", answer.content, ["c1"])):
        (tmp_path / name).write_bytes(content)
        found = verify_file(tmp_path / name)
        assert (found.is_whole, list(found.classes)) == (True, checked)
        assert "only in part, and not checked" in verified_account(found)
