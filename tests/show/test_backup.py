"""A backup holds all that was acknowledged, is whole or refused, and is put in its place in one step."""

from __future__ import annotations

import errno
import json
import os
import threading
import zipfile
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nearside.show import backup
from nearside.show.backup import back_up, restore
from nearside.show.folder import open_in_folder
from nearside.show.refusals import CannotOpen, Refusal
from nearside.show.showfile import show_file
from nearside.show.transfer import show_in, show_out
from nearside.store import still
from nearside.store.disk import Disk
from nearside.store.protocol import StoreError, StoreFailed
from nearside.store.still import read_notes
from tests.show.desk import ask_with_a_full_log, desk
from tests.show.ground import note, small_show
from tests.show.whole_show import all_told, make_whole_show


def noted(data: Path) -> Path:
    """A show with a few notes in a folder."""
    with small_show(data) as ground:
        ground.push("judge-a", note("mark", "judge-a"), note("remark", "judge-a"), note("sign", "judge-a"))
    return data


def content(folder: Path) -> dict[str, bytes]:
    """Every file below a folder but the locks."""
    files = (path for path in folder.rglob("*") if path.is_file() and path.suffix != ".lock")
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in files}


def test_a_running_show_is_copied_byte_for_byte_and_put_back(tmp_path: Path) -> None:
    data = noted(tmp_path / "data")
    with small_show(data) as ground:
        ground.push("steward", note("presence"))
        (held,) = back_up(data, tmp_path / "a.zip", 1)
        before = content(data)
        ground.push("steward", note("presence"))
    assert held == ("Test show", 4)
    (tmp_path / "new").mkdir()  # an empty folder is as good as none
    for place in ("new", "other"):
        assert restore(tmp_path / "a.zip", tmp_path / place) == [held]
        assert content(tmp_path / place) == before
    with small_show(tmp_path / "new") as ground:
        assert len(ground.pull("judge-a").notes) == 4
    assert sorted(path.name for path in tmp_path.iterdir()) == ["a.zip", "data", "new", "other"]


def test_every_seat_is_told_the_same_after_backup_and_restore(tmp_path: Path) -> None:
    make_whole_show(tmp_path / "data")
    back_up(tmp_path / "data", tmp_path / "a.zip", 1)
    restore(tmp_path / "a.zip", tmp_path / "new")
    told = all_told(tmp_path / "data")
    assert "Silver Lining" in told["office"]
    assert all_told(tmp_path / "new") == told


def test_a_group_that_is_being_written_is_left_out_and_the_show_goes_on(tmp_path: Path) -> None:
    data = noted(tmp_path / "data")
    journal = data / "shows" / "s1.notes"
    whole = journal.read_bytes()
    journal.write_bytes(whole + b'0123abcd [{"id":"half')
    assert back_up(data, tmp_path / "a.zip", 1)[0].notes == 3
    restore(tmp_path / "a.zip", tmp_path / "new")
    assert (tmp_path / "new/shows/s1.notes").read_bytes() == whole
    assert journal.read_bytes() != whole


def test_a_show_opened_while_the_first_is_copied_is_in_the_backup_with_its_notes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    data = noted(tmp_path / "data")
    read, late = read_notes, [{**note("presence"), "by": "steward"}]

    def opens_another(path: Path) -> Any:
        if late:
            open_in_folder(data, "s2", "Second show", [], [], [late.pop()])
        return read(path)

    monkeypatch.setattr(still, "read_notes", opens_another)
    assert back_up(data, tmp_path / "a.zip", 1) == [("Test show", 3), ("Second show", 1)]


