"""A signed card is shut: what comes too late is kept aside, what is noted after is refused, whatever the timing."""

from __future__ import annotations

import asyncio
import itertools
import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nearside.show.cards import class_file_for, placing_for
from nearside.show.log import LATE
from nearside.show.pulling import notes_of_class
from nearside.show.pushing import CLASH, Receipt, push
from nearside.show.shut import FINAL, LATE_REASON, NOT_THE_OFFICE_S, SHUT, SIGNED
from nearside.store.protocol import Change, StoreFull
from tests.show.ground import Ground, note, small_show

A, B, T = "judge-a", "judge-b", "trainee-a"
NOON = 1_764_072_000_000
BEFORE, AFTER = NOON - 60_000, NOON + 60_000
KINDS_ON_A_CARD = ("mark", "looked", "remark", "over", "ruling", "order", "lameness")


def sign(card: str = A, at: int = NOON, **fields: Any) -> dict[str, Any]:
    return note("sign", card, at=at, **fields)


def take_back(signed: dict[str, Any], at: int = NOON + 1) -> dict[str, Any]:
    return note("sign", signed["card"], at=at, numbers=None, reason="wrong number", replaces=[signed["id"]])


def said(receipt: Receipt) -> tuple[str | None, str | None]:
    return receipt["status"], receipt["reason"]


def class_allowing_study(data: Path) -> list[Change]:
    with small_show(data) as ground:
        record = ground.ground.catalogue.get("classes", "s1/c1")
    assert record is not None
    return [Change("classes", "s1/c1", {**record, "study_office": True, "study_judges": [A, B]})]


@pytest.mark.parametrize("kind", KINDS_ON_A_CARD)
def test_what_was_noted_before_the_signature_is_kept_aside_and_what_was_noted_after_is_refused(
    tmp_path: Path, kind: str
) -> None:
    with small_show(tmp_path) as ground:
        ground.push(A, signed := sign())
        early, same, later = (note(kind, A, at=at) for at in (BEFORE, NOON, AFTER))
        receipts = ground.push("scribe-a", early, same, later)
        assert [said(each) for each in receipts] == [("kept", LATE_REASON), ("kept", LATE_REASON), ("refused", SHUT)]
        kept = ground.show.store.of_class("c1")
        assert [(each["id"], each.get(LATE)) for each in kept] == [
            (signed["id"], None),
            (early["id"], signed["id"]),
            (same["id"], signed["id"]),
        ]


