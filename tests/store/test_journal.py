"""The journal on a real file system; what it does on a bad one is in `tests/crash/`."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from nearside.store import lines
from nearside.store.disk import Disk
from nearside.store.journal import FORMAT, Journal
from nearside.store.protocol import StoreClosed, StoreDamaged, StoreFailed, StoreLocked


def test_groups_are_found_again_in_order_and_handed_out_once(tmp_path: Path) -> None:
    journal = Journal(tmp_path / "a.journal", Disk())
    assert journal.take_groups() == []
    journal.append(b'["a"]')
    journal.append(b'["b","c"]')
    journal.close()
    again = Journal(tmp_path / "a.journal", Disk())
    assert [group for _, group in again.take_groups()] == [["a"], ["b", "c"]]
    assert again.take_groups() == []
    again.close()


def test_the_file_is_text_that_begins_with_its_format(tmp_path: Path) -> None:
    journal = Journal(tmp_path / "a.journal", Disk())
    journal.append(b'["a"]')
    journal.close()
    first, second = (tmp_path / "a.journal").read_text().splitlines()
    assert first[9:] == f'{{"format":"{FORMAT}"}}'
    assert second[9:] == '["a"]'


def test_a_group_costs_one_write_and_one_sync(tmp_path: Path) -> None:
    calls: list[str] = []

    class Counting(Disk):
        def write(self, fd: int, data: bytes, offset: int) -> int:
            calls.append("write")
            return super().write(fd, data, offset)

        def sync(self, fd: int) -> None:
            calls.append("sync")
            super().sync(fd)

    journal = Journal(tmp_path / "a.journal", Counting())
    calls.clear()
    journal.append(lines.to_json(["x" * 100_000]))
    assert calls == ["write", "sync"]
    journal.close()


def test_missing_folders_are_made(tmp_path: Path) -> None:
    Journal(tmp_path / "data" / "shows" / "a.journal", Disk()).close()
    assert (tmp_path / "data" / "shows" / "a.journal").exists()


def test_a_second_journal_on_the_file_is_refused_until_the_first_is_closed(tmp_path: Path) -> None:
    first = Journal(tmp_path / "a.journal", Disk())
    with pytest.raises(StoreLocked, match="in use by another process"):
        Journal(tmp_path / "a.journal", Disk())
    first.close()
    Journal(tmp_path / "a.journal", Disk()).close()


def test_another_process_is_refused_and_told_why(tmp_path: Path) -> None:
    journal = Journal(tmp_path / "a.journal", Disk())
    code = (
        "import sys, pathlib\n"
        "from nearside.store.disk import Disk\n"
        "from nearside.store.journal import Journal\n"
        "from nearside.store.protocol import StoreLocked\n"
        "try:\n    Journal(pathlib.Path(sys.argv[1]), Disk())\n"
        "except StoreLocked as error:\n    print(error)\n"
    )
    told = subprocess.run(
        [sys.executable, "-c", code, tmp_path / "a.journal"], capture_output=True, text=True, check=True
    )
    assert str(tmp_path / "a.journal") in told.stdout
    journal.close()


def test_a_refused_opening_leaves_no_lock_behind(tmp_path: Path) -> None:
    (tmp_path / "a.journal").write_text("not ours\n")
    with pytest.raises(StoreDamaged):
        Journal(tmp_path / "a.journal", Disk())
    (tmp_path / "a.journal").unlink()
    Journal(tmp_path / "a.journal", Disk()).close()


@pytest.mark.parametrize("content", [b"somebody else's text", b"somebody else's text\n", b"\x89PNG\r\n\x1a\n\0\0"])
def test_a_file_that_is_no_journal_is_refused_and_left_alone(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "a.journal"
    path.write_bytes(content)
    with pytest.raises(StoreDamaged) as damage:
        Journal(path, Disk())
    assert damage.value.offset == 0
    assert path.read_bytes() == content


def test_a_journal_of_another_format_is_refused_by_name(tmp_path: Path) -> None:
    path = tmp_path / "a.journal"
    path.write_bytes(lines.line(b'{"format":"nearside-journal/2"}', 0)[0])
    with pytest.raises(StoreDamaged, match="nearside-journal/1, not 'nearside-journal/2'"):
        Journal(path, Disk())


def test_a_folder_in_the_place_of_the_file_is_refused_with_a_sentence(tmp_path: Path) -> None:
    with pytest.raises(StoreFailed, match="could not be opened: Is a directory"):
        Journal(tmp_path, Disk())


def test_a_closed_journal_takes_no_more(tmp_path: Path) -> None:
    journal = Journal(tmp_path / "a.journal", Disk())
    journal.close()
    journal.close()
    with pytest.raises(StoreClosed):
        journal.append(b"[]")


def test_a_write_broken_off_by_anything_but_the_disk_ends_the_appending(tmp_path: Path) -> None:
    class Interrupted(Disk):
        is_armed = False

        def sync(self, fd: int) -> None:
            if self.is_armed:
                raise MemoryError
            super().sync(fd)

    disk = Interrupted()
    journal = Journal(tmp_path / "a.journal", disk)
    disk.is_armed = True
    with pytest.raises(MemoryError):
        journal.append(b'["a"]')
    disk.is_armed = False
    with pytest.raises(StoreFailed, match="was broken off"):
        journal.append(b'["b"]')
    journal.close()


def test_no_descriptor_is_leaked_by_opening_and_refusing(tmp_path: Path) -> None:
    (tmp_path / "bad").write_text("not ours\n")
    before = len(os.listdir("/proc/self/fd"))
    for _ in range(5):
        with pytest.raises(StoreDamaged):
            Journal(tmp_path / "bad", Disk())
        Journal(tmp_path / "good", Disk()).close()
    assert len(os.listdir("/proc/self/fd")) == before
