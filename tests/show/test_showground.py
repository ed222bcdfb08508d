"""Devices: joining, leaving, being revoked; and what is kept of codes and tokens."""

from __future__ import annotations

from collections.abc import Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from pathlib import Path
from threading import Event
from typing import Any

import pytest

from nearside.show.codes import digest
from nearside.show.folder import catalogue_path, notes_path
from nearside.show.office_commands import planned
from nearside.show.records import Planned, Records
from nearside.show.refusals import CannotOpen, Refusal
from nearside.show.showground import MOST_PLANS
from nearside.store.catalogue import TinyCatalogue
from nearside.store.notes import TinyNoteStore
from nearside.store.protocol import Catalogue, Change, StoreFailed, StoreFull, StoreLocked
from tests.show.desk import ASKING
from tests.show.ground import SHOW, note, open_small_show, small_show


def test_a_code_gives_its_seat_a_device_that_outlives_a_restart(tmp_path: Path) -> None:
    codes = {each.seat.id: each.code for each in open_small_show(tmp_path)}
    with small_show(tmp_path) as ground:
        device, token, former = ground.ground.join(codes["scribe-b"].lower(), None, 5)
        assert (device.seat.id, former) == ("scribe-b", None)
        assert ground.ground.device(token) == device
    with small_show(tmp_path) as ground:
        assert ground.ground.device(token).seat.id == "scribe-b"


def test_two_devices_may_share_a_seat(tmp_path: Path) -> None:
    codes = {each.seat.id: each.code for each in open_small_show(tmp_path)}
    with small_show(tmp_path) as ground:
        one, first, _ = ground.ground.join(codes["judge-a"], None, 5)
        other, second, _ = ground.ground.join(codes["judge-a"], None, 6)
        assert one.id != other.id
        assert ground.ground.device(first).seat == ground.ground.device(second).seat


@pytest.mark.parametrize("typed", ["", "ABCD2345", "x" * 10_000, "\ud800"])
def test_a_wrong_code_is_refused_and_changes_nothing(tmp_path: Path, typed: str) -> None:
    with small_show(tmp_path) as ground:
        with pytest.raises(Refusal) as refusal:
            ground.ground.join(typed, None, 5)
        assert refusal.value.code == "wrong_code"
        assert ground.ground.catalogue.all("devices") == []


def test_a_browser_that_joins_another_seat_gives_up_the_former(tmp_path: Path) -> None:
    codes = {each.seat.id: each.code for each in open_small_show(tmp_path)}
    with small_show(tmp_path) as ground:
        old, token, _ = ground.ground.join(codes["judge-a"], None, 5)
        device, new_token, former = ground.ground.join(codes["office"], token, 6)
        assert former == old
        assert [each["id"] for each in ground.ground.catalogue.all("devices")] == [device.id]
        with pytest.raises(Refusal, match="no seat yet"):
            ground.ground.device(token)
        assert ground.ground.device(new_token).seat.id == "office"


def test_a_device_that_left_is_unknown_and_one_revoked_is_told_so_even_after_a_restart(tmp_path: Path) -> None:
    codes = {each.seat.id: each.code for each in open_small_show(tmp_path)}
    with small_show(tmp_path) as ground:
        _, gone, _ = ground.ground.join(codes["judge-a"], None, 5)
        ground.ground.leave(gone)
        assert ground.ground.leave(gone) is None
        device, token, _ = ground.ground.join(codes["judge-b"], None, 5)
        ground.ground.revoke(ground.show, device.id)
    with small_show(tmp_path) as ground:
        for each, code in ((gone, "not_joined"), (token, "revoked"), (None, "not_joined"), ("", "not_joined")):
            with pytest.raises(Refusal) as refusal:
                ground.ground.device(each)
            assert refusal.value.code == code
        assert [each["revoked"] for each in ground.ground.devices_of(ground.show)] == [True]
        with pytest.raises(Refusal, match="no such device"):
            ground.ground.revoke(ground.show, "nobody")


