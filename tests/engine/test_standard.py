"""A standard read and checked: each thing that is wrong gives its own refusal, with its place."""

from __future__ import annotations

from typing import Any

import pytest

from nearside.engine.standard import StandardRefused, checked_standard, is_judged, judged_traits

from .cases import DROP, PLAIN, changed, standard, trait


def test_what_is_left_out_is_filled_in() -> None:
    read = checked_standard(standard([trait("a")], [trait("b")]))
    assert read["degrees"] == [1, 2, 4]
    assert read["criteria"][0]["traits"][0]["weight"] == 2


def test_null_is_the_same_as_left_out() -> None:
    nulls = trait("a") | {"weight": None, "sexes": None, "first": None}
    fault = trait("b", fault_only=True) | {"good": None, "more": None}
    assert checked_standard(standard([nulls], [fault], degrees=None))["criteria"][0]["traits"][0]["weight"] == 2


def test_traits_of_another_sex_are_not_judged() -> None:
    read = checked_standard(PLAIN)
    keys = [each["key"] for _, each in judged_traits(read, ["gelding"])]
    assert "sex" not in keys
    assert is_judged(read["criteria"][2]["traits"][1], ["gelding", "mare"])


FIRST = ["criteria", 0, "traits", 0]
REFUSED: list[tuple[list[Any], Any, str]] = [
    (["format"], "other", 'format: must be "nearside-standard/1"'),
    (["color"], 1, 'the field "color" is not known here'),
    (["title"], DROP, 'the field "title" is missing'),
    (["views"], [], "views: give 1 to 6"),
    (["views"], ["a", "b", "c", "d", "e", "f", "g"], "views: give 1 to 6"),
    (["views", 1], "profile", 'views: the entry "profile" is named twice'),
    (["criteria"], PLAIN["criteria"][:1], "criteria: give 2 to 8 criteria"),
    (["criteria", 1, "key"], "balance", 'the criterion "balance" is named twice'),
    (["criteria", 1, "traits", 0, "key"], "topline", 'the trait "topline" is named twice'),
    (["criteria", 0, "traits"], [], "criteria[0].traits: give at least one trait"),
    ([*FIRST, "weight"], 5, "criteria[0].traits[0].weight: must be a whole number from 1 to 4"),
    ([*FIRST, "weight"], True, "weight: must be a whole number"),
    ([*FIRST, "good"], DROP, "give both good and more, or neither"),
    ([*FIRST, "more"], "", "criteria[0].traits[0].more: must not be empty"),
    ([*FIRST, "faulty"], "x" * 501, "is longer than 500 characters"),
    ([*FIRST, "title"], "\ud800", "holds half a character"),
    ([*FIRST, "views"], ["above"], '"above" is not among the views of the standard'),
    ([*FIRST, "sexes"], ["colt"], '"colt" is not one of mare, stallion, gelding'),
    ([*FIRST, "first"], 1, "first: must be true or false"),
    (["degrees"], [1, 1, 2], "degrees: give three whole numbers from 1 to 9"),
    (["degrees"], [1, 2], "degrees: give three whole numbers from 1 to 9"),
    (["degrees"], [1, 2, 10], "degrees: must be a whole number from 1 to 9"),
    (["criteria", 0], [], "criteria[0]: must be an object"),
]


@pytest.mark.parametrize(("path", "value", "said"), REFUSED, ids=[f"{p[-1]}={str(v)[:20]}" for p, v, _ in REFUSED])
def test_what_is_wrong_is_refused_with_its_place(path: list[Any], value: Any, said: str) -> None:
    with pytest.raises(StandardRefused) as refusal:
        checked_standard(changed(PLAIN, path, value))
    assert said in str(refusal.value)


def test_more_than_eight_first_traits_in_a_view_are_refused() -> None:
    many = [trait(f"t{i}", first=True) for i in range(9)]
    with pytest.raises(StandardRefused, match='9 traits are marked first in the view "profile"'):
        checked_standard(standard(many, [trait("b")]))
