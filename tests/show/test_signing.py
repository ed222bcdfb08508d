"""Which signature stands on a card, and what the signatures of a class have opened."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nearside.show.horses import signatures_in, signed_cards
from nearside.show.results import result_of_class
from nearside.show.seats import NO_SIGNATURES, Signatures
from nearside.show.signing import Standing, standing_on
from tests.show.ground import note, small_show

A, B, T = "judge-a", "judge-b", "trainee-a"
BOTH = frozenset((A, B))


def sign(note_id: str, *replaces: str, numbers: list[str] | None = None, **fields: Any) -> dict[str, Any]:
    head = {"id": note_id, "kind": "sign", "by": A, "at": 1, "replaces": list(replaces), "card": A, "class": "c"}
    return {**head, "numbers": numbers, "reason": None if numbers else "wrong number", **fields}


def test_a_signature_stands_until_it_is_taken_back() -> None:
    one, back = sign("1", numbers=["7"], at=5), sign("2", "1")
    assert standing_on(A, []) is None
    assert standing_on(A, [one]) == Standing("1", 5, frozenset("1"), frozenset((A,)))
    assert standing_on(A, [one, back]) is None
    assert standing_on(A, [back, one]) is None
    again = sign("3", "2", numbers=["9"], at=6)
    assert standing_on(A, [one, back, again]) == Standing("3", 6, frozenset("3"), frozenset((A,)))


def test_two_signatures_that_do_not_replace_each_other_stand_beside_each_other() -> None:
    one, paper = sign("1", numbers=["7"], at=5), sign("2", numbers=["9"], at=4, by="office")
    assert standing_on(A, [one, paper]) == Standing("1", 5, frozenset("12"), frozenset((A, "office")))
    # What is in force decides: taking one of them back later leaves the card open until somebody settles it.
    assert standing_on(A, [one, paper, sign("3", "2", at=6, by="office")]) is None
    assert standing_on(A, [one, paper, sign("3", "2", at=3, by="office")]) == Standing(
        "1", 5, frozenset("1"), frozenset((A,))
    )


def after(*moments: set[str], judges: frozenset[str] = BOTH) -> Signatures:
    signatures = NO_SIGNATURES
    for moment in moments:
        signatures = signatures.after(frozenset(moment), judges)
    return signatures


def test_a_class_is_released_when_every_judge_s_signature_stands_at_once() -> None:
    assert not after().is_released
    assert not after({A}).is_released
    assert after({A}, {A, B}).is_released
    assert after({A}, judges=frozenset((A,))).is_released
    assert not after({A}, set(), {B}).is_released
    assert after({A}, set(), {B}, {A, B}).is_released


def test_what_is_out_stays_out_when_a_signature_is_taken_back() -> None:
    assert after({A}, {A, B}, {B}, set()).is_released


def test_a_trainee_s_signature_releases_nothing_and_a_class_without_judges_is_never_released() -> None:
    assert not after({T}).is_released
    assert not after({T}, judges=frozenset()).is_released


def test_a_signature_taken_back_before_the_release_is_none_since_the_release() -> None:
    assert after({T}, set(), {A}, {A, B}).since_release == BOTH
    assert after({T}, {T, A}, {T, A, B}).since_release == {T, A, B}
    assert after({A}, {A, B}, {A, B, T}, {A, B}).since_release == {T, A, B}


def test_two_cards_stood_together_only_if_they_did_at_one_moment() -> None:
    assert not after({T}, set(), {A}).stood_together(T, A)
    assert after({T}, {T, A}, {A}).stood_together(T, A)
    assert not after({T}).stood_together(T, None)


@settings(max_examples=30, deadline=None)
@given(
    acts=st.lists(
        st.sampled_from(["judge-a", "judge-b", "trainee-a", "paper", "paper back", "start again"]), max_size=12
    )
)
def test_what_is_open_is_the_same_as_the_log_goes_on_and_from_the_notes_of_a_class_alone(
    tmp_path_factory: pytest.TempPathFactory, acts: list[str]
) -> None:
    data = tmp_path_factory.mktemp("show")
    kept: dict[str, list[str]] = {}
    remaining = iter(enumerate(acts, 1))
    is_over = False
    while not is_over:
        is_over = True
        with small_show(data) as ground:
            for at, act in remaining:
                if act == "start again":
                    is_over = False
                    break
                seat, card = ("office", "judge-b") if act.startswith("paper") else (act, act)
                stands = ground.show.log.standing.get(("c1", card))
                back = act == "paper back" or (act == card and stands is not None)
                replaces = kept.get(seat, [])[-1:] if seat == "office" else sorted(stands.ids if stands else ())
                taken = {"numbers": None, "reason": "misread", "replaces": replaces} if back else {"replaces": []}
                one = note("sign", card, **{"at": 1764061200000 + at, **taken})
                if ground.push_one(seat, one)["status"] == "kept" and not back:
                    kept.setdefault(seat, []).append(one["id"])
                ground.show.log.look()
                judges = ground.show.facts.judges_in("c1")
                records = ground.ground.records(ground.show)
                notes, result = records.notes("c1"), result_of_class(records, "c1")
                opened = ground.show.signatures("c1")
                standing = {card for _, card in ground.show.log.standing}
                assert signatures_in(notes, judges) == result.signatures == opened
                assert signed_cards(notes) == standing
                assert {each.judge for each in result.cards if each.numbers is not None} == standing & judges
                from_paper = {each.judge for each in result.cards if each.numbers is not None and each.is_from_paper}
                assert all(ground.show.log.paper_cards("c1", each) for each in from_paper)