def test_of_a_token_only_the_digest_is_on_the_disk(tmp_path: Path) -> None:
    codes = {each.seat.id: each.code for each in open_small_show(tmp_path)}
    with small_show(tmp_path) as ground:
        _, token, _ = ground.ground.join(codes["judge-a"], None, 5)
    text = b"".join(path.read_bytes() for path in tmp_path.rglob("*") if path.is_file())
    assert token.encode() not in text
    assert digest(token).encode() in text


def test_the_data_folder_is_for_its_owner_alone(tmp_path: Path) -> None:
    with small_show(tmp_path):
        for path in tmp_path.rglob("*"):
            if path.is_file():
                assert path.stat().st_mode & 0o077 == 0, path.name


def test_where_the_catalogue_cannot_be_written_nobody_has_joined(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    codes = {each.seat.id: each.code for each in open_small_show(tmp_path)}
    with small_show(tmp_path) as ground:

        def full(_catalogue: Catalogue, _changes: object) -> None:
            raise StoreFull("The disk is full.")

        with monkeypatch.context() as patch:
            patch.setattr(type(ground.ground.catalogue), "change", full)
            with pytest.raises(StoreFull):
                ground.ground.join(codes["judge-a"], None, 5)
        assert ground.ground._devices == {}


@pytest.mark.parametrize(
    "record",
    [
        Change("seats", "gone/office", {"id": "office", "show": "gone", "code": "ABCD2345"}),
        Change("devices", "d1", {"id": "d1", "show": SHOW, "seat": "nobody", "token": "t", "revoked": False}),
    ],
)
def test_a_catalogue_that_names_a_missing_seat_is_refused_in_one_line_and_holds_no_file(
    tmp_path: Path, record: Change
) -> None:
    open_small_show(tmp_path)
    catalogue = TinyCatalogue(catalogue_path(tmp_path))
    catalogue.change([record])
    catalogue.close()
    for _ in range(2):  # a log or a catalogue still held would be refused as in use
        with pytest.raises(CannotOpen, match="names a seat that is not there"), small_show(tmp_path):
            pass
    TinyCatalogue(catalogue_path(tmp_path)).close()
    TinyNoteStore(notes_path(tmp_path, SHOW)).close()


def test_a_folder_that_is_served_already_is_refused(tmp_path: Path) -> None:
    with small_show(tmp_path), pytest.raises(StoreLocked), small_show(tmp_path):
        pass


@pytest.mark.parametrize("command", ["seat-gone", "seat-code"])
def test_a_join_that_meets_its_code_being_taken_away_is_refused_and_the_server_starts_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, command: str
) -> None:
    codes = {each.seat.id: each.code for each in open_small_show(tmp_path)}
    with small_show(tmp_path) as ground, ThreadPoolExecutor(1) as phone:
        catalogue, joining = ground.ground.catalogue, list[Future[Any]]()
        change, seat_with, looked = catalogue.change, ground.ground.seat_with, Event()

        def slow(changes: Sequence[Change]) -> None:
            if not joining:
                joining.append(phone.submit(ground.ground.join, codes["steward"], None, 5))
                looked.wait(0.2)  # only where the code is looked at too early: it still leads somewhere
            change(changes)

        def seen(typed: str) -> Any:
            found = seat_with(typed)
            looked.set()
            return found

        monkeypatch.setattr(catalogue, "change", slow)
        monkeypatch.setattr(ground.ground, "seat_with", seen)
        plan = planned(command, {"id": "steward"}, ASKING)
        ground.runner.run(ground.ground.change(ground.show, plan))
        with pytest.raises(Refusal, match="No seat has this code"):
            joining[0].result(20)
        assert catalogue.all("devices") == []
    with small_show(tmp_path) as ground:
        assert ("steward" in ground.show.seats) == (command == "seat-code")


