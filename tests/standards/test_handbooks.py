"""Weights, traits and orders of the shipped standards held against conformation handbooks."""

from __future__ import annotations

from itertools import combinations
from typing import Any

import pytest

from nearside.show.standards import about_standards, shipped_standard

from .reading import KEYS, ORDINARY, order_of, phrases, published, trait, traits_of

WEIGHTS, ORDERS, TRAITS = (
    published(f"{name}.json") for name in ("standard_weights", "criteria_order", "conformation_traits")
)


def wanted_in(key: str) -> dict[str, str]:
    """What counts as a fault elsewhere and is wanted in this type, with the trait that says so."""
    return {each["fault"]: each["wanted"] for each in WEIGHTS["wanted_instead"] if each["standard"] == key}


@pytest.mark.parametrize("key", KEYS)
def test_faults_handbooks_call_serious_weigh_most_and_those_tolerated_least(key: str) -> None:
    wanted = wanted_in(key)
    for weight, named in ((4, WEIGHTS["serious"]), (1, WEIGHTS["minor"])):
        for fault in named:
            found = trait(key, fault)
            if fault in wanted:
                assert found is None
                wanted_trait = trait(key, wanted[fault])
                assert wanted_trait is not None
                assert "good" in wanted_trait
            else:
                assert found is not None, fault
                assert "good" not in found
                assert found["weight"] == weight
    assert [each["key"] for each in traits_of(shipped_standard(key)) if each["weight"] == 4 and "good" in each] == []


@pytest.mark.parametrize("key", KEYS)
def test_what_handbooks_tolerate_in_young_stock_is_never_more_than_ordinary(key: str) -> None:
    for named in WEIGHTS["minor_in_young_stock"]:
        found = trait(key, named)
        assert found is not None
        assert found["weight"] <= ORDINARY


@pytest.mark.parametrize("key", KEYS)
def test_of_two_ways_a_part_goes_wrong_the_one_handbooks_call_graver_weighs_more(key: str) -> None:
    for pair in WEIGHTS["graver"]:
        more, less = trait(key, pair["more"]), trait(key, pair["less"])
        assert more is not None
        if less is not None or pair["less"] not in wanted_in(key):
            assert less is not None
            assert more["weight"] > less["weight"]


@pytest.mark.parametrize("case", TRAITS["stock_type"], ids=lambda case: f"{case['trait']}@{case['view']}")
def test_stock_type_looks_for_what_the_handbooks_look_for(case: dict[str, str]) -> None:
    found = trait("stock-type", case["trait"])
    assert found is not None
    assert case["view"] in found["views"]
    assert case["faulty"] in found["faulty"]
    if "good" in case:
        assert case["good"] in phrases(found)["good"]
    else:
        assert "good" not in found


def test_every_trait_of_stock_type_comes_from_the_handbooks() -> None:
    assert {each["key"] for each in traits_of(shipped_standard("stock-type"))} == {
        case["trait"] for case in TRAITS["stock_type"]
    }


@pytest.mark.parametrize("case", TRAITS["where_the_ideal_differs"], ids=lambda case: str(case["trait"]))
def test_other_types_keep_their_own_ideal(case: dict[str, Any]) -> None:
    for key in case["standards"]:
        found = trait(key, case["trait"])
        assert found is not None
        assert case["good"] in phrases(found)["good"]
        in_stock_type = trait("stock-type", case["trait"])
        assert in_stock_type is None or phrases(in_stock_type)["good"] != phrases(found)["good"]


def test_stock_type_keeps_the_order_georgia_b1400_states_and_open_shows_practice() -> None:
    case = ORDERS["stock_type"]
    shipped = order_of("stock-type")
    assert shipped[0] == case["first"]
    for before, after in case["before"]:
        assert shipped.index(before) < shipped.index(after)
    assert shipped == case["practice"]
    assert about_standards()["stock-type"]["order"]["mark"] == "practice"


def test_stock_type_departs_from_georgia_b1400_and_kentucky_asc_118_where_it_says_so_and_nowhere_else() -> None:
    shipped = order_of("stock-type")
    agreed = set.intersection(*(set(combinations(each["order"], 2)) for each in ORDERS["handbooks"]))
    against = {(a, b) for a, b in agreed if a in shipped and b in shipped and shipped.index(a) > shipped.index(b)}
    assert against == {("muscling", "quality")}


def test_refined_desert_type_keeps_the_order_of_its_breeding_classes() -> None:
    assert order_of("refined-desert-type") == ORDERS["breeding_class_of_the_refined_desert_type"]["order"]


def test_an_order_no_publication_was_found_for_is_marked_as_from_memory() -> None:
    from_memory = [*ORDERS["no_order_found"], "refined-desert-type"]
    assert {key for key in KEYS if about_standards()[key]["order"]["mark"] == "memory"} == set(from_memory)
    for key in ORDERS["no_order_found"]:
        assert "no published order was found" in about_standards()[key]["order"]["source"]


def test_each_standard_has_an_order_of_its_own() -> None:
    assert len({tuple(order_of(key)) for key in KEYS}) == len(KEYS)


@pytest.mark.parametrize("key", KEYS)
def test_every_weight_beside_the_ordinary_has_its_reason_and_no_reason_is_stale(key: str) -> None:
    reasons = about_standards()[key]["weights"]
    needed = {each["key"] for each in traits_of(shipped_standard(key)) if each["weight"] != ORDINARY}
    assert set(reasons) == needed
    begins = {1: "Minor: ", 3: "More than ordinary", 4: "Serious: "}
    for each in traits_of(shipped_standard(key)):
        if each["key"] in reasons:
            assert reasons[each["key"]].startswith(begins[each["weight"]])
            assert reasons[each["key"]].endswith(".")


def test_the_notes_speak_of_the_shipped_standards_only_and_name_every_field() -> None:
    assert sorted(about_standards()) == KEYS
    for key in KEYS:
        about = about_standards()[key]
        assert set(about) == {"about", "order", "weights"}
        assert set(about["order"]) == {"text", "source", "mark"}
        assert about["order"]["mark"] in (None, "memory", "practice")
        assert all(text.endswith(".") for text in (about["about"], about["order"]["text"]))
