"""The bell wakes those who may read what has arrived, and nobody else."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from nearside.show.bell import MOST_A_DEVICE, Bell
from tests.show.ground import IDS, Ground, note, small_show

GATE = set(IDS)


def woken(ground: Ground, seat: str, *notes: dict[str, Any]) -> set[str]:
    """Which seats' listeners ring when this seat sends these notes."""
    bell = ground.show.bell
    listeners = {name: bell.listen(f"device of {name}", each) for name, each in ground.show.seats.items()}
    receipts = ground.push(seat, *notes)
    assert {each["status"] for each in receipts} == {"kept"}
    rung = {name for name, listener in listeners.items() if listener.wake.is_set()}
    for listener in listeners.values():
        bell.forget(listener)
    return rung


def test_a_mark_wakes_the_card_s_own_seats_alone(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        assert woken(ground, "scribe-a", note("mark", "judge-a")) == {"judge-a", "scribe-a"}
        assert woken(ground, "trainee-b", note("mark", "trainee-b")) == {"trainee-b"}


def test_what_the_gate_says_wakes_everybody_and_a_call_without_card_all_but_trainees(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        assert woken(ground, "steward", note("presence")) == GATE
        assert woken(ground, "steward", note("lameness")) == GATE - {"trainee-a", "trainee-b", "announcer"}


def test_on_a_panel_the_last_signature_wakes_office_and_steward_and_the_first_does_not(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        assert woken(ground, "judge-a", note("sign", "judge-a")) == {"judge-a", "scribe-a"}
        assert woken(ground, "judge-b", note("sign", "judge-b")) == {
            "judge-b",
            "scribe-b",
            "office",
            "steward",
            "announcer",
        }


def test_a_trainee_s_signature_wakes_the_judge_it_shadows_once_that_judge_has_signed(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        assert woken(ground, "trainee-b", note("mark", "trainee-b"), note("sign", "trainee-b")) == {"trainee-b"}
        ground.push("judge-a", note("sign", "judge-a"))
        assert woken(ground, "trainee-a", note("mark", "trainee-a"), note("sign", "trainee-a")) == {
            "trainee-a",
            "judge-a",
        }


def test_a_note_sent_again_or_refused_wakes_nobody(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        mark = note("mark", "judge-a")
        ground.push("judge-a", mark)
        listener = ground.show.bell.listen("d", ground.show.seats["judge-a"])
        ground.push("judge-a", mark, note("mark", "judge-b"))
        assert not listener.wake.is_set()


def test_a_device_with_too_many_streams_loses_its_oldest(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        seat = ground.show.seats["judge-a"]
        bell = Bell()
        listeners = [bell.listen("d", seat) for _ in range(MOST_A_DEVICE + 1)]
        other = bell.listen("e", seat)
        assert [each.is_over for each in listeners] == [True] + [False] * MOST_A_DEVICE
        assert not other.is_over


@pytest.mark.parametrize("device", ["d", None])
def test_ending_closes_the_streams_of_a_device_or_all_and_every_later_one(tmp_path: Path, device: str | None) -> None:
    with small_show(tmp_path) as ground:
        seat = ground.show.seats["judge-a"]
        bell = Bell()
        one, other = bell.listen("d", seat), bell.listen("e", seat)
        bell.end(device)
        assert one.is_over
        assert one.wake.is_set()
        assert other.is_over == (device is None)
        assert bell.listen("d", seat).is_over == (device is None)
