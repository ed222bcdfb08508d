"""Notes in memory, and what a note must be to be kept."""

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nearside.store.protocol import NoteUnfit
from nearside.store.shelf import Shelf, copied, is_same, taken


def nested(depth: int) -> Any:
    value: Any = "deep"
    for _ in range(depth):
        value = [value]
    return value


def test_the_refusal_of_a_note_says_what_it_needs() -> None:
    with pytest.raises(NoteUnfit, match=r"^needs the field 'class': text that is not empty"):
        taken({"id": "n1", "class": ""})
    with pytest.raises(NoteUnfit, match=r"^is not a JSON object"):
        taken(None)


def test_lists_and_objects_may_be_eight_deep_and_no_deeper() -> None:
    taken({"id": "n1", "class": "c1", "numbers": nested(8)})
    for within in (nested(9), {"a": nested(8)}, tuple(nested(9)), nested(100_000)):
        with pytest.raises(NoteUnfit, match="more than 8 deep"):
            taken({"id": "n1", "class": "c1", "numbers": within})


class Text(str):
    """Looks like text, and JSON would give back something else."""


@pytest.mark.parametrize(
    "more",
    [
        {7: 1},
        {None: 1},
        {"a": {7: 1}},
        {"a": [{True: 1}]},
        {"a": b"1"},
        {"a": Text("1")},
        {"a": [Text("1")]},
        {"a": 1j},
    ],
)
def test_what_json_would_give_back_otherwise_is_refused(more: dict[Any, Any]) -> None:
    with pytest.raises(NoteUnfit, match="is not plain JSON"):
        taken({"id": "n1", "class": "c1"} | more)


PLAIN = st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False) | st.text()
VALUES = st.recursive(PLAIN, lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(), inner, max_size=3))


@given(st.dictionaries(st.text(), VALUES, max_size=6))
def test_what_is_taken_is_what_json_gives_back_and_shares_nothing(more: dict[str, Any]) -> None:
    note = more | {"id": "n1", "class": "c1"}
    try:
        own = taken(note)
    except NoteUnfit as error:
        assert "deep" in str(error)  # noqa: PT017
        return
    assert own is not note
    assert repr(json.loads(json.dumps(own))) == repr(own) == repr(note)
    assert not {id(value) for value in own.values() if isinstance(value, dict | list)} & set(map(id, note.values()))


def test_a_copy_of_a_class_stays_still_while_notes_are_added() -> None:
    shelf = Shelf()
    shelf.show([{"id": "a", "class": "c1"}])
    still, live = shelf.of_class("c1"), shelf.live("c1")
    shelf.show([{"id": "b", "class": "c1"}, {"id": "c", "class": "c2"}])
    assert list(still) == ["a"]
    assert list(live) == ["a", "b"]
    assert shelf.class_ids() == ["c1", "c2"]
    assert [note["id"] for note in shelf.log] == ["a", "b", "c"]


def test_same_content_is_the_same_json_but_for_the_order_of_fields() -> None:
    assert is_same({"a": 1, "b": [1, 2]}, {"b": [1, 2], "a": 1})
    for other in ({"a": 1.0}, {"a": True}, {"a": "1"}, {"a": 1, "b": None}, {"a": {1, 2}}):
        assert not is_same({"a": 1}, other)
    assert not is_same({"a": [1, 2]}, {"a": [2, 1]})


def test_a_copy_shares_no_list_or_object() -> None:
    note = {"numbers": ["12", ["7"]], "more": {"of": ["it"]}}
    copy = copied(note)
    assert copy == note
    copy["numbers"][1].append("9")
    copy["more"]["of"].append("9")
    assert note == {"numbers": ["12", ["7"]], "more": {"of": ["it"]}}
