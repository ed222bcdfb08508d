"""A show whose records change while it runs: written whole or not at all, taken up at once, known to everybody."""

from __future__ import annotations

import asyncio
from pathlib import Path

import pytest

from nearside.show.day import day_for
from nearside.show.records import Planned, Records
from nearside.show.refusals import Refusal
from nearside.show.showground import NotYetInLog
from nearside.store.protocol import Catalogue, Change, NoteStore, RecordUnfit, StoreFull
from tests.show.ground import Ground, note, small_show


def change(ground: Ground, *changes: Change) -> None:
    ground.runner.run(ground.ground.change(ground.show, lambda _records: Planned(changes)))


def class_record(ground: Ground, class_id: str = "c1") -> dict[str, object]:
    return dict(ground.ground.records(ground.show).classes[class_id])


def test_a_changed_class_is_in_everybody_s_day_at_once_and_everybody_s_bell_rings(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        listeners = [ground.show.bell.listen(f"d-{each.id}", each) for each in ground.show.seats.values()]
        record = {"show": "s1", "class": "c1", "position": 3, "number": "44", "identification": "dun", "horse": "Ash"}
        change(ground, Change("entries", "s1/c1/44", record))
        for seat in ground.show.seats.values():
            entries = day_for(ground.show, seat)["classes"][0]["entries"]
            assert entries[-1] == {"number": "44", "identification": "dun"}
        assert all(each.wake.is_set() for each in listeners)
    with small_show(tmp_path) as ground:
        assert "44" in [each["number"] for each in ground.show.classes["c1"].entries]


def test_who_may_write_follows_the_judges_of_the_class(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        assert ground.push_one("judge-b", note("mark", "judge-b"))["status"] == "kept"
        change(ground, Change("classes", "s1/c1", {**class_record(ground), "judges": ["judge-a"]}))
        assert ground.push_one("judge-b", note("mark", "judge-b"))["status"] == "refused"
        assert ground.push_one("scribe-a", note("mark", "judge-a"))["status"] == "kept"


def test_what_a_signature_opens_follows_the_judges_of_the_class(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        sign = note("sign", "judge-a")
        ground.push("judge-a", sign)
        assert sign["id"] not in ground.ids("steward")
        change(ground, Change("classes", "s1/c1", {**class_record(ground), "judges": ["judge-a"]}))
        assert sign["id"] in ground.ids("steward")


def test_what_is_written_of_a_class_that_is_judged_no_more_is_kept(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        change(ground, Change("classes", "s1/c1", {**class_record(ground), "folded": {"into": "c2", "how": "merged"}}))
        assert [each["id"] for each in day_for(ground.show, ground.show.seats["judge-a"])["classes"]] == ["c2"]
        assert ground.push_one("judge-a", note("mark", "judge-a"))["status"] == "kept"


def test_a_device_of_a_seat_that_is_gone_is_turned_away_now_and_after_a_restart(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        records = ground.ground.records(ground.show)
        code = records.seats["steward"]["code"]
        device, token, _ = ground.ground.join(code, None, 5)
        listener = ground.show.bell.listen(device.id, device.seat)
        change(
            ground,
            Change("seats", "s1/steward", {**records.seats["steward"], "gone": {"at": 6}}),
            Change("devices", device.id, {**ground.ground.records(ground.show).devices[device.id], "revoked": True}),
        )
        assert listener.is_over
        assert "steward" not in ground.show.seats
        for _ in range(2):
            with pytest.raises(Refusal, match="taken this device off"):
                ground.ground.device(token)
            with pytest.raises(Refusal, match="No seat has this code"):
                ground.ground.join(code, None, 7)
    with small_show(tmp_path) as ground:
        with pytest.raises(Refusal, match="taken this device off"):
            ground.ground.device(token)
        with pytest.raises(Refusal, match="No seat has this code"):
            ground.ground.join(code, None, 8)


def test_a_seat_that_changed_is_what_its_devices_and_their_streams_sit_on(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        record = ground.ground.records(ground.show).seats["scribe-a"]
        device, token, _ = ground.ground.join(record["code"], None, 5)
        listener = ground.show.bell.listen(device.id, device.seat)
        change(ground, Change("seats", "s1/scribe-a", {**record, "card": "judge-b", "code": "AAAA2222"}))
        assert ground.ground.device(token).seat.card == "judge-b"
        assert listener.seat.card == "judge-b"
        assert ground.ground.seat_with("AAAA2222")[1].id == "scribe-a"
        with pytest.raises(Refusal):
            ground.ground.seat_with(record["code"])


def test_a_refused_plan_a_full_disk_and_an_unfit_record_change_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with small_show(tmp_path) as ground:
        before = ground.ground.records(ground.show).entries
        listener = ground.show.bell.listen("d", ground.show.seats["office"])

        def refuse(_records: Records) -> Planned:
            raise Refusal("not_now", "Not now.")

        with pytest.raises(Refusal):
            ground.runner.run(ground.ground.change(ground.show, refuse))
        with pytest.raises(RecordUnfit):
            change(ground, Change("entries", "s1/c1/7", None), Change("entries", "x", {"at": float("nan")}))

        def full(_catalogue: Catalogue, _changes: object) -> None:
            raise StoreFull("The disk is full.")

        with monkeypatch.context() as patch:
            patch.setattr(type(ground.ground.catalogue), "change", full)
            with pytest.raises(StoreFull):
                change(ground, Change("entries", "s1/c1/7", None))
        assert ground.ground.records(ground.show).entries == before
        assert len(ground.show.classes["c1"].entries) == 3
        assert not listener.wake.is_set()


def test_a_caller_that_goes_away_stops_no_change(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:

        async def given_up() -> None:
            change = asyncio.ensure_future(
                ground.ground.change(ground.show, lambda _records: Planned([Change("entries", "s1/c1/7", None)]))
            )
            await asyncio.sleep(0)
            change.cancel()
            while len(ground.show.classes["c1"].entries) == 3:
                await asyncio.sleep(0.001)

        ground.runner.run(given_up())
        assert [each["number"] for each in ground.show.classes["c1"].entries] == ["12", "30"]


def test_a_show_that_has_no_secret_yet_is_given_one_that_stays(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        record = ground.ground.records(ground.show).show
        assert len(record["secret"]) == 64
        record.pop("secret")
        ground.ground.catalogue.change([Change("shows", "s1", record)])
    with small_show(tmp_path) as ground:
        given = ground.ground.records(ground.show).show["secret"]
    with small_show(tmp_path) as ground:
        assert ground.ground.records(ground.show).show["secret"] == given


def test_a_note_that_belongs_to_a_change_is_kept_with_it_or_not_at_all(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    absent = {**note("presence", number="7", state="absent"), "by": "office"}
    gone = Change("entries", "s1/c1/7", None)
    with small_show(tmp_path) as ground:

        def full(_store: NoteStore, _notes: object) -> None:
            raise StoreFull("The disk is full.")

        with monkeypatch.context() as patch:
            patch.setattr(type(ground.show.store), "append", full)
            with pytest.raises(NotYetInLog):
                ground.runner.run(ground.ground.change(ground.show, lambda _records: Planned([gone], [absent])))
        # The records are written, the log is full: what is promised comes before anything else.
        assert absent["id"] not in ground.ids("steward")
        change(ground, Change("entries", "s1/c1/12", None))
        assert absent["id"] in ground.ids("steward")
        assert "promised" not in ground.ground.records(ground.show).show
    with small_show(tmp_path) as ground:
        record = ground.ground.records(ground.show).show
        later = {**absent, "id": "later"}
        ground.ground.catalogue.change([Change("shows", "s1", {**record, "promised": [absent, later]})])
    with small_show(tmp_path) as ground:
        assert {absent["id"], "later"} <= ground.ids("steward")
        assert "promised" not in ground.ground.records(ground.show).show
