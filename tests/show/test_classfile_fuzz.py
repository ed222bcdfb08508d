"""Class files damaged anywhere: a clear refusal or a right answer, never anything else."""

from __future__ import annotations

import json
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from nearside.engine.oral import oral_reasons, spoken_order
from nearside.engine.placing import place
from nearside.show.account import account
from nearside.show.classfile import read_class_file
from nearside.show.standards import words
from nearside.show.strict_json import Refused, canonical
from tests.engine import cases

from .test_classfile import FILE

junk = st.recursive(
    st.one_of(
        st.none(),
        st.booleans(),
        st.integers(-(2**60), 2**60),
        st.floats(),
        st.text(max_size=8),
        st.sampled_from(["mark", "over", "judge-a", "12", "topline", "profile", "last", "", "\ud800", "x" * 501, 2.0]),
    ),
    lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(st.text(max_size=6), inner, max_size=3)),
    max_leaves=6,
)


def places(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Every place of a JSON value, from the outside in."""
    steps: list[Any] = []
    if isinstance(value, dict):
        steps = list(value)
    elif isinstance(value, list):
        steps = list(range(len(value)))
    return [path, *(place for step in steps for place in places(value[step], (*path, step)))]


def answers_or_refuses(data: bytes) -> None:
    try:
        class_file, standard = read_class_file(data)
    except Refused:
        return
    placing = place(class_file, standard, words())
    assert account(class_file, standard, placing, words())
    order = spoken_order(placing)
    if order:
        assert oral_reasons(class_file, standard, words(), placing, order)["statements"]
    assert canonical(json.loads(canonical(placing))) == canonical(placing)


@settings(max_examples=400)
@given(st.one_of(st.just(FILE), cases.class_files()), st.data())
def test_a_class_file_with_anything_in_any_place_is_answered_or_refused(file: Any, data: st.DataObject) -> None:
    for _ in range(data.draw(st.integers(1, 2))):
        file = cases.changed(file, data.draw(st.sampled_from(places(file))), data.draw(junk))
    answers_or_refuses(json.dumps(file).encode(errors="surrogatepass"))


@settings(max_examples=200)
@given(st.data())
def test_a_class_file_with_bytes_changed_is_answered_or_refused(data: st.DataObject) -> None:
    text = bytearray(json.dumps(FILE).encode())
    for _ in range(data.draw(st.integers(1, 4))):
        text[data.draw(st.integers(0, len(text) - 1))] = data.draw(st.integers(0, 255))
    answers_or_refuses(bytes(text[: data.draw(st.integers(0, len(text)))]))
