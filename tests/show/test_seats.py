"""Who may write and read what: every role against every kind of note, against the table of the contract."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from nearside.engine.merging import KINDS
from nearside.show.seats import (
    LAMENESS_ON_CARD,
    READS,
    ROLES,
    WRITES,
    Facts,
    Role,
    Seat,
    Signatures,
    may_read,
    may_read_card,
    may_write,
    why_not_write,
)

A, B = "judge-a", "judge-b"
SEATS: dict[str, Seat] = {
    "office": Seat("office", "s", "office", "O", None),
    "steward": Seat("steward", "s", "steward", "S", None),
    "announcer": Seat("announcer", "s", "announcer", "N", None),
    A: Seat(A, "s", "judge", "A", A),
    B: Seat(B, "s", "judge", "B", B),
    "scribe-a": Seat("scribe-a", "s", "scribe", "SA", A),
    "scribe-b": Seat("scribe-b", "s", "scribe", "SB", B),
    "trainee-a": Seat("trainee-a", "s", "trainee", "TA", "trainee-a", A),
    "trainee-b": Seat("trainee-b", "s", "trainee", "TB", "trainee-b", B),
}
ON_CARD = ("mark", "looked", "remark", "over", "ruling", "order", "sign", LAMENESS_ON_CARD)
OPEN = ("lameness", "presence", "entry")
EVERYBODY = frozenset(SEATS)
OPENED_ORDER = {"office", "steward", "announcer"}
SHADOWED_BY = {"trainee-a": A, "trainee-b": B}

# The column "written by" of the contract's table of notes, for a note on judge A's card (or on none).
WRITTEN_ON_A: dict[str, set[str]] = {
    "mark": {A, "scribe-a"},
    "looked": {A, "scribe-a"},
    "remark": {A, "scribe-a"},
    "over": {A, "scribe-a"},
    "ruling": {A, "scribe-a"},
    "order": {A, "scribe-a"},
    "sign": {A, "office"},
    LAMENESS_ON_CARD: {A, "scribe-a", "steward"},
    "lameness": {"steward", "office"},
    "presence": {"steward", "office", A, B, "scribe-a", "scribe-b"},
    "entry": {"steward", "office", A, B, "scribe-a", "scribe-b"},
}
# The same for a note on trainee A's card: the trainee alone, and of what the judge alone decides not even that.
WRITTEN_ON_TRAINEE: dict[str, set[str]] = {kind: set() if kind == "ruling" else {"trainee-a"} for kind in ON_CARD}


def facts(*signed: str, released: bool = False, study: bool = False) -> Facts:
    cards = frozenset(signed)
    signatures = Signatures(frozenset({cards}), released, cards if released else frozenset())
    return Facts(
        judges=frozenset((A, B)),
        shadowed_by=SHADOWED_BY,
        study=frozenset({("c1", A)} if study else ()),
        signatures=lambda _class_id: signatures,
    )


def note(row: str, card: str | None, by: str = "nobody") -> dict[str, Any]:
    kind = "lameness" if row == LAMENESS_ON_CARD else row
    return {"kind": kind, "class": "c1", "by": by, **({"card": card} if row in ON_CARD else {})}


def writers(row: str, card: str | None, now: Facts) -> set[str]:
    return {name for name, seat in SEATS.items() if may_write(seat, note(row, card), now)}


def readers(row: str, card: str | None, now: Facts, by: str = "nobody") -> set[str]:
    return {name for name, seat in SEATS.items() if may_read(seat, note(row, card, by), now)}


def test_the_tables_have_a_row_for_every_kind_of_note_and_no_other() -> None:
    rows = {*KINDS, LAMENESS_ON_CARD}
    assert set(WRITES) == rows
    assert set(READS) == rows
    assert set(WRITTEN_ON_A) == rows


@pytest.mark.parametrize("row", WRITTEN_ON_A)
def test_a_note_on_a_judge_s_card_is_written_by_those_the_contract_names(row: str) -> None:
    assert writers(row, A, facts()) == WRITTEN_ON_A[row]


@pytest.mark.parametrize("row", WRITTEN_ON_TRAINEE)
def test_a_note_on_a_trainee_s_card_is_written_by_that_trainee_alone(row: str) -> None:
    assert writers(row, "trainee-a", facts()) == WRITTEN_ON_TRAINEE[row]


@pytest.mark.parametrize("row", ON_CARD)
@pytest.mark.parametrize("card", ["nobody", "", None, "office", "steward"])
def test_nobody_writes_on_a_card_that_is_no_judge_s_or_trainee_s(row: str, card: str | None) -> None:
    if row == LAMENESS_ON_CARD and card is None:
        return  # without a card it is the other row
    assert writers(row, card, facts()) == set()


@pytest.mark.parametrize("row", ON_CARD)
def test_a_judge_s_card_is_read_by_that_judge_and_scribe_alone_before_signing(row: str) -> None:
    assert readers(row, A, facts()) == {A, "scribe-a"}


@pytest.mark.parametrize("row", ON_CARD)
def test_a_judge_s_card_stays_with_judge_and_scribe_after_all_have_signed_but_for_the_signature(row: str) -> None:
    expected = {A, "scribe-a"} | (OPENED_ORDER if row == "sign" else set())
    assert readers(row, A, facts(A, B, released=True)) == expected


def test_on_a_panel_one_judge_s_signature_is_not_read_before_all_have_signed() -> None:
    assert readers("sign", A, facts(A)) == {A, "scribe-a"}


def test_the_office_reads_the_signature_it_entered_from_paper_at_once() -> None:
    assert readers("sign", A, facts(A), by="office") == {A, "scribe-a", "office"}


def test_a_steward_reads_the_call_it_wrote_down_for_a_judge_and_no_other() -> None:
    assert readers(LAMENESS_ON_CARD, A, facts(), by="steward") == {A, "scribe-a", "steward"}
    assert readers(LAMENESS_ON_CARD, A, facts(), by="steward-2") == {A, "scribe-a"}


def test_having_written_a_mark_is_no_ground_for_reading_it() -> None:
    assert readers("mark", A, facts(), by="office") == {A, "scribe-a"}


@pytest.mark.parametrize("row", ["presence", "entry"])
def test_what_the_gate_says_is_read_by_every_seat(row: str) -> None:
    assert readers(row, None, facts()) == EVERYBODY


def test_a_call_without_a_card_is_read_by_all_but_trainees() -> None:
    assert readers("lameness", None, facts()) == EVERYBODY - {"trainee-a", "trainee-b", "announcer"}


@pytest.mark.parametrize("row", ON_CARD)
def test_a_trainee_s_card_is_the_trainee_s_alone_until_it_and_the_shadowed_judge_s_stand_signed(row: str) -> None:
    assert readers(row, "trainee-a", facts()) == {"trainee-a"}
    assert readers(row, "trainee-a", facts("trainee-b", A)) == {"trainee-a"}
    assert readers(row, "trainee-a", facts("trainee-a", B)) == {"trainee-a"}
    assert readers(row, "trainee-a", facts("trainee-a", A)) == {"trainee-a", A}


def test_a_trainee_s_card_that_was_open_again_when_the_judge_signed_stays_the_trainee_s() -> None:
    apart = Signatures(frozenset((frozenset({"trainee-a"}), frozenset({A}))), True, frozenset({A}))
    now = replace(facts(study=True), signatures=lambda _class_id: apart)
    assert readers("mark", "trainee-a", now) == {"trainee-a"}
    assert "trainee-a" not in readers("mark", A, now)


@pytest.mark.parametrize("row", ON_CARD)
def test_a_trainee_reads_the_judge_s_card_only_with_study_allowed_and_all_and_the_own_signed(row: str) -> None:
    extra = OPENED_ORDER if row == "sign" else set()
    released = {A, "scribe-a"} | extra
    assert readers(row, A, facts(A, B, "trainee-a", released=True)) == released
    assert readers(row, A, facts(A, B, released=True, study=True)) == released
    assert readers(row, A, facts(A, "trainee-a", study=True)) == {A, "scribe-a"}
    assert readers(row, A, facts(A, B, "trainee-a", released=True, study=True)) == released | {"trainee-a"}
    assert "trainee-a" not in readers(row, B, facts(A, B, "trainee-a", released=True, study=True))
    of_another = replace(facts(A, B, "trainee-a", released=True, study=True), judges_of={"c1": frozenset((B,))})
    assert "trainee-a" not in readers(row, A, of_another)


def test_a_judge_writes_and_reads_no_card_in_a_class_that_judge_does_not_judge() -> None:
    now = Facts(judges=frozenset((A, B)), judges_of={"c1": frozenset((B,))})
    assert writers("mark", A, now) == set()
    assert readers("mark", A, now) == set()
    assert writers("mark", B, now) == {B, "scribe-b"}


def test_the_placing_is_for_those_who_read_the_whole_card() -> None:
    now = facts(A, B, released=True)
    assert {name for name, seat in SEATS.items() if may_read_card(seat, "c1", A, now)} == {A, "scribe-a"}


def test_an_unknown_kind_is_sealed_for_every_role() -> None:
    strange = {"kind": "score", "class": "c1", "card": A, "by": A}
    for seat in SEATS.values():
        assert not may_write(seat, strange, facts())
        assert not may_read(seat, strange, facts())


@pytest.mark.parametrize("role", ROLES)
def test_a_refusal_says_which_field_and_is_the_same_whether_the_card_exists_or_not(role: Role) -> None:
    seat = next(each for each in SEATS.values() if each.role == role)
    for row in WRITES:
        there = why_not_write(seat, note(row, B))
        assert there.partition(":")[0] in ("kind", "card")
        assert there == why_not_write(seat, note(row, "judge-q"))
        assert B not in there


def test_the_page_offers_each_role_what_the_server_lets_it_write() -> None:
    """The page's own table decides which buttons there are. A paper card the office enters has no page."""
    source = (Path(__file__).parents[2] / "frontend" / "state" / "session.js").read_text()
    table = source[source.index("const WRITES = {") : source.index("};")]
    offered = {role: set(re.findall(r'"(\w+)"', kinds)) for role, kinds in re.findall(r"(\w+): \[(.*?)\]", table)}
    for role in ROLES:
        written = {"lameness" if row == LAMENESS_ON_CARD else row for row, seats in WRITES.items() if role in seats}
        assert offered[role] == written - ({"sign"} if role == "office" else set()), role