def test_a_change_in_the_midst_of_a_copy_is_in_it_with_its_notes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    read = read_notes
    with desk(tmp_path / "data") as at:
        copies: dict[str, Callable[[], object]] = {
            "44": lambda: back_up(tmp_path / "data", tmp_path / "44.zip", 1),
            "45": lambda: show_out(tmp_path / "data", None, tmp_path / "45.json"),
        }
        for number, take_copy in copies.items():
            at.ground.push("steward", note("entry", number=number))
            taken: list[str] = []

            def takes_it_out(path: Path, number: str = number, taken: list[str] = taken) -> Any:
                found = read(path)
                if not taken:
                    taken.append(number)
                    at.ask("entry-gone", **{"class": "c1", "number": number, "reason": None})
                return found

            monkeypatch.setattr(still, "read_notes", takes_it_out)
            take_copy()
            assert number not in at.numbers()
    monkeypatch.undo()
    restore(tmp_path / "44.zip", tmp_path / "restored")
    show_in(tmp_path / "45.json", tmp_path / "taken in")
    for place, number in (("restored", "44"), ("taken in", "45")):
        with desk(tmp_path / place) as at:
            assert at.entry(number)["gone"] is not None
            assert number not in at.numbers()


def test_the_office_s_copy_waits_for_a_change_that_is_being_written(tmp_path: Path) -> None:
    found = []
    with desk(tmp_path) as at:
        ground, show = at.ground.ground, at.ground.show
        at.ground.push("steward", note("entry", number="44"))
        asks = threading.Thread(target=lambda: found.append(ground.as_it_stands(show)))
        append = show.store.append

        def is_asked_meanwhile(notes: Any) -> Any:
            asks.start()
            return append(notes)

        with pytest.MonkeyPatch.context() as patched:
            patched.setattr(show.store, "append", is_asked_meanwhile)
            at.ask("entry-gone", **{"class": "c1", "number": "44", "reason": None})
        asks.join()
    ((tables, notes),) = found
    assert [each["kind"] for each in notes] == ["entry", "presence"]
    assert show_file(tables, tables["shows"][0], notes)["notes"] == notes


