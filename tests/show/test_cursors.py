"""Cursors: each place has one, the other way leads back, and neither a cursor nor a step between two says anything."""

from __future__ import annotations

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from nearside.show.cursors import AT_MOST, Cursors

CURSORS = Cursors("a secret")
PLACES = st.integers(0, AT_MOST - 1)


@given(PLACES, st.text())
def test_a_cursor_leads_back_to_its_place_for_its_own_seat_alone(place: int, seat: str) -> None:
    cursor = CURSORS.cursor(seat, place)
    assert 0 <= cursor <= AT_MOST < 2**53
    assert CURSORS.place(seat, cursor) == place
    if place > 0:
        assert CURSORS.place(f"{seat}'", cursor) != place
        assert Cursors("another secret").place(seat, cursor) != place


@given(st.integers(1, AT_MOST))
def test_every_cursor_is_that_of_one_place(cursor: int) -> None:
    place = CURSORS.place("judge-a", cursor)
    assert place < AT_MOST
    assert CURSORS.cursor("judge-a", place) == (cursor if place > 0 else 0)


def test_the_beginning_is_nought_and_what_is_no_cursor_begins_there() -> None:
    assert CURSORS.cursor("judge-a", 0) == 0
    assert [CURSORS.place("judge-a", each) for each in (0, -1, AT_MOST + 1, 2**60)] == [0] * 4


def test_a_made_up_cursor_leads_beyond_any_log() -> None:
    assert all(CURSORS.place("judge-a", made_up) > 10**8 for made_up in range(1, 5_000))


def test_cursors_neither_grow_with_their_places_nor_share_bits_with_them() -> None:
    cursors = [CURSORS.cursor("judge-a", place) for place in range(1, 2_001)]
    assert len(set(cursors)) == 2_000
    rising = sum(later > earlier for earlier, later in pairwise(cursors))
    assert 900 < rising < 1_100
    for bit in range(52):
        same = sum((place ^ cursor) >> bit & 1 for place, cursor in enumerate(cursors, 1))
        assert 850 < same < 1_150, bit


def test_an_opaque_text_is_equal_where_the_text_is_and_each_seat_has_its_own() -> None:
    assert CURSORS.opaque("judge-a", "x") == CURSORS.opaque("judge-a", "x")
    assert len({CURSORS.opaque(seat, text) for seat in ("judge-a", "judge-b") for text in ("x", "y")}) == 4
