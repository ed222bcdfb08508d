"""The shipped standards: their form, and words that can be read as labels and carried by a sentence."""

from __future__ import annotations

import json
import re
from itertools import permutations

import pytest

from nearside.engine.placing import place
from nearside.engine.shapes import SEXES, Trait
from nearside.engine.standard import judged_traits
from nearside.show.classfile import checked_class_file
from nearside.show.standards import shipped_keys, shipped_standard, words

from .reading import KEYS, TESTS, phrases, trait, traits_of

FOLDER = TESTS.parent / "backend" / "nearside" / "standards"
VIEWS = ["profile", "front", "rear", "head", "walk", "trot"]
NUMBER_WORD = re.compile(
    r"\b(one|two|three|four|five|six|seven|eight|nine|ten|once|twice|half|thirds?|first|second|both|pair)\b"
)
COMPARATIVE = re.compile(r"(more|better|[a-z]+er) ")
LABEL_AT_MOST, MORE_AT_MOST = 34, 60  # half the width of a small phone on two lines; one breath


def test_six_standards_ship_each_in_the_file_of_its_key() -> None:
    assert list(shipped_keys()) == KEYS
    assert [shipped_standard(key)["key"] for key in KEYS] == KEYS


@pytest.mark.parametrize("key", KEYS)
def test_keys_are_lower_case_words_with_hyphens(key: str) -> None:
    standard = shipped_standard(key)
    for each in [*standard["criteria"], *traits_of(standard)]:
        assert re.fullmatch(r"[a-z]+(-[a-z]+)*", each["key"])


@pytest.mark.parametrize("key", KEYS)
def test_every_weight_is_written_out_in_the_file(key: str) -> None:
    raw = json.loads((FOLDER / f"{key}.json").read_text())
    assert all("weight" in each for criterion in raw["criteria"] for each in criterion["traits"])


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("key", KEYS)
def test_every_view_shows_one_to_eight_traits_first(key: str, view: str) -> None:
    standard = shipped_standard(key)
    assert standard["views"] == VIEWS
    first = [each["key"] for each in traits_of(standard) if view in each["views"] and each.get("first")]
    assert 1 <= len(first) <= 8


@pytest.mark.parametrize("key", KEYS)
def test_a_view_can_show_a_good_end_and_a_fault(key: str) -> None:
    for view in VIEWS:
        seen = [each for each in traits_of(shipped_standard(key)) if view in each["views"]]
        assert any("good" in each for each in seen)
        assert any("good" not in each for each in seen)


@pytest.mark.parametrize("key", KEYS)
def test_the_traits_of_one_sex_are_judged_in_its_classes_only(key: str) -> None:
    standard = shipped_standard(key)
    own_sex = {"feminine": "mare", "masculine": "stallion"}
    for sex in SEXES:
        judged = {each["key"] for _, each in judged_traits(standard, [sex])}
        left_out = {each["key"] for each in traits_of(standard)} - judged
        assert left_out == {trait_key for trait_key, of in own_sex.items() if of != sex}


@pytest.mark.parametrize("key", KEYS)
def test_words_are_short_plain_and_fit_a_sentence(key: str) -> None:
    for each in traits_of(shipped_standard(key)):
        for end, phrase in phrases(each).items():
            assert len(phrase) <= (MORE_AT_MOST if end == "more" else LABEL_AT_MOST), phrase
            assert re.fullmatch(r"[a-zV ,()-]+", phrase), phrase  # V: the shape of a chest
            assert phrase[0].islower(), phrase
            assert not NUMBER_WORD.search(phrase), phrase
            assert phrase == " ".join(phrase.split()), phrase


@pytest.mark.parametrize("key", KEYS)
def test_every_comparative_follows_is_and_can_stand_in_a_list(key: str) -> None:
    for each in traits_of(shipped_standard(key)):
        more = each.get("more")
        if more is not None:
            assert COMPARATIVE.match(more), more
            assert "," not in more, more
            assert more.count(" and ") <= 1, more


@pytest.mark.parametrize("key", KEYS)
def test_the_title_of_the_first_criterion_takes_a_verb_in_the_singular(key: str) -> None:
    title = shipped_standard(key)["criteria"][0]["title"]  # "however far balance outweighs the rest"
    assert " and " not in title


@pytest.mark.parametrize("key", KEYS)
def test_no_phrase_of_a_standard_is_part_of_another(key: str) -> None:
    said = [phrase for each in traits_of(shipped_standard(key)) for phrase in phrases(each).values()]
    inside = [(one, other) for one, other in permutations(said, 2) if one in other]
    assert inside == []


@pytest.mark.parametrize("key", KEYS)
def test_titles_of_traits_and_criteria_are_unique(key: str) -> None:
    standard = shipped_standard(key)
    for titles in (
        [each["title"] for each in traits_of(standard)],
        [each["title"] for each in standard["criteria"]],
    ):
        assert len(set(titles)) == len(titles)


def test_feet_swinging_in_and_out_are_shown_with_their_direction_in_words() -> None:
    for key in KEYS:
        for trait_key, direction in (("winging", "in"), ("paddling", "out")):
            fault = trait(key, trait_key)
            assert fault is not None
            assert fault["faulty"] == f"feet swinging {direction} ({trait_key})"
            assert fault["views"] == ["walk", "trot"]


@pytest.mark.parametrize("key", KEYS)
def test_the_sentence_of_a_pair_names_the_marked_trait_in_its_own_words_and_no_other(key: str) -> None:
    standard = shipped_standard(key)
    of_sentence = {
        each["key"]: phrases(each).get("more", f"less faulted for {each['faulty']}") for each in traits_of(standard)
    }
    for each in traits_of(standard):
        for view in each["views"]:
            said = sentence_of_one_mark(key, each, view)
            assert [name for name, phrase in of_sentence.items() if phrase in said] == [each["key"]], said


def sentence_of_one_mark(key: str, marked: Trait, view: str) -> str:
    """What is said of two horses when one fault of the second is all that was noted."""
    note = {"card": "judge-a", "by": "judge-a", "at": 1, "replaces": [], "view": view}
    class_file, standard = checked_class_file(
        {
            "format": "nearside-class/1",
            "class": {
                "id": "c1",
                "title": "Two horses",
                "standard": key,
                "sexes": marked.get("sexes") or ["mare"],
                "ages": ["aged"],
                "places": 2,
            },
            "entries": [{"number": "12"}, {"number": "7"}],
            "card": "judge-a",
            "notes": [
                {**note, "id": "n1", "kind": "mark", "number": "7", "trait": marked["key"], "degree": -2},
                {**note, "id": "n2", "kind": "looked", "number": "12", "done": True},
            ],
        }
    )
    placing = place(class_file, standard, words())
    assert placing["placing"] == ["12", "7"]
    return str(placing["pairs"][0]["sentence"])