def test_a_catalogue_that_changes_all_the_time_is_refused_in_the_end(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    read = read_notes
    with desk(tmp_path / "data") as at:

        def renames(path: Path) -> Any:
            at.ask("show", title=f"Show {len(asked)}")
            asked.append(path)
            return read(path)

        monkeypatch.setattr(still, "read_notes", renames)
        for work in (
            lambda: back_up(tmp_path / "data", tmp_path / "a.zip", 1),
            lambda: show_out(tmp_path / "data", None, tmp_path / "a.json"),
        ):
            asked: list[Path] = []
            with pytest.raises(StoreFailed, match="Try again"):
                work()
            assert len(asked) == still.MOST_READINGS
    assert [path.name for path in tmp_path.iterdir()] == ["data"]


def test_notes_that_a_full_log_still_owes_a_change_come_with_a_backup_and_hold_up_a_show_s_file(
    tmp_path: Path,
) -> None:
    with small_show(tmp_path / "data") as ground:
        ask_with_a_full_log(ground, "entry-gone", reason=None)
        back_up(tmp_path / "data", tmp_path / "a.zip", 1)
        with pytest.raises(CannotOpen, match=r"s1 can't be put into a file: .* Try again; .* start it once"):
            show_out(tmp_path / "data", None, tmp_path / "a.json")
        tables, notes = ground.ground.as_it_stands(ground.show)
        with pytest.raises(Refusal, match="half written"):
            show_file(tables, tables["shows"][0], notes)
    assert not (tmp_path / "a.json").exists()
    restore(tmp_path / "a.zip", tmp_path / "new")
    with desk(tmp_path / "new") as at:
        assert "44" not in at.numbers()
        show_out(tmp_path / "new", None, tmp_path / "a.json")


def test_no_backup_takes_the_place_of_another_and_nothing_is_put_over_a_folder_with_something_in_it(
    tmp_path: Path,
) -> None:
    data = noted(tmp_path / "data")
    back_up(data, tmp_path / "a.zip", 1)
    kept = (tmp_path / "a.zip").read_bytes()
    with pytest.raises(CannotOpen, match="is there already"):
        back_up(data, tmp_path / "a.zip", 2)
    assert (tmp_path / "a.zip").read_bytes() == kept
    before = content(data)
    for place in (data, tmp_path / "a.zip"):
        with pytest.raises(CannotOpen, match="holds something already"):
            restore(tmp_path / "a.zip", place)
    assert content(data) == before


def test_a_damaged_show_is_not_backed_up(tmp_path: Path) -> None:
    data = noted(tmp_path / "data")
    journal = data / "shows" / "s1.notes"
    journal.write_bytes(journal.read_bytes().replace(b"topline", b"topLine"))
    with pytest.raises(StoreError, match="is damaged at byte"):
        back_up(data, tmp_path / "a.zip", 1)
    with pytest.raises(StoreError, match="There is no"):
        back_up(tmp_path / "nothing", tmp_path / "a.zip", 1)
    assert [path.name for path in tmp_path.iterdir()] == ["data"]


class Failing(Disk):
    """A disk on which one step that changes something fails, counted from 0."""

    def __init__(self, step: int) -> None:
        self.left = step

    def _count(self) -> None:
        self.left -= 1
        if self.left < 0:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    def make_dirs(self, path: Path) -> None:
        self._count()
        super().make_dirs(path)

    def open(self, path: Path) -> int:
        self._count()
        return super().open(path)

    def write(self, fd: int, data: bytes, offset: int) -> int:
        self._count()
        return super().write(fd, data, offset)

    def sync(self, fd: int) -> None:
        self._count()
        super().sync(fd)

    def rename(self, old: Path, new: Path) -> None:
        self._count()
        super().rename(old, new)


def test_a_disk_that_fails_at_any_step_leaves_nothing_half_done(tmp_path: Path) -> None:
    data = noted(tmp_path / "data")
    back_up(data, tmp_path / "a.zip", 1)
    there = sorted(path.name for path in tmp_path.iterdir())
    works: list[Callable[[Disk], object]] = [
        lambda disk: back_up(data, tmp_path / "b.zip", 1, disk),
        lambda disk: restore(tmp_path / "a.zip", tmp_path / "new", disk),
        lambda disk: show_out(data, None, tmp_path / "b.json", disk),
    ]
    for work, least in zip(works, (4, 8, 4), strict=True):
        step = 0
        while True:
            said = ""
            try:
                work(Failing(step))
            except StoreError as error:
                said = str(error)
            if not said:
                break
            assert "the disk is full" in said
            assert sorted(path.name for path in tmp_path.iterdir()) == there
            step += 1
        assert step >= least
        there = sorted(path.name for path in tmp_path.iterdir())


def test_what_would_be_too_large_to_restore_is_not_packed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    data = noted(tmp_path / "data")
    size = sum(len(each) for each in content(data).values())
    monkeypatch.setattr(backup, "MOST_BYTES", size - 1)
    with pytest.raises(
        CannotOpen, match=rf"holds {size:,} bytes .* at most {size - 1:,}: .* copy the folder .* show-out"
    ):
        back_up(data, tmp_path / "a.zip", 1)
    assert [path.name for path in tmp_path.iterdir()] == ["data"]
    monkeypatch.setattr(backup, "MOST_BYTES", size)
    back_up(data, tmp_path / "a.zip", 1)
    restore(tmp_path / "a.zip", tmp_path / "new")


@pytest.mark.parametrize("size", [-(10**6), "1", None, 1.5, True])
def test_a_list_with_a_size_that_is_none_is_refused_before_anything_is_unpacked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, size: Any
) -> None:
    files = [
        {"name": "catalogue.db", "bytes": 1, "sha256": ""},
        {"name": "shows/s1.notes", "bytes": size, "sha256": ""},
    ]
    with zipfile.ZipFile(tmp_path / "a.zip", "w") as file:
        file.writestr("catalogue.db", "x")
        file.writestr(backup.LIST, json.dumps({"format": backup.FORMAT, "made_at": 1, "files": files}))
    unpacked: list[Any] = []
    monkeypatch.setattr(backup, "_file", lambda _content, listed: unpacked.append(listed))
    with pytest.raises(CannotOpen, match="is no backup of a show"):
        restore(tmp_path / "a.zip", tmp_path / "new")
    assert unpacked == []


