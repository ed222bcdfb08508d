"""Join codes, tokens, and the throttle on wrong codes."""

from __future__ import annotations

import doctest

import pytest

from nearside.show import codes
from nearside.show.codes import ALPHABET, BURST, LENGTH, SECONDS_A_TRY, Throttle, digest, new_code, new_token, tidy_code


def test_the_examples_in_the_docstrings_hold() -> None:
    assert doctest.testmod(codes).failed == 0


def test_a_code_is_eight_signs_without_look_alikes() -> None:
    assert not set("01OIL") & set(ALPHABET)
    assert len(set(ALPHABET)) == len(ALPHABET) == 31
    for _ in range(200):
        code = new_code()
        assert len(code) == LENGTH
        assert set(code) <= set(ALPHABET)


@pytest.mark.parametrize(
    "typed", ["ABCD2345", "abcd2345", " abcd 2345 ", "ab-cd-23-45", "ABCD\u20132345", "a b c d 2 3 4 5"]
)
def test_a_code_is_taken_however_it_is_typed(typed: str) -> None:
    assert tidy_code(typed) == "ABCD2345"


@pytest.mark.parametrize(
    "typed", ["", "ABCD234", "ABCD23456", "ABCD234O", "ABCD2340", "ABCD234\u00df", "ＡBCD2345", "\ud800BCD2345"]
)
def test_what_cannot_be_a_code_is_none(typed: str) -> None:
    assert tidy_code(typed) is None


def test_a_token_holds_256_bits_and_its_digest_is_sha_256() -> None:
    token = new_token()
    assert len(token) == 43  # 32 bytes in base64 without padding
    assert token != new_token()
    # FIPS 180-4's own example: SHA-256 of "abc".
    assert digest("abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"


def test_ten_wrong_codes_pass_and_then_one_every_two_seconds() -> None:
    throttle = Throttle()
    for _ in range(BURST):
        assert throttle.wait_s("10.0.0.1", 100.0) == 0
        throttle.wrong("10.0.0.1", 100.0)
    assert throttle.wait_s("10.0.0.1", 100.0) == SECONDS_A_TRY
    assert throttle.wait_s("10.0.0.1", 102.0) == 0
    throttle.wrong("10.0.0.1", 102.0)
    assert throttle.wait_s("10.0.0.1", 102.0) == SECONDS_A_TRY
    assert throttle.wait_s("10.0.0.1", 200.0) == 0


def test_one_client_s_wrong_codes_hold_up_no_other() -> None:
    throttle = Throttle()
    for _ in range(50):
        throttle.wrong("10.0.0.1", 1.0)
    assert throttle.wait_s("10.0.0.2", 1.0) == 0


def test_an_ipv6_client_cannot_get_round_it_with_another_address_of_its_own_network() -> None:
    throttle = Throttle()
    for last in range(BURST):
        throttle.wrong(f"2001:db8::{last:x}", 1.0)
    assert throttle.wait_s("2001:db8::ffff", 1.0) > 0
    assert throttle.wait_s("2001:db8:0:1::1", 1.0) == 0


def test_the_throttle_remembers_a_bounded_number_of_clients(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(codes, "MOST_CLIENTS", 3)
    throttle = Throttle()
    for client in range(10):
        throttle.wrong(f"10.0.0.{client}", 1.0)
    assert len(throttle._until) == 3
    for _ in range(BURST):
        throttle.wrong("10.0.0.9", 1.0)
    assert throttle.wait_s("10.0.0.9", 1.0) > 0
