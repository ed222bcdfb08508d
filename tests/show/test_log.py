"""The log as its seats read it: places, what a signature opens at its own, and what was kept aside."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from nearside.show.log import LATE, Log, Reader
from nearside.show.seats import Facts, Seat
from nearside.store.notes import TinyNoteStore
from tests.show.ground import note

A, B, T = "judge-a", "judge-b", "trainee-a"
OFFICE = Seat("office", "s", "office", "O", None)
JUDGE = Seat(A, "s", "judge", "A", A)
FACTS = Facts(judges=frozenset((A, B)), shadowed_by={T: A})


@pytest.fixture
def store(tmp_path: Path) -> Iterator[TinyNoteStore]:
    opened = TinyNoteStore(tmp_path / "s.notes")
    yield opened
    opened.close()


def keep(store: TinyNoteStore, kind: str, card: str | None, **fields: Any) -> str:
    """Keep a note, written by its card; its id."""
    one = {**note(kind, card), "by": card or "steward", **fields}
    store.append([one])
    return str(one["id"])


def given(reader: Reader, place: int = 0, most: int = 500) -> tuple[list[int], list[str], bool]:
    """The next places, the ids of what they give, and whether there are further ones."""
    reader.look()
    places, more = reader.places_from(place, most)
    return places, [each["id"] for each in reader.given_at(places)], more


def test_a_seat_has_the_places_of_what_it_reads_and_no_others(store: TinyNoteStore) -> None:
    reader = Reader(Log(store), JUDGE, FACTS)
    own = [keep(store, "mark", A), keep(store, "mark", A)]
    keep(store, "mark", B)
    own.append(keep(store, "presence", None))
    assert given(reader) == ([0, 1, 3], own, False)
    assert given(reader, most=2) == ([0, 1], own[:2], True)
    assert given(reader, 2) == ([3], own[2:], False)
    keep(store, "mark", B)
    assert given(reader, 4) == ([], [], False)
    assert reader.has_from(3)
    assert not reader.has_from(4)


def test_the_signature_that_opens_earlier_notes_gives_them_at_its_own_place(store: TinyNoteStore) -> None:
    log = Log(store)
    office, judge = Reader(log, OFFICE, FACTS), Reader(log, JUDGE, FACTS)
    first = keep(store, "sign", A)
    theirs = [keep(store, "mark", T), keep(store, "sign", T)]
    assert given(office) == ([], [], False)
    assert given(judge) == ([0, 2], [first, *theirs], False)
    last = keep(store, "sign", B)
    assert given(office) == ([3], [first, last], False)
    # One that begins only now comes to the same.
    assert given(Reader(Log(store), OFFICE, FACTS)) == ([3], [first, last], False)


def test_what_came_late_has_a_place_and_is_given_to_nobody(store: TinyNoteStore) -> None:
    log = Log(store)
    reader = Reader(log, JUDGE, FACTS)
    signed = keep(store, "sign", A)
    keep(store, "mark", A, **{LATE: signed})
    after = keep(store, "presence", None)
    assert given(reader) == ([0, 2], [signed, after], False)
    assert log.look() == 3


def test_the_signatures_that_stand_are_known_by_class_and_card(store: TinyNoteStore) -> None:
    log = Log(store)
    own, paper = keep(store, "sign", A), keep(store, "sign", B, by="office")
    log.look()
    assert {card: each.ids for card, each in log.standing.items()} == {("c1", A): {own}, ("c1", B): {paper}}
    assert (log.paper_cards("c1", A), log.paper_cards("c1", B)) == (frozenset(), frozenset((paper,)))
    keep(store, "sign", A, numbers=None, reason="wrong number", replaces=[own])
    log.look()
    assert set(log.standing) == {("c1", B)}
    assert [log.signed_at[place] for place in log.sign_places_of["c1"]] == [{A}, {A, B}, {B}]
