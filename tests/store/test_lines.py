"""Lines that prove themselves, as bytes."""

import zlib
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nearside.store.lines import SECTOR, BadLine, line, read, to_json

JSON = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**53), 2**53) | st.text(st.characters(codec="utf-8"), max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=3), inner, max_size=3),
    max_leaves=8,
)


def file_of(values: list[Any]) -> bytes:
    data, crc = b"", 0
    for value in values:
        text, crc = line(to_json(value), crc)
        data += text
    return data


def test_a_line_is_its_running_checksum_a_space_json_and_a_line_feed() -> None:
    # CRC-32 as in ISO 3309 and the PNG specification; its published check value for "123456789" is CBF43926.
    assert zlib.crc32(b"123456789") == 0xCBF43926
    first, crc = line(b"123456789", 0)
    assert first == b"cbf43926 123456789\n"
    second, _ = line(b"1", crc)
    assert second == b"%08x 1\n" % zlib.crc32(b"1234567891")


def test_json_is_one_line_of_utf_8_however_the_text_breaks() -> None:
    assert to_json({"text": "a\nb\u2028\x85é\x00"}) == '{"text":"a\\nb\u2028\x85é\\u0000"}'.encode()


@pytest.mark.parametrize("value", [float("nan"), float("inf"), "\ud800", {1, 2}, {"a": object()}])
def test_what_json_cannot_carry_is_refused(value: Any) -> None:
    with pytest.raises((ValueError, TypeError)):
        to_json(value)


def test_a_ring_is_refused() -> None:
    ring: list[Any] = []
    ring.append(ring)
    with pytest.raises(ValueError, match=r"[Cc]ircular"):
        to_json(ring)


@given(st.lists(JSON, max_size=6))
def test_what_was_written_is_read_with_the_places_where_it_begins(values: list[Any]) -> None:
    data = file_of(values)
    found, tail = read(data)
    assert [value for _, value in found] == values
    assert [at for at, _ in found] == [len(file_of(values[:number])) for number in range(len(values))]
    assert tail.end == len(data)
    assert tail.last == (found[-1][0] if found else 0)
    assert file_of([*values, 1]) == data + line(b"1", tail.crc)[0]


@given(st.lists(JSON, min_size=1, max_size=4), st.data())
def test_a_file_cut_anywhere_reads_as_its_whole_lines(values: list[Any], choices: st.DataObject) -> None:
    data = file_of(values)
    cut = choices.draw(st.integers(0, len(data)))
    found, tail = read(data[:cut])
    assert [value for _, value in found] == values[: data[:cut].count(b"\n")]
    assert tail.end == data[:cut].rfind(b"\n") + 1


@given(st.lists(JSON, min_size=1, max_size=4), st.data())
def test_any_changed_bit_is_damage_at_the_line_it_is_in(values: list[Any], choices: st.DataObject) -> None:
    data = bytearray(file_of(values))
    at = choices.draw(st.integers(0, len(data) - 1))
    data[at] ^= 1 << choices.draw(st.integers(0, 7))
    with pytest.raises(BadLine) as bad:
        read(bytes(data))
    assert bad.value.offset == file_of(values).rfind(b"\n", 0, at) + 1


def test_sectors_that_never_arrived_are_a_torn_tail_and_other_zeros_are_damage() -> None:
    whole = file_of(["first"])
    data = bytearray(file_of(["first", "x" * 3 * SECTOR]))
    data[SECTOR : 2 * SECTOR] = bytes(SECTOR)
    assert read(bytes(data))[1].end == len(whole)
    data[SECTOR] = ord("x")
    with pytest.raises(BadLine, match="zero bytes"):
        read(bytes(data))


def test_a_checksum_over_something_that_is_no_json_is_refused() -> None:
    with pytest.raises(BadLine, match="no JSON") as bad:
        read(file_of(["first"]) + line(b"{", zlib.crc32(b'"first"'))[0])
    assert bad.value.offset == len(file_of(["first"]))


def test_an_empty_file_has_no_lines() -> None:
    assert read(b"") == ([], (0, 0, 0))