def test_a_plan_is_made_again_where_a_note_came_meanwhile(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        take_away, looks = planned("seat-gone", {"id": "trainee-b"}, ASKING), list[int]()

        def plan(records: Records) -> Planned:
            made = take_away(records)
            if not looks:
                ground.show.store.append([{**note("mark", "trainee-b"), "by": "trainee-b"}])
            looks.append(ground.show.store.head())
            return made

        with pytest.raises(Refusal, match="has a card with notes on it"):
            ground.runner.run(ground.ground.change(ground.show, plan))
        assert "trainee-b" in ground.show.seats
        assert looks == [1]


def test_notes_that_never_stop_wait_for_the_last_plan_and_its_writing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with small_show(tmp_path) as ground, ThreadPoolExecutor() as phones:
        store, catalogue = ground.show.store, ground.ground.catalogue
        retitle, looks, coming = planned("show", {"title": "Harvest show"}, ASKING), list[int](), list[Future[Any]]()
        change, written_at = catalogue.change, list[int]()

        def plan(records: Records) -> Planned:
            looks.append(store.head())
            made = retitle(records)
            coming.append(phones.submit(store.append, [{**note("presence"), "by": "steward"}]))
            if len(looks) <= MOST_PLANS:
                coming[-1].result(20)
            return made

        def writing(changes: Sequence[Change]) -> None:
            coming.append(phones.submit(store.append, [{**note("presence"), "by": "steward"}]))
            with pytest.raises(TimeoutError):
                coming[-1].result(0.1)
            change(changes)
            written_at.append(store.head())

        monkeypatch.setattr(catalogue, "change", writing)
        ground.runner.run(ground.ground.change(ground.show, plan))
        assert looks == [*range(MOST_PLANS), MOST_PLANS]
        assert written_at == [MOST_PLANS]
        assert [each.result(20)[0].status for each in coming] == ["kept"] * (MOST_PLANS + 2)
        assert ground.show.title == "Harvest show"


def test_a_device_left_on_a_seat_that_is_gone_is_found_revoked(tmp_path: Path) -> None:
    codes = {each.seat.id: each.code for each in open_small_show(tmp_path)}
    with small_show(tmp_path) as ground:
        device, token, _ = ground.ground.join(codes["steward"], None, 5)
        seat = ground.ground.catalogue.get("seats", f"{SHOW}/steward")
        assert seat is not None
        ground.ground.catalogue.change([Change("seats", f"{SHOW}/steward", {**seat, "gone": {"at": 6}})])
    with small_show(tmp_path) as ground:
        with pytest.raises(Refusal) as refusal:
            ground.ground.device(token)
        assert refusal.value.code == "revoked"
        assert [(each["id"], each["revoked"]) for each in ground.ground.devices_of(ground.show)] == [(device.id, True)]


def test_a_show_whose_log_cannot_be_opened_is_not_opened(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        before = ground.ground.catalogue.all("shows"), ground.ground.catalogue.all("seats")
        (tmp_path / "shows").rename(tmp_path / "elsewhere")
        (tmp_path / "shows").write_text("no folder")
        with pytest.raises(StoreFailed):
            ground.ground.open_show("Harvest show", 5)
        assert (ground.ground.catalogue.all("shows"), ground.ground.catalogue.all("seats")) == before
        (tmp_path / "shows").unlink()
        (tmp_path / "elsewhere").rename(tmp_path / "shows")
    with small_show(tmp_path) as ground:
        assert list(ground.ground.shows) == [SHOW]


def test_a_show_the_catalogue_cannot_take_leaves_no_log_open(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with small_show(tmp_path) as ground:

        def full(_changes: object) -> None:
            raise StoreFull("The disk is full.")

        with monkeypatch.context() as patch:
            patch.setattr(ground.ground.catalogue, "change", full)
            with pytest.raises(StoreFull):
                ground.ground.open_show("Harvest show", 5)
        assert list(ground.ground.shows) == [SHOW]
        for path in (tmp_path / "shows").glob("show-*.notes"):
            TinyNoteStore(path).close()  # a log still held would be refused as in use
        ground.ground.open_show("Harvest show", 5)
        assert len(ground.ground.shows) == 2
