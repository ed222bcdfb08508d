"""Notes in memory, and what a note must be to be kept."""

from typing import Any

import pytest

from nearside.store.protocol import NoteUnfit
from nearside.store.shelf import Shelf, check, copied, is_same


def nested(depth: int) -> Any:
    value: Any = "deep"
    for _ in range(depth):
        value = [value]
    return value


def test_the_refusal_of_a_note_says_which_and_what_it_needs() -> None:
    with pytest.raises(NoteUnfit, match=r"^Note 3 needs the field 'class': text that is not empty"):
        check({"id": "n1", "class": ""}, "Note 3")
    with pytest.raises(NoteUnfit, match=r"^Note 1 is not a JSON object"):
        check(None, "Note 1")


def test_lists_and_objects_may_be_eight_deep_and_no_deeper() -> None:
    check({"id": "n1", "class": "c1", "numbers": nested(8)}, "It")
    for within in (nested(9), {"a": nested(8)}, tuple(nested(9)), nested(100_000)):
        with pytest.raises(NoteUnfit, match="more than 8 deep"):
            check({"id": "n1", "class": "c1", "numbers": within}, "It")


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
