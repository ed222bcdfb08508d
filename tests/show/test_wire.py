"""Notes as they come over the wire: one bad note is refused with its reason and never holds back the rest."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nearside.engine.merging import KINDS
from nearside.show import wire
from nearside.show.refusals import Refusal
from nearside.show.wire import MOST_NOTES, Unfit, read_sent
from tests.show.ground import note

GOOD = note("mark", "judge-a", id="good")


def sent(*notes: Any) -> list[dict[str, Any] | Unfit]:
    return read_sent(json.dumps({"notes": list(notes)}).encode(), "seat")


def reason(bad: Any) -> str:
    """Why one note is refused; those round it pass."""
    before, middle, after = sent(GOOD, bad, {**GOOD, "id": "last"})
    assert isinstance(before, dict)
    assert isinstance(after, dict)
    assert isinstance(middle, Unfit)
    return middle.reason


def without(field: str) -> dict[str, Any]:
    return {name: value for name, value in GOOD.items() if name != field}


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_a_note_of_every_kind_passes_with_the_seat_as_its_writer(kind: str) -> None:
    card = "judge-a" if KINDS[kind].of_card else None
    given = note(kind, card)
    (one,) = sent({**given, "by": "somebody else"})
    assert one == {**given, "by": "seat"}


@pytest.mark.parametrize(
    ("bad", "field"),
    [
        (without("id"), "id"),
        ({**GOOD, "id": ""}, "id"),
        ({**GOOD, "id": 5}, "id"),
        ({**GOOD, "id": "x" * 501}, "id"),
        (without("class"), "class"),
        ({**GOOD, "class": None}, "class"),
        (without("kind"), "kind"),
        ({**GOOD, "kind": "score"}, "kind"),
        ({**GOOD, "kind": []}, "kind"),
        (without("at"), "at"),
        ({**GOOD, "at": True}, "at"),
        ({**GOOD, "at": 1.5}, "at"),
        ({**GOOD, "at": 2**53}, "at"),
        ({**GOOD, "at": -(2**53)}, "at"),
        ({**GOOD, "at": 10**400}, "at"),
        ({**GOOD, "at": "1"}, "at"),
        ({**GOOD, "at": None}, "at"),
        ({**GOOD, "at": float("nan")}, "at"),
        ({**GOOD, "at": float("inf")}, "at"),
        ({**GOOD, "replaces": "n1"}, "replaces"),
        ({**GOOD, "replaces": [1]}, "replaces"),
        ({**GOOD, "card": None}, "card"),
        ({**GOOD, "number": "12-A"}, "number"),
        ({**GOOD, "number": "1234567"}, "number"),
        ({**GOOD, "degree": 4}, "degree"),
        ({**GOOD, "degree": 0}, "degree"),
        ({**GOOD, "degree": False}, "degree"),
        ({**GOOD, "color": "red"}, "color"),
        ({**GOOD, "trait": "\ud800"}, "trait"),
        ({**GOOD, "trait": "x" * 501}, "trait"),
        (note("over", "judge-a", pair=["12", "12"]), "pair"),
        (note("over", "judge-a", winner="99"), "winner"),
        (note("ruling", "judge-a", outcome="excused"), "reason"),
        (note("sign", "judge-a", numbers=None), "reason"),
        (note("order", "judge-a", numbers=["1", "1"]), "numbers"),
        (note("lameness", "judge-a", observer="steward"), "observer"),
        (note("lameness", observer=None), "observer"),
        (note("looked", "judge-a", done=False), "done"),
        (note("entry", now="99"), "now"),
        (note("entry", reason="misread"), "reason"),
        (note("entry", now="12", reason=5), "reason"),
    ],
)
def test_a_bad_note_is_refused_with_the_field_that_is_wrong(bad: Any, field: str) -> None:
    assert reason(bad).startswith(field)


@pytest.mark.parametrize("bad", [None, 5, "note", [], [GOOD], True])
def test_what_is_no_object_is_refused_by_itself(bad: Any) -> None:
    assert "object" in reason(bad)


def test_a_note_nested_deeper_than_the_reader_goes_is_refused_by_itself() -> None:
    deep: Any = "x"
    for _ in range(200):
        deep = [deep]
    assert "nested" in reason({**GOOD, "replaces": deep})


def test_an_id_that_cannot_be_sent_back_is_left_out_of_the_receipt() -> None:
    bad = sent({**GOOD, "id": "\ud800"}, {**GOOD, "id": "x" * 501}, {**GOOD, "at": None})
    assert [each.id for each in bad if isinstance(each, Unfit)] == [None, None, "good"]


def test_a_whole_number_written_as_a_fraction_is_that_number() -> None:
    (one,) = read_sent(json.dumps({"notes": [{**GOOD, "degree": 2.0, "at": 5.0}]}).encode(), "seat")
    assert isinstance(one, dict)
    assert (one["degree"], one["at"]) == (2, 5)
    assert type(one["degree"]) is int


def test_a_field_that_may_be_left_out_and_is_null_is_left_out() -> None:
    with_null = note("lameness", "judge-a", id="x", observer=None, text=None, gait="trot")
    bare = note("lameness", "judge-a", id="x", gait="trot")
    assert sent(with_null) == sent(bare)


@pytest.mark.parametrize(
    "body",
    [
        b"",
        b"{",
        b"[]",
        b"null",
        b'{"notes": {}}',
        b'{"notes": [], "more": 1}',
        b'{"note": []}',
        b"\xff\xfe",
        b"\xef\xbb\xbf" + b'{"notes": []}',
        b"[" * 100_000,
        b'{"notes": ' + b"[" * 100_000,
    ],
)
def test_a_body_that_is_no_list_of_notes_is_refused_as_a_whole(body: bytes) -> None:
    with pytest.raises(Refusal) as refusal:
        read_sent(body, "seat")
    assert refusal.value.code == "bad_request"


@pytest.mark.parametrize("bad", [GOOD, 5])
def test_more_than_500_notes_are_refused_as_a_whole(bad: Any) -> None:
    many = [{**GOOD, "id": str(each)} for each in range(MOST_NOTES)]
    assert len(sent(*many)) == MOST_NOTES
    with pytest.raises(Refusal) as refusal:
        sent(*many, bad)
    assert refusal.value.code == "too_large"


_VALUES = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-5, 5),
    st.sampled_from([2**53 - 1, 2**53, 2.0, 0.5, float("nan"), "", "12", "judge-a", "profile", "\ud800", "x" * 501]),
    st.lists(st.sampled_from(["12", "7", "n1", ""]), max_size=3),
    st.sampled_from(["mark", "order", "veterinarian", "last", "present", "blemish"]),
)


@st.composite
def _bent(draw: st.DrawFn) -> Any:
    """A right note of some kind with up to two fields changed, taken out or added."""
    kind = draw(st.sampled_from(sorted(KINDS)))
    bent = note(kind, "judge-a" if KINDS[kind].of_card or draw(st.booleans()) else None, id=draw(st.sampled_from("ab")))
    for _ in range(draw(st.integers(0, 2))):
        field = draw(st.sampled_from([*bent, "text", "reason", "observer", "now", "about", "by", "x"]))
        if draw(st.booleans()):
            bent[field] = draw(_VALUES)
        else:
            bent.pop(field, None)
    return bent


@given(_bent())
def test_the_quick_reader_takes_nothing_the_strict_one_would_not_and_reads_it_the_same(bent: Any) -> None:
    quick = read_sent(json.dumps({"notes": [bent]}).encode(), "seat")[0]
    strict = wire._read_one(json.loads(json.dumps(bent)), "seat")
    assert isinstance(quick, Unfit) == isinstance(strict, Unfit)
    if isinstance(quick, dict):
        assert quick == strict
        assert {field: type(quick[field]) for field in quick} == {field: type(strict[field]) for field in strict}
