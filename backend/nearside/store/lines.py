"""Lines that prove themselves: how the journal and the catalogue look on the disk, as pure functions on bytes.

A file is text, a line each: eight hexadecimal digits of CRC-32, a space, JSON, a line feed. The CRC of a
line runs on from the line before it, so it covers the whole file up to there: a line that was changed,
moved, repeated or taken out is seen, not only one with a flipped bit. The first line names the format.

What a reader has to tell apart is a *torn tail*, which a crash leaves and nobody was ever told is kept,
and *damage*, which may have eaten something acknowledged. Cutting the first is right and cutting the
second is loss, so the rule is narrow. Before the next line is begun the one before is on the medium,
hence only the last line can be torn; what a torn write leaves is a beginning of the line, or a line in
which some sectors never arrived. Those read as zeros, from one sector's edge to another's, and no JSON of
ours holds a zero byte. Anything else is damage.
"""

import json
import re
from collections.abc import Iterator
from typing import Any, NamedTuple
from zlib import crc32

SECTOR = 512  # the smallest unit disks write; larger sectors and pages are multiples of it
_PREFIX = 9  # the CRC's eight digits and a space


class Tail(NamedTuple):
    """Where to write on: the end of the last good line, its beginning, and the running CRC."""

    end: int
    last: int
    crc: int


class BadLine(Exception):
    """A line that is not what was written."""

    def __init__(self, offset: int, reason: str) -> None:
        super().__init__(reason)
        self.offset = offset
        self.reason = reason


# A ring is a ValueError by the encoder's own check; NaN is not JSON; a surrogate stays as it is and fails at encode.
_encoder = json.JSONEncoder(ensure_ascii=False, allow_nan=False, separators=(",", ":"))


def to_json(value: Any) -> bytes:
    """JSON in UTF-8 on one line. Raises `ValueError`, `TypeError` or `RecursionError` for what JSON cannot hold."""
    return _encoder.encode(value).encode()


def line(payload: bytes, crc: int) -> tuple[bytes, int]:
    """The line that carries a payload after lines with this running CRC, and the running CRC after it."""
    crc = crc32(payload, crc)
    return b"%08x %b\n" % (crc, payload), crc


def read(data: bytes) -> tuple[list[tuple[int, Any]], Tail]:
    """Where every good line begins and its JSON, in order, and where to write on; a torn tail is beyond `Tail.end`.

    Raises `BadLine` with the byte offset of the first line that is damaged.
    """
    values: list[tuple[int, Any]] = []
    at = last = crc = 0
    while at < len(data):
        end = data.find(b"\n", at)
        payload = data[at + _PREFIX : end]
        if end < 0 or data[at : at + _PREFIX] != b"%08x " % crc32(payload, crc):
            _refuse_damage(data, at, crc)
            break
        try:
            values.append((at, json.loads(payload.decode())))
        except (ValueError, RecursionError) as error:
            raise BadLine(at, "the line is whole but holds no JSON") from error
        crc = crc32(payload, crc)
        last, at = at, end + 1
    return values, Tail(at, last, crc)


def _refuse_damage(data: bytes, at: int, crc: int) -> None:
    """Return if what follows `at` is a torn tail; raise `BadLine` if it is anything else."""
    end = data.find(b"\n", at)
    if 0 <= end < len(data) - 1:
        raise BadLine(at, "the line does not match its checksum, and more lines follow it")
    zeros = list(_runs_of_zeros(data, at))
    if zeros:
        if all((a == at or a % SECTOR == 0) and (b == len(data) or b % SECTOR == 0) for a, b in zeros):
            return
        raise BadLine(at, "there are zero bytes within the line")
    if end >= 0:
        raise BadLine(at, "the last line does not match its checksum")
    whole = data[at:-1]
    if whole[:_PREFIX] == b"%08x " % crc32(whole[_PREFIX:], crc):
        raise BadLine(at, "the last line is whole but does not end in a line feed")


def _runs_of_zeros(data: bytes, at: int) -> Iterator[tuple[int, int]]:
    for run in re.finditer(rb"\0+", memoryview(data)[at:]):
        yield at + run.start(), at + run.end()
