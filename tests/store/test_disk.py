"""The file calls of a store on a real file system."""

import errno
import os
from pathlib import Path

import pytest

from nearside.store.disk import Disk, refusal, write_all
from nearside.store.protocol import StoreFailed, StoreFull


def test_a_file_is_written_read_and_cut_by_descriptor(tmp_path: Path) -> None:
    disk = Disk()
    path = tmp_path / "file"
    assert not disk.exists(path)
    fd = disk.open(path)
    assert disk.write(fd, b"0123456789", 0) == 10
    assert disk.write(fd, b"ab", 4) == 2
    disk.sync(fd)
    assert disk.read(fd) == b"0123ab6789"
    disk.truncate(fd, 3)
    assert disk.read(fd) == b"012"
    disk.close(fd)
    assert disk.exists(path)
    assert path.stat().st_mode & 0o777 == 0o600


def test_a_file_that_is_there_is_opened_as_it_is(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"old")
    disk = Disk()
    fd = disk.open(tmp_path / "file")
    assert disk.read(fd) == b"old"
    disk.close(fd)


def test_a_second_lock_is_refused_until_the_first_is_closed(tmp_path: Path) -> None:
    disk = Disk()
    first, second = disk.open(tmp_path / "file"), disk.open(tmp_path / "file")
    disk.lock(first)
    with pytest.raises(BlockingIOError):
        disk.lock(second)
    disk.close(first)
    disk.lock(second)
    disk.close(second)


def test_a_name_is_given_over_another_and_taken_away(tmp_path: Path) -> None:
    (tmp_path / "old").write_bytes(b"old")
    (tmp_path / "new").write_bytes(b"new")
    disk = Disk()
    disk.rename(tmp_path / "new", tmp_path / "old")
    disk.sync_dir(tmp_path)
    assert (tmp_path / "old").read_bytes() == b"new"
    disk.remove(tmp_path / "old")
    disk.remove(tmp_path / "old")
    assert list(tmp_path.iterdir()) == []


def test_each_directory_that_is_made_is_synced_into_its_parent(tmp_path: Path) -> None:
    synced: list[Path] = []

    class Watched(Disk):
        def sync_dir(self, path: Path) -> None:
            super().sync_dir(path)
            synced.append(path)

    Watched().make_dirs(tmp_path / "a" / "b" / "c")
    assert (tmp_path / "a" / "b" / "c").is_dir()
    assert synced == [tmp_path, tmp_path / "a", tmp_path / "a" / "b"]
    synced.clear()
    Watched().make_dirs(tmp_path / "a" / "b" / "c")
    assert synced == []


def test_a_write_taken_in_parts_is_carried_on_until_all_is_there(tmp_path: Path) -> None:
    class Small(Disk):
        def write(self, fd: int, data: bytes, offset: int) -> int:
            return super().write(fd, data[:3], offset)

    disk = Small()
    fd = disk.open(tmp_path / "file")
    write_all(disk, fd, b"0123456789", 2)
    assert disk.read(fd) == b"\0\0" + b"0123456789"
    disk.close(fd)


def test_a_write_that_takes_nothing_is_a_full_disk() -> None:
    class Full(Disk):
        def write(self, fd: int, data: bytes, offset: int) -> int:  # noqa: ARG002
            return 0

    with pytest.raises(OSError, match=os.strerror(errno.ENOSPC)):
        write_all(Full(), -1, b"x", 0)


@pytest.mark.parametrize(
    ("number", "kind"),
    [(errno.ENOSPC, StoreFull), (errno.EDQUOT, StoreFull), (errno.EIO, StoreFailed), (errno.EACCES, StoreFailed)],
)
def test_a_refusal_of_the_disk_says_which_file_why_and_what_to_do(number: int, kind: type[Exception]) -> None:
    error = refusal(Path("/data/x"), "could not be written", OSError(number, os.strerror(number)))
    assert type(error) is kind
    assert str(error).startswith(f"/data/x could not be written: {'the disk is full' if kind is StoreFull else ''}")
    assert os.strerror(number) in str(error)


def test_a_real_full_file_system_says_so() -> None:
    fd = os.open("/dev/full", os.O_RDWR)
    with pytest.raises(OSError, match=os.strerror(errno.ENOSPC)):
        write_all(Disk(), fd, b"x", 0)
    os.close(fd)
