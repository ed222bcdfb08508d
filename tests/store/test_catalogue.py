"""The catalogue's file on a real file system; what it does on a bad one is in `tests/crash/`."""

import threading
from pathlib import Path

import pytest
from tinydb.storages import Storage

from nearside.store import lines
from nearside.store.catalogue import FORMAT, AtomicStorage, TinyCatalogue
from nearside.store.disk import Disk
from nearside.store.protocol import Change, StoreDamaged, StoreFailed, StoreLocked


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "data" / "catalogue.json"


def test_the_file_is_replaced_whole_and_nothing_else_is_left_beside_it(path: Path) -> None:
    catalogue = TinyCatalogue(path)
    assert not path.exists()
    catalogue.change([Change("shows", "s1", {"id": "s1"})])
    first = path.stat().st_ino
    catalogue.change([Change("shows", "s2", {"id": "s2"})])
    assert path.stat().st_ino != first
    assert sorted(file.name for file in path.parent.iterdir()) == ["catalogue.json", "catalogue.json.lock"]
    assert path.read_text().splitlines()[1][9:] == '{"shows":{"s1":{"id":"s1"},"s2":{"id":"s2"}}}'
    assert path.stat().st_mode & 0o777 == 0o600
    catalogue.close()


def test_no_change_at_all_writes_nothing(path: Path) -> None:
    catalogue = TinyCatalogue(path)
    catalogue.change([])
    assert not path.exists()
    catalogue.close()


def test_a_half_written_new_file_of_a_crash_is_cleared_away(path: Path) -> None:
    catalogue = TinyCatalogue(path)
    catalogue.change([Change("shows", "s1", {"id": "s1"})])
    catalogue.close()
    beside = path.with_name("catalogue.json.new")
    beside.write_bytes(b"half")
    again = TinyCatalogue(path)
    assert again.all("shows") == [{"id": "s1"}]
    assert not beside.exists()
    again.close()


def test_a_second_catalogue_on_the_file_is_refused_until_the_first_is_closed(path: Path) -> None:
    first = TinyCatalogue(path)
    first.change([Change("shows", "s1", {"id": "s1"})])
    with pytest.raises(StoreLocked, match="in use by another process"):
        TinyCatalogue(path)
    first.close()
    TinyCatalogue(path).close()


WRONG: dict[str, bytes] = {
    "empty": b"",
    "somebody else's": b'{"shows": {}}\n',
    "another format": lines.line(b'{"format":"nearside-catalogue/9"}', 0)[0],
    "no tables": lines.line(lines.to_json({"format": FORMAT}), 0)[0],
}


@pytest.mark.parametrize("what", WRONG)
def test_a_file_that_is_no_catalogue_is_refused_with_a_sentence_and_left_alone(path: Path, what: str) -> None:
    path.parent.mkdir()
    path.write_bytes(WRONG[what])
    with pytest.raises(StoreDamaged, match=r"is damaged at byte 0: .*from a backup") as damage:
        TinyCatalogue(path)
    assert str(path) in str(damage.value)
    assert path.read_bytes() == WRONG[what]


@pytest.mark.parametrize("body", [[], {"shows": []}, {"shows": {"s1": 7}}])
def test_a_right_checksum_over_something_else_than_tables_is_refused(path: Path, body: object) -> None:
    header, crc = lines.line(lines.to_json({"format": FORMAT}), 0)
    path.parent.mkdir()
    path.write_bytes(header + lines.line(lines.to_json(body), crc)[0])
    with pytest.raises(StoreDamaged, match="tables of records"):
        TinyCatalogue(path)


def test_after_a_folder_that_could_not_be_synced_nothing_more_is_changed(path: Path) -> None:
    class Failing(Disk):
        is_armed = False

        def sync_dir(self, path: Path) -> None:
            if self.is_armed:
                raise OSError(5, "Input/output error")
            super().sync_dir(path)

    disk = Failing()
    catalogue = TinyCatalogue(path, disk)
    disk.is_armed = True
    with pytest.raises(StoreFailed, match="could not be synced"):
        catalogue.change([Change("shows", "s1", {"id": "s1"})])
    assert catalogue.all("shows") == []
    disk.is_armed = False
    with pytest.raises(StoreFailed, match="until the server is started anew"):
        catalogue.change([Change("shows", "s2", {"id": "s2"})])
    catalogue.close()


def test_it_is_a_storage_tinydb_can_use(path: Path) -> None:
    storage = AtomicStorage(path, Disk())
    assert isinstance(storage, Storage)
    storage.write({"shows": {"s1": {"id": "s1"}}})
    assert storage.read() == {"shows": {"s1": {"id": "s1"}}}
    storage.close()


def test_several_threads_may_change_and_read_at_once(path: Path) -> None:
    catalogue = TinyCatalogue(path)
    wrong: list[object] = []

    def change(writer: int) -> None:
        for number in range(15):
            name = f"{writer}-{number}"
            catalogue.change([Change("seats", name, {"id": name}), Change("devices", name, {"id": name})])
            if catalogue.get("devices", name) is None or not catalogue.all("seats"):
                wrong.append(name)

    threads = [threading.Thread(target=change, args=(writer,)) for writer in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert wrong == []
    assert len(catalogue.all("seats")) == len(catalogue.all("devices")) == 60
    catalogue.close()
