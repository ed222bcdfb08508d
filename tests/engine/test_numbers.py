"""Exhibitor numbers in natural order."""

from __future__ import annotations

import re

from hypothesis import given
from hypothesis import strategies as st

from nearside.engine.numbers import follow, in_natural_order, natural_key

numbers = st.text(alphabet="0123456789AZ", min_size=1, max_size=6)


@given(st.lists(numbers, max_size=8))
def test_natural_order_is_total_and_depends_on_the_numbers_alone(some: list[str]) -> None:
    assert in_natural_order(some) == in_natural_order(reversed(some))
    assert len(in_natural_order(some)) == len(set(some))


@given(numbers, numbers)
def test_runs_compare_one_by_one_digits_by_value_and_before_letters(a: str, b: str) -> None:
    def runs(number: str) -> list[tuple[bool, int, str]]:
        found = re.findall(r"\d+|[A-Z]+", number)
        return [(not run.isdigit(), int(run) if run.isdigit() else 0, "" if run.isdigit() else run) for run in found]

    expected = (runs(a), a) < (runs(b), b)
    assert (natural_key(a) < natural_key(b)) is expected


@given(st.dictionaries(numbers, numbers, max_size=6), numbers)
def test_following_ends_at_a_number_nobody_renamed_or_stays(now: dict[str, str], number: str) -> None:
    end = follow(number, now)
    assert end == number or end not in now
