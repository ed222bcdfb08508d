"""JSON as it may enter: what is read, and what is refused with its place."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nearside.show.strict_json import Refused, canonical, read_json

MOST = 2**53 - 1

REFUSED: list[tuple[bytes, str]] = [
    (b"", "is not JSON: line 1, column 1"),
    (b'{"a": 1,}', "is not JSON: line 1"),
    (b"\xef\xbb\xbf{}", "byte order mark"),
    (b'"\xff"', "is not UTF-8 text (byte 1)"),
    (b'{"a": [1, NaN]}', "a[1]: NaN is not a number"),
    (b'{"a": -Infinity}', "a: -Infinity is not a number"),
    (b'{"a": 9007199254740992}', "a: is a whole number beyond 2^53 - 1"),
    (b'{"a": -9007199254740992}', "a: is a whole number beyond 2^53 - 1"),
    (b'{"a": 9007199254740992.0}', "a: is a whole number beyond 2^53 - 1"),
    (b'{"a": 1e400}', "a: must be a whole number"),
    (b'{"a": ' + b"9" * 5000 + b"}", "a: is a whole number beyond 2^53 - 1"),
    (b'{"a": 1.5}', "a: must be a whole number"),
    (rb'{"a": {"b": "\ud800"}}', "a.b: holds a lone surrogate"),
    (rb'{"\udc00": 1}', "holds a lone surrogate"),
    (b'{"a": "' + b"x" * 501 + b'"}', "a: is longer than 500 characters"),
    (b'{"a": 1, "a": 1}', 'an object names "a" twice'),
    (b"[" * 100_000, "is nested deeper than 32 levels"),
    (b"[" * 40 + b"]" * 40, "is nested deeper than 32 levels"),
]


@pytest.mark.parametrize(("data", "said"), REFUSED, ids=[said[:40] for _, said in REFUSED])
def test_what_can_not_be_relied_on_is_refused_with_its_place(data: bytes, said: str) -> None:
    with pytest.raises(Refused) as refusal:
        read_json(data)
    assert said in str(refusal.value)


def test_a_fraction_of_nothing_is_a_whole_number() -> None:
    assert canonical(read_json(b"[2.0, 1e3, -0.0, 9007199254740991, 2.50e1]")) == "[2,1000,0,9007199254740991,25]"


def test_text_of_500_code_points_beyond_the_basic_plane_is_read() -> None:
    text = "\N{HORSE FACE}" * 500
    assert read_json(json.dumps(text).encode()) == text


plain = st.recursive(
    st.one_of(st.none(), st.booleans(), st.integers(-MOST, MOST), st.text(max_size=20)),
    lambda inner: st.one_of(st.lists(inner, max_size=4), st.dictionaries(st.text(max_size=5), inner, max_size=4)),
    max_leaves=20,
)


@given(plain)
def test_canonical_json_is_read_back_as_it_was_and_written_the_same(value: Any) -> None:
    text = canonical(value)
    assert read_json(text.encode()) == value
    assert canonical(read_json(text.encode())) == text


def test_keys_are_sorted_by_code_point_and_only_what_must_be_is_escaped() -> None:
    assert canonical({"\U00010000": 1, "\ue000": "é\n\u2028"}) == '{"\ue000":"é\\n\u2028","\U00010000":1}'
