"""JSON as it may enter: bytes from a file or a request, read strictly, every refusal with its place.

Refused: a byte order mark, text that is not UTF-8, broken or too deeply nested JSON, a name given twice in one object,
NaN and infinities, whole numbers beyond 2^53 - 1 either way, fractions other than .0, lone surrogates, text over 500
code points. What passes holds only null, booleans, integers, text, lists and objects, so that this engine and its twin
read the same values. `2.0` is the integer 2, as it is in the page.
"""

from __future__ import annotations

import json
import re
from typing import Any, NoReturn

INTEGER_AT_MOST = 2**53 - 1  # beyond it a number in the page is no longer exact
TEXT_AT_MOST = 500
DEPTH_AT_MOST = 32

_LONE_SURROGATE = re.compile("[\ud800-\udfff]")
_DIGITS_AT_MOST = 17  # more digits than any integer within the bounds has


class Refused(ValueError):
    """Input that can't be used: `where` in it ('' for the whole), and the problem in words."""

    def __init__(self, where: str, problem: str) -> None:
        super().__init__(f"{where}: {problem}" if where else problem)
        self.where = where
        self.problem = problem


def read_json(data: bytes, text_at_most: int = TEXT_AT_MOST) -> Any:
    """The value, its texts no longer than that. Raises: Refused with the place of the first thing that is wrong.

    >>> read_json(b'{"at": 2.0}')
    {'at': 2}
    """
    if data.startswith(b"\xef\xbb\xbf"):
        raise Refused("", "starts with a byte order mark: save it as UTF-8 without one")
    try:
        text = data.decode()
    except UnicodeDecodeError as error:
        raise Refused("", f"is not UTF-8 text (byte {error.start})") from None
    try:
        value = _DECODER.decode(text)
    except json.JSONDecodeError as error:
        raise Refused("", f"is not JSON: line {error.lineno}, column {error.colno}: {error.msg}") from None
    except RecursionError:
        raise Refused("", f"is nested deeper than {DEPTH_AT_MOST} levels") from None
    _check(value, text_at_most)
    return value


def is_plain_text(text: str, at_most: int = TEXT_AT_MOST) -> bool:
    """Whether text holds no lone surrogate and at most so many code points."""
    return len(text) <= at_most and (text.isascii() or _LONE_SURROGATE.search(text) is None)


def canonical(value: Any) -> str:
    """Canonical JSON: keys by code point, no spaces, only what JSON requires escaped.

    >>> canonical({"b": 1, "a": "é"})
    '{"a":"é","b":1}'
    """
    return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False)


def spelled(place: tuple[Any, ...]) -> str:
    """A place in JSON in words: `notes[3].degree`.

    >>> spelled(("notes", 3, "degree"))
    'notes[3].degree'
    """
    parts = [f"[{step}]" if isinstance(step, int) else f".{step}" for step in place]
    return "".join(parts).removeprefix(".")


def shown(text: str) -> str:
    """Text of the input as it may be quoted in a refusal: short, in quotes."""
    return f'"{text if len(text) <= 40 else text[:40] + "..."}"'


class _OutOfBounds:
    """Stands for a number that can't be kept, until the walk knows where it is."""

    def __init__(self, problem: str) -> None:
        self.problem = problem


def _integer(digits: str) -> int | _OutOfBounds:
    if len(digits) <= _DIGITS_AT_MOST:
        number = int(digits)
        if -INTEGER_AT_MOST <= number <= INTEGER_AT_MOST:
            return number
    return _OutOfBounds("is a whole number beyond 2^53 - 1")


def _fraction(digits: str) -> int | _OutOfBounds:
    number = float(digits)
    if not number.is_integer():
        return _OutOfBounds("must be a whole number")
    if abs(number) > INTEGER_AT_MOST:
        return _OutOfBounds("is a whole number beyond 2^53 - 1")
    return int(number)


def _constant(name: str) -> _OutOfBounds:
    return _OutOfBounds(f"{name} is not a number that can be used here")


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    value = dict(pairs)
    if len(value) != len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for place, name in enumerate(names) if name in names[:place])
        raise Refused("", f"an object names {shown(twice)} twice")
    return value


_DECODER = json.JSONDecoder(
    parse_int=_integer,
    parse_float=_fraction,
    parse_constant=_constant,
    object_pairs_hook=_object,
)


def _check(root: Any, text_at_most: int) -> None:
    """Walks every value without recursion; the places are only spelled out for a refusal."""
    waiting: list[tuple[Any, tuple[Any, ...]]] = [(root, ())]
    while waiting:
        value, place = waiting.pop()
        if isinstance(value, str):
            _check_text(value, place, text_at_most)
        elif isinstance(value, _OutOfBounds):
            _refuse(place, value.problem)
        elif isinstance(value, (dict, list)):
            if len(place) >= DEPTH_AT_MOST:
                _refuse((), f"is nested deeper than {DEPTH_AT_MOST} levels")
            if isinstance(value, dict):
                for name in value:
                    _check_text(name, place, text_at_most)
                waiting.extend((each, (*place, name)) for name, each in reversed(value.items()))
            else:
                waiting.extend((value[i], (*place, i)) for i in range(len(value) - 1, -1, -1))


def _check_text(text: str, place: tuple[Any, ...], at_most: int) -> None:
    if not is_plain_text(text, at_most):
        too_long = len(text) > at_most
        _refuse(place, f"is longer than {at_most} characters" if too_long else "holds a lone surrogate")


def _refuse(place: tuple[Any, ...], problem: str) -> NoReturn:
    raise Refused(spelled(place), problem)
