"""When a class's signed order is out."""

from __future__ import annotations

from typing import Any

from nearside.show.signing import signatures_of

BOTH = frozenset(("judge-a", "judge-b"))


def sign(note_id: str, card: str, *replaces: str, numbers: list[str] | None = None) -> dict[str, Any]:
    head = {"id": note_id, "kind": "sign", "by": card, "at": 1, "replaces": list(replaces), "card": card, "class": "c"}
    return {**head, "numbers": numbers, "reason": None if numbers else "wrong number"}


def test_a_class_is_released_when_every_judge_s_signature_stands() -> None:
    one, other = sign("1", "judge-a", numbers=["7"]), sign("2", "judge-b", numbers=["7"])
    assert not signatures_of([], BOTH).is_released
    assert not signatures_of([one], BOTH).is_released
    assert signatures_of([one, other], BOTH).is_released
    assert signatures_of([one], frozenset(("judge-a",))).is_released


def test_a_signature_taken_back_before_the_other_judge_signs_does_not_count() -> None:
    one, back = sign("1", "judge-a", numbers=["7"]), sign("2", "judge-a", "1")
    other, again = sign("3", "judge-b", numbers=["7"]), sign("4", "judge-a", "2", numbers=["9"])
    assert not signatures_of([one, back, other], BOTH).is_released
    assert signatures_of([one, back, other, again], BOTH).is_released


def test_what_is_out_stays_out_when_a_signature_is_taken_back() -> None:
    one, other = sign("1", "judge-a", numbers=["7"]), sign("2", "judge-b", numbers=["7"])
    assert signatures_of([one, other, sign("3", "judge-a", "1")], BOTH).is_released


def test_a_trainee_s_signature_is_counted_as_signed_and_releases_nothing() -> None:
    signatures = signatures_of([sign("1", "trainee-a", numbers=["7"])], BOTH)
    assert signatures.signed == {"trainee-a"}
    assert not signatures.is_released


def test_a_class_without_judges_is_never_released() -> None:
    assert not signatures_of([sign("1", "trainee-a", numbers=["7"])], frozenset()).is_released