def test_what_came_late_is_given_to_nobody_and_changes_nothing(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        show, seat = ground.show, ground.show.seats[A]
        ground.push(A, note("mark", A, number="7", at=BEFORE), sign())
        ground.push(B, sign(B))
        placing = placing_for(show, seat, "c1", A)()
        pulled = {each: ground.pull(each) for each in show.seats}
        listeners = [show.bell.listen(each.id, each) for each in show.seats.values()]
        assert said(ground.push_one("scribe-a", note("mark", A, number="12", at=BEFORE))) == ("kept", LATE_REASON)
        assert said(ground.push_one("steward", note("lameness", A, grade=5, at=BEFORE))) == ("kept", LATE_REASON)
        assert not any(each.wake.is_set() for each in listeners)
        assert {each: ground.pull(each) for each in show.seats} == pulled
        assert not any(ground.pull(each, pulled[each].cursor).notes for each in show.seats)
        assert len(notes_of_class(show, seat, "c1")) == 2
        assert len(class_file_for(show, seat, "c1", A)["notes"]) == 2
        assert placing_for(show, seat, "c1", A)() == placing


def test_what_the_gate_and_the_steward_s_own_eye_say_goes_on(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        ground.push(A, sign())
        receipts = ground.push("steward", *(note(kind, at=AFTER) for kind in ("presence", "entry", "lameness")))
        assert [said(each) for each in receipts] == [("kept", None)] * 3


def test_other_cards_and_other_classes_stay_open(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        ground.push(A, sign())
        assert said(ground.push_one(B, note("mark", B, at=AFTER))) == ("kept", None)
        assert said(ground.push_one(A, note("mark", A, at=AFTER, **{"class": "c2"}))) == ("kept", None)


def test_a_signature_taken_back_opens_the_card_and_a_new_one_shuts_it_again(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        first, second = sign(), sign(at=AFTER)
        back = take_back(first)
        mark = note("mark", A, at=AFTER)
        ground.push(A, first)
        assert said(ground.push_one(A, mark)) == ("refused", SHUT)
        assert said(ground.push_one(A, back)) == ("kept", None)
        assert said(ground.push_one(A, mark)) == ("kept", None)
        second["replaces"] = [back["id"]]
        assert said(ground.push_one(A, second)) == ("kept", None)
        assert said(ground.push_one("scribe-a", note("mark", A, at=BEFORE))) == ("kept", LATE_REASON)
        assert ground.show.store.of_class("c1")[-1][LATE] == second["id"]


def test_within_one_request_each_note_is_judged_by_the_signatures_before_it(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        first = sign()
        back = take_back(first)
        marks = [note("mark", A, at=at) for at in (AFTER, BEFORE, AFTER, AFTER)]
        sent = [marks[0], first, marks[1], marks[2], back, marks[3], sign(at=AFTER, replaces=[back["id"]])]
        expected = [
            ("kept", None),
            ("kept", None),
            ("kept", LATE_REASON),
            ("refused", SHUT),
            ("kept", None),
            ("kept", None),
            ("kept", None),
        ]
        assert [said(each) for each in ground.push(A, *sent)] == expected
        known = [("known" if status == "kept" else status, reason) for status, reason in expected]
        known[3] = ("kept", LATE_REASON)  # it is not held, and was noted before the signature that stands now
        assert [said(each) for each in ground.push(A, *sent)] == known


def test_a_note_sent_again_is_known_whatever_has_become_of_the_card(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        mark, late, signed = note("mark", A, at=AFTER), note("mark", A, at=BEFORE), sign()
        for one in (mark, signed, late):
            ground.push(A, one)
        assert [said(each) for each in ground.push(A, mark, signed, late)] == [
            ("known", None),
            ("known", None),
            ("known", LATE_REASON),
        ]
        ground.push(A, take_back(signed))
        assert [said(each) for each in ground.push(A, mark, signed, late)] == [
            ("known", None),
            ("known", None),
            ("known", LATE_REASON),
        ]
        assert said(ground.push_one(A, {**late, "degree": -1})) == ("refused", CLASH)
        assert len(ground.show.store.of_class("c1")) == 4


def test_a_signature_whose_id_another_note_has_shuts_nothing(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        ground.push(A, note("mark", A, id="taken", **{"class": "c2"}))
        receipts = ground.push(A, sign(id="taken"), note("mark", A, at=BEFORE), note("mark", A, at=AFTER))
        assert [said(each) for each in receipts] == [("refused", CLASH), ("kept", None), ("kept", None)]
        assert not ground.show.signing


def test_another_order_over_a_signature_needs_that_one_taken_back_first(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        first = sign()
        ground.push(A, first)
        for other in (sign(numbers=["7"], replaces=[first["id"]]), sign(numbers=["7"]), sign()):
            assert said(ground.push_one(A, other)) == ("refused", SIGNED)
        assert [each["id"] for each in ground.show.store.of_class("c1")] == [first["id"]]


@pytest.mark.parametrize("numbers", [["12", "7"], ["7", "12"]])
def test_paper_card_and_signature_that_crossed_are_kept_side_by_side_and_settled_by_the_judge(
    tmp_path: Path, numbers: list[str]
) -> None:
    with small_show(tmp_path) as ground:
        paper, own = sign(at=BEFORE, numbers=numbers), sign()
        assert said(ground.push_one("office", paper)) == ("kept", None)
        assert said(ground.push_one(A, own)) == ("kept", None)
        placing = placing_for(ground.show, ground.show.seats[A], "c1", A)()
        assert len(placing["disputes"]) == (0 if numbers == own["numbers"] else 1)
        again = sign(at=AFTER, replaces=[paper["id"], own["id"]])
        assert said(ground.push_one(A, again)) == ("refused", SIGNED)
        back = {**take_back(own), "replaces": [paper["id"], own["id"]]}
        assert said(ground.push_one(A, back)) == ("kept", None)
        assert said(ground.push_one(A, {**again, "replaces": [back["id"]]})) == ("kept", None)
        assert placing_for(ground.show, ground.show.seats[A], "c1", A)()["disputes"] == []


def test_the_office_takes_back_its_own_paper_card_and_no_judge_s_signature(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        own = sign()
        blind = note("sign", A, at=AFTER, numbers=None, reason="mistyped")
        before = [said(each) for each in ground.push("office", blind, take_back(own), take_back(sign()))]
        ground.push(A, own)
        assert [said(each) for each in ground.push("office", blind, take_back(own), take_back(sign()))] == before
        assert before == [("refused", NOT_THE_OFFICE_S)] * 3
        paper = sign(B)
        ground.push("office", paper)
        assert said(ground.push_one("office", sign(B, numbers=["7"]))) == ("refused", SIGNED)
        back = take_back(paper)
        assert said(ground.push_one("office", back)) == ("kept", None)
        assert said(ground.push_one("office", sign(B, numbers=["7"], replaces=[back["id"]]))) == ("kept", None)


def test_a_paper_card_entered_by_mistake_is_taken_back_by_its_judge_too(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        paper = sign()
        ground.push("office", paper)
        assert said(ground.push_one(A, sign(at=AFTER, replaces=[paper["id"]]))) == ("refused", SIGNED)
        assert said(ground.push_one(A, take_back(paper))) == ("kept", None)


def test_a_trainee_s_signature_is_final_once_all_judges_have_signed(tmp_path: Path) -> None:
    changes = class_allowing_study(tmp_path)
    with small_show(tmp_path, changes=changes) as ground:
        first = sign(T)
        back = take_back(first)
        second = sign(T, numbers=["7"], replaces=[back["id"]])
        assert [said(each) for each in ground.push(T, first, back, second)] == [("kept", None)] * 3
        ground.push(A, sign(A))
        ground.push(B, sign(B))
        assert {each["card"] for each in ground.pull(T).notes} == {T, A, B}
        for late in (take_back(second), sign(T), sign(T, at=AFTER, replaces=[second["id"]])):
            assert said(ground.push_one(T, late)) == ("refused", FINAL)
        assert said(ground.push_one(T, note("mark", T, at=AFTER))) == ("refused", SHUT)


def test_a_trainee_who_took_the_signature_back_before_the_release_reads_nothing_until_signed_again(
    tmp_path: Path,
) -> None:
    changes = class_allowing_study(tmp_path)
    with small_show(tmp_path, changes=changes) as ground:
        first = sign(T)
        ground.push(T, first, back := take_back(first))
        ground.push(A, note("mark", A, at=BEFORE), sign(A))
        ground.push(B, sign(B))
        assert {each["card"] for each in ground.pull(T).notes} == {T}
        assert said(ground.push_one(T, sign(T, replaces=[back["id"]]))) == ("kept", None)
        assert {each["card"] for each in ground.pull(T).notes} == {T, A, B}


def test_a_trainee_s_signature_stays_final_when_a_judge_allows_study_no_more_or_never_did(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        first = sign(T)
        ground.push(T, first)
        ground.push(A, sign(A))
        back = take_back(first)
        assert said(ground.push_one(T, back)) == ("kept", None)
        ground.push(T, second := sign(T, replaces=[back["id"]]))
        ground.push(B, sign(B))
        assert said(ground.push_one(T, take_back(second))) == ("refused", FINAL)


def together(ground: Ground, *sent: tuple[str, Sequence[dict[str, Any]]]) -> list[list[Receipt]]:
    """Requests that are under way at the same time, in this order."""

    async def all_of_them() -> list[Any]:
        return await asyncio.gather(
            *(
                push(ground.show, ground.show.seats[seat], json.dumps({"notes": list(notes)}).encode())
                for seat, notes in sent
            ),
            return_exceptions=True,
        )

    return ground.runner.run(all_of_them())


def test_what_comes_while_a_signature_is_on_its_way_waits_for_it_and_what_came_before_does_not(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        first, early, later = note("mark", A, at=AFTER), note("mark", A, at=BEFORE), note("mark", A, at=AFTER)
        receipts = together(ground, ("scribe-a", [first]), (A, [sign()]), ("scribe-a", [early, later]), (B, [sign(B)]))
        assert [[said(each) for each in one] for one in receipts] == [
            [("kept", None)],
            [("kept", None)],
            [("kept", LATE_REASON), ("refused", SHUT)],
            [("kept", None)],
        ]
        assert not ground.show.signing


def test_a_signature_that_the_disk_refuses_shuts_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with small_show(tmp_path) as ground:
        append = ground.show.store.append

        def full_for_signatures(notes: Any) -> Any:
            if any(each["kind"] == "sign" for each in notes):
                raise StoreFull("The disk is full.")
            return append(notes)

        monkeypatch.setattr(ground.show.store, "append", full_for_signatures)
        refused, kept = together(ground, (A, [sign()]), ("scribe-a", [note("mark", A, at=AFTER)]))
        assert isinstance(refused, StoreFull)
        assert [said(each) for each in kept] == [("kept", None)]
        assert not ground.show.signing


def test_a_signature_whose_sender_goes_away_is_waited_for_all_the_same(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:

        async def gone() -> list[Receipt]:
            body = json.dumps({"notes": [sign()]}).encode()
            signing = asyncio.ensure_future(push(ground.show, ground.show.seats[A], body))
            while not ground.show.signing:
                await asyncio.sleep(0)
            signing.cancel()
            later = json.dumps({"notes": [note("mark", A, at=AFTER)]}).encode()
            return await push(ground.show, ground.show.seats["scribe-a"], later)

        assert [said(each) for each in ground.runner.run(gone())] == [("refused", SHUT)]


def test_a_seat_that_may_not_sign_there_holds_nobody_up(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        foreign = [note("mark", T, at=BEFORE), sign(A)]
        receipts = together(ground, (T, foreign), (A, [note("mark", A)]))
        assert [said(each)[0] for each in receipts[0]] == ["kept", "refused"]
        assert not ground.show.signing


def test_a_server_that_starts_again_knows_which_cards_are_shut(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        signed = sign()
        ground.push(A, signed, note("mark", A, id="late", at=BEFORE))
    with small_show(tmp_path) as ground:
        assert said(ground.push_one(A, note("mark", A, at=AFTER))) == ("refused", SHUT)
        assert [each["id"] for each in ground.pull(A).notes] == [signed["id"]]
        ground.push(A, take_back(signed))
        assert said(ground.push_one(A, note("mark", A, at=AFTER))) == ("kept", None)


WRITTEN = st.lists(
    st.tuples(st.sampled_from(["mark", "sign", "back", "paper", "again"]), st.integers(-3, 3)), min_size=1, max_size=12
)
_shows = itertools.count()


@settings(max_examples=40, deadline=None)
@given(written=WRITTEN, cuts=st.sets(st.integers(1, 11)))
def test_however_notes_are_cut_into_requests_the_log_is_the_same(
    tmp_path_factory: pytest.TempPathFactory, written: list[tuple[str, int]], cuts: set[int]
) -> None:
    """The same notes of a judge and the office, one a request and in longer requests: the same receipts and log."""
    sent: list[dict[str, Any]] = []
    for kind, minute in written:
        at = NOON + minute * 60_000
        signs = [each["id"] for each in sent if each["kind"] == "sign"]
        if kind == "mark":
            sent.append(note("mark", A, at=at))
        elif kind == "again" and sent:
            sent.append(sent[minute % len(sent)])
        elif kind == "back":
            sent.append(note("sign", A, at=at, numbers=None, reason="wrong", replaces=signs))
        else:
            sent.append(sign(at=at, replaces=signs[:-1], numbers=["7"] if minute % 2 else ["12", "7"]))
    logs, receipts = [], []
    for ends in (range(1, len(sent) + 1), [*sorted(each for each in cuts if each < len(sent)), len(sent)]):
        with small_show(tmp_path_factory.mktemp(f"show{next(_shows)}")) as ground:
            got: list[Receipt] = []
            for start, end in itertools.pairwise([0, *ends]):
                got += ground.push(A, *sent[start:end])
            log = [
                {field: value for field, value in each.items() if field not in ("_head", "_digest", "_salt")}
                for each in ground.show.store.of_class("c1")
            ]
            logs.append(log)
            receipts.append(got)
            # Nothing that counts was noted on a card while it was shut.
            standing = False
            for each in log:
                if each["kind"] != "sign":
                    assert standing == (LATE in each)
                else:
                    placed = [one for one in log[: log.index(each) + 1] if one["kind"] == "sign"]
                    replaced = {old for one in placed for old in one["replaces"]}
                    current = [one for one in placed if one["id"] not in replaced] or placed
                    standing = max(current, key=lambda one: (one["at"], one["id"]))["numbers"] is not None
    assert logs[0] == logs[1]
    assert receipts[0] == receipts[1]
