"""Taking notes in: each allowed or refused by itself, and what is kept is in the log."""

from __future__ import annotations

from pathlib import Path

import pytest

from nearside.engine.merging import KINDS
from nearside.show.pushing import CLASH
from nearside.show.seats import LAMENESS_ON_CARD
from nearside.store.protocol import StoreFull
from tests.show.ground import IDS, note, small_show
from tests.show.test_seats import WRITTEN_ON_A, WRITTEN_ON_TRAINEE


def test_every_role_is_let_write_what_the_table_says_and_nothing_else(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        for row, allowed in WRITTEN_ON_A.items():
            kind = "lameness" if row == LAMENESS_ON_CARD else row
            card = "judge-a" if KINDS[kind].of_card or row == LAMENESS_ON_CARD else None
            for seat in IDS:
                receipt = ground.push_one(seat, note(kind, card))
                assert (receipt["status"] == "kept") == (seat in allowed), (row, seat, receipt)
        for row, allowed in WRITTEN_ON_TRAINEE.items():
            kind = "lameness" if row == LAMENESS_ON_CARD else row
            for seat in IDS:
                receipt = ground.push_one(seat, note(kind, "trainee-a"))
                assert (receipt["status"] == "kept") == (seat in allowed), (row, seat, receipt)
        assert {each["by"] for each in ground.show.store.of_class("c1")} <= set(IDS)


def test_one_refused_note_holds_back_none_of_the_others_and_receipts_come_in_order(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        receipts = ground.push(
            "judge-a",
            note("mark", "judge-a", id="1"),
            note("mark", "judge-b", id="2"),
            note("mark", "judge-a", id="3", **{"class": "c9"}),
            note("mark", "judge-a", id="4", view="rear"),
            note("mark", "judge-a", id="5", trait="speed"),
            note("mark", "judge-a", id="6", trait="calf-kneed", degree=1),
            note("mark", "judge-a", id="7", trait="masculine"),
            None,
            note("mark", "judge-a", id="9", number="none"),
            note("mark", "judge-a", id="10"),
            note("mark", "judge-a", id="11", _late="1"),
        )
        assert [each["id"] for each in receipts] == ["1", "2", "3", "4", "5", "6", "7", None, "9", "10", "11"]
        assert [each["status"] for each in receipts] == ["kept", *["refused"] * 8, "kept", "refused"]
        reasons = [str(each["reason"]).partition(":")[0] for each in receipts[1:-2]]
        assert reasons == ["card", "class", "view", "trait", "degree", "trait", "a note must be an object", "number"]
        assert receipts[-1]["reason"] == "_late: is not a field known here"
        assert [each["id"] for each in ground.show.store.of_class("c1")] == ["1", "10"]


def test_what_was_noted_of_a_horse_nobody_entered_is_kept(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        assert ground.push_one("judge-a", note("mark", "judge-a", number="T1"))["status"] == "kept"


def test_a_note_sent_again_is_known_and_another_note_of_its_id_is_refused(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        mark = note("mark", "judge-a", id="1")
        first, again, other = ground.push("judge-a", mark, mark, {**mark, "degree": -1})
        assert (first["status"], again["status"], other["status"]) == ("kept", "known", "refused")
        assert other["reason"] == CLASH
        assert ground.push_one("judge-a", mark)["status"] == "known"
        # The writer is part of the content: the scribe's own device sending it is another note.
        assert ground.push_one("scribe-a", mark)["reason"] == CLASH
        assert [each["degree"] for each in ground.show.store.of_class("c1")] == [2]


def test_the_writer_is_the_seat_whatever_the_note_says(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        ground.push("scribe-a", note("mark", "judge-a", by="judge-a"))
        assert ground.show.store.of_class("c1")[0]["by"] == "scribe-a"


def test_a_receipt_never_says_whether_another_judge_s_card_holds_anything(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        before = ground.push_one("judge-a", note("mark", "judge-b", id="x"))
        ground.push("judge-b", note("mark", "judge-b"), note("sign", "judge-b"))
        assert ground.push_one("judge-a", note("mark", "judge-b", id="x")) == before
        assert ground.push_one("judge-a", note("mark", "judge-q", id="x")) == before


def test_where_the_disk_refuses_nothing_is_kept_and_nobody_is_told_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with small_show(tmp_path) as ground:
        listener = ground.show.bell.listen("d", ground.show.seats["judge-a"])

        def full(_notes: object) -> None:
            raise StoreFull("The disk is full.")

        monkeypatch.setattr(ground.show.store, "append", full)
        with pytest.raises(StoreFull):
            ground.push("judge-a", note("mark", "judge-a"))
        assert ground.show.store.of_class("c1") == []
        assert not listener.wake.is_set()
