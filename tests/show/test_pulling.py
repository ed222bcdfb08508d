"""Giving notes out: all the seat may read, once the cursor has passed it, and nothing else ever."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from nearside.show import pulling
from nearside.show.cards import class_file_for
from nearside.store.protocol import Change, Page
from tests.show.ground import IDS, Ground, note, small_show


def everything(ground: Ground) -> dict[str, str]:
    """One note of each kind on each card and without one; its id and the row and card it stands for."""
    sent: dict[str, str] = {}

    def send(seat: str, kind: str, card: str | None, name: str, **fields: Any) -> None:
        one = note(kind, card, **fields)
        assert ground.push_one(seat, one)["status"] == "kept"
        sent[one["id"]] = name

    for owner in ("judge-a", "judge-b", "trainee-a", "trainee-b"):
        for kind in ("mark", "looked", "remark", "over", "order", "lameness"):
            send(owner, kind, owner, owner)
    for judge in ("judge-a", "judge-b"):
        send(judge, "ruling", judge, judge)
    send("steward", "lameness", "judge-a", "judge-a by steward")
    send("steward", "lameness", None, "call")
    send("steward", "presence", None, "gate")
    send("office", "entry", None, "gate")
    return sent


def seen(ground: Ground, sent: dict[str, str], seat: str) -> set[str]:
    ids = ground.ids(seat)
    names = {sent[each] for each in ids}
    for name in names:
        assert {each for each, its in sent.items() if its == name} <= ids, f"{seat} got only some of {name}"
    return names


def test_each_seat_is_given_exactly_what_it_may_read(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        sent = everything(ground)
        given = {seat: seen(ground, sent, seat) for seat in IDS}
        assert given == {
            "office": {"call", "gate"},
            "steward": {"call", "gate", "judge-a by steward"},
            "judge-a": {"judge-a", "judge-a by steward", "call", "gate"},
            "scribe-a": {"judge-a", "judge-a by steward", "call", "gate"},
            "judge-b": {"judge-b", "call", "gate"},
            "scribe-b": {"judge-b", "call", "gate"},
            "trainee-a": {"trainee-a", "gate"},
            "trainee-b": {"trainee-b", "gate"},
            "announcer": {"gate"},
        }


def test_a_signed_order_that_was_passed_over_is_given_once_the_last_judge_has_signed(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        ground.push("judge-a", note("mark", "judge-a"), note("sign", "judge-a", id="first"))
        page = ground.pull("office")
        assert page == pulling.Pulled([], 0, False)
        ground.push("judge-b", note("sign", "judge-b", id="last"))
        assert ground.ids("office", page.cursor) == {"first", "last"}
        assert ground.ids("steward", page.cursor) == {"first", "last"}
        assert ground.ids("announcer", page.cursor) == {"first", "last"}
        assert "last" not in ground.ids("judge-a")


def test_a_signed_order_is_given_by_a_server_that_has_started_again(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        ground.push("judge-a", note("sign", "judge-a", id="first"))
        cursor = ground.pull("office").cursor
    with small_show(tmp_path) as ground:
        assert ground.ids("office", cursor) == set()
        ground.push("judge-b", note("sign", "judge-b", id="last"))
    with small_show(tmp_path) as ground:
        assert ground.ids("office", cursor) == {"first", "last"}


def test_a_paper_card_entered_by_the_office_counts_as_that_judge_s_signature(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        ground.push("office", note("sign", "judge-b", id="paper"))
        assert ground.ids("office") == {"paper"}
        assert ground.ids("steward") == set()
        assert ground.ids("judge-b") == {"paper"}
        ground.push("judge-a", note("sign", "judge-a", id="tapped"))
        assert ground.ids("steward") == {"paper", "tapped"}


@pytest.mark.parametrize("last", ["trainee-a", "judge-a"])
def test_a_trainee_s_card_passed_over_is_given_to_the_judge_it_shadows_once_both_have_signed(
    tmp_path: Path, last: str
) -> None:
    with small_show(tmp_path) as ground:
        first = "judge-a" if last == "trainee-a" else "trainee-a"
        ground.push("trainee-a", note("mark", "trainee-a", id="mark"))
        ground.push(first, note("sign", first, id=f"sign of {first}"))
        page = ground.pull("judge-a")
        cursor = page.cursor
        assert "mark" not in {each["id"] for each in page.notes}
        ground.push(last, note("sign", last, id=f"sign of {last}"))
        assert ground.ids("judge-a", cursor) == {"mark", "sign of trainee-a", f"sign of {last}"}
        assert ground.ids("judge-b", cursor) == set()
        assert ground.ids("scribe-a") == {"sign of judge-a"}


def test_a_trainee_is_given_the_judge_s_card_where_study_is_allowed_once_all_judges_and_the_trainee_have_signed(
    tmp_path: Path,
) -> None:
    with small_show(tmp_path) as ground:
        record = ground.ground.catalogue.get("classes", "s1/c1")
        assert record is not None
    allowed = {**record, "study_office": True, "study_judges": ["judge-a"]}
    with small_show(tmp_path, changes=[Change("classes", "s1/c1", allowed)]) as ground:
        ground.push("judge-a", note("mark", "judge-a", id="mark"), note("sign", "judge-a", id="a"))
        ground.push("judge-b", note("mark", "judge-b"))
        ground.push("trainee-a", note("sign", "trainee-a", id="own"))
        page = ground.pull("trainee-a")
        assert [each["id"] for each in page.notes] == ["own"]
        assert ground.ids("trainee-b") == set()
        # The last judge's signature is not the trainee's to read, and opens the other card all the same, once.
        ground.push("judge-b", note("sign", "judge-b", id="b"))
        opened = ground.pull("trainee-a", page.cursor)
        assert [each["id"] for each in opened.notes] == ["mark", "a"]
        assert ground.ids("trainee-a", opened.cursor) == set()
        assert ground.ids("trainee-a") == {"mark", "a", "own"}
        assert ground.ids("trainee-b") == set()
        ground.push("trainee-b", note("sign", "trainee-b", id="other"))
        assert ground.ids("trainee-b") == {"mark", "a", "other"}


def test_a_device_that_is_up_to_date_is_given_nothing_and_told_so(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        ground.push("judge-a", note("mark", "judge-a"))
        cursor = ground.pull("judge-a").cursor
        assert ground.pull("judge-a", cursor) == pulling.Pulled([], cursor, False)


def test_pages_follow_on_one_another_and_end(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        sent = [note("mark", "judge-a") for _ in range(7)]
        ground.push("judge-a", *sent)
        ids: list[str] = []
        cursor, pages, more = 0, 0, True
        while more:
            page = ground.pull("judge-a", cursor, limit=3)
            assert len(page.notes) <= 3
            ids += [each["id"] for each in page.notes]
            cursor, more, pages = page.cursor, page.more, pages + 1
        assert ids == [each["id"] for each in sent]
        assert pages == 3


def test_no_request_is_answered_with_nothing_and_more_however_much_others_wrote(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        ground.push("judge-a", *(note("mark", "judge-a") for _ in range(400)), note("presence", id="gate"))
        page = ground.pull("judge-b", limit=2)
        assert ([each["id"] for each in page.notes], page.more) == (["gate"], False)
        ground.push("judge-a", *(note("mark", "judge-a") for _ in range(400)))
        assert ground.pull("judge-b", page.cursor) == pulling.Pulled([], page.cursor, False)


def test_a_note_is_read_from_the_store_once_and_again_only_to_be_given(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with small_show(tmp_path) as ground:
        ground.push("judge-a", *(note("mark", "judge-a") for _ in range(100)), note("presence"))
        assert len(ground.pull("judge-b").notes) == 1
        read: list[int] = []
        since = ground.show.store.since

        def counted(cursor: int, limit: int) -> Page:
            page = since(cursor, limit)
            read.append(len(page.notes))
            return page

        monkeypatch.setattr(ground.show.store, "since", counted)
        assert len(ground.pull("judge-b").notes) == 1
        assert read == [1]
        assert len(ground.pull("scribe-b").notes) == 1
        assert read == [1, 1]


def test_a_cursor_from_a_log_that_is_no_more_begins_again(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        ground.push("judge-a", note("mark", "judge-a", id="1"))
        assert ground.ids("judge-a", after=1000) == {"1"}


def test_what_the_server_put_on_a_note_stays_with_the_server(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        sent = {**note("sign", "judge-a", id="1"), "by": "judge-a"}
        ground.show.store.append([{**sent, "_head": "0" * 64}])
        assert ground.pull("judge-a").notes == [sent]
        assert class_file_for(ground.show, ground.show.seats["judge-a"], "c1", None)["notes"] == [
            {field: value for field, value in sent.items() if field != "class"}
        ]