class Unsynced(Disk):
    """A disk whose folders can't be synced."""

    def sync_dir(self, path: Path) -> None:
        raise OSError(errno.EIO, os.strerror(errno.EIO), str(path))


@pytest.mark.parametrize("name", ["a.zip", "a.json"])
def test_a_file_is_made_beside_those_that_are_there_and_is_gone_where_its_name_can_t_be_kept(
    tmp_path: Path, name: str
) -> None:
    data = noted(tmp_path / "data")
    (tmp_path / f"{name}.new").write_text("somebody's own")
    before = {path: path.is_file() and path.read_bytes() for path in tmp_path.iterdir()}

    def work(disk: Disk) -> object:
        file = tmp_path / name
        return back_up(data, file, 1, disk) if name == "a.zip" else show_out(data, None, file, disk)

    with pytest.raises(StoreFailed, match="could not be written"):
        work(Unsynced())
    assert {path: path.is_file() and path.read_bytes() for path in tmp_path.iterdir()} == before
    work(Disk())
    assert (tmp_path / f"{name}.new").read_text() == "somebody's own"
    assert {path.name for path in tmp_path.iterdir()} == {name, f"{name}.new", "data"}


def test_what_is_no_whole_backup_is_refused_in_one_line(tmp_path: Path) -> None:
    data = noted(tmp_path / "data")
    back_up(data, tmp_path / "a.zip", 1)
    packed = (tmp_path / "a.zip").read_bytes()
    foreign = tmp_path / "foreign.zip"
    with zipfile.ZipFile(foreign, "w") as file:
        file.writestr("catalogue.db", "hello")
    escaping = tmp_path / "escaping.zip"
    with zipfile.ZipFile(escaping, "w") as file:
        file.writestr("../out", "")
        listed = (
            '{"name":"../out","bytes":0,"sha256":"e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"}'
        )
        file.writestr(backup.LIST, f'{{"format":"nearside-backup/1","made_at":1,"files":[{listed}]}}')
    for name, given_bytes in (("empty", b""), ("text", b"a show"), ("cut", packed[: len(packed) // 2])):
        (tmp_path / name).write_bytes(given_bytes)
    for name in ("foreign.zip", "escaping.zip", "empty", "text", "cut", "nothing there"):
        with pytest.raises(CannotOpen) as refused:
            restore(tmp_path / name, tmp_path / "new")
        assert name in str(refused.value)
        assert "\n" not in str(refused.value)
    assert not (tmp_path / "new").exists()
    assert not (tmp_path / "out").exists()


@pytest.fixture(scope="module")
def packed(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    folder = tmp_path_factory.mktemp("packed")
    back_up(noted(folder / "data"), folder / "a.zip", 1)
    return (folder / "a.zip").read_bytes()


@settings(max_examples=300, deadline=None)
@given(st.data())
def test_a_backup_changed_anywhere_is_refused_or_gives_just_what_it_held(packed: bytes, data: st.DataObject) -> None:
    whole = backup._unpacked(packed, Path("a.zip"))
    changed = bytearray(packed)
    for _ in range(data.draw(st.integers(0, 3))):
        changed[data.draw(st.integers(0, len(packed) - 1))] = data.draw(st.integers(0, 255))
    changed = changed[: data.draw(st.integers(0, len(packed)) | st.just(len(packed)))]
    with suppress(CannotOpen):
        assert backup._unpacked(bytes(changed), Path("a.zip")) == whole
