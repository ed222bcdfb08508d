"""What the office asks for, read and tidied: typed by a person in a hurry, so spaces and case are put right.

Whatever cannot be put right is refused with the field and what to do.
"""

from __future__ import annotations

import re
from typing import Any

from pydantic import TypeAdapter, ValidationError

from nearside.show.notes import refused
from nearside.show.refusals import Refusal
from nearside.show.strict_json import Refused

TITLE_AT_MOST = 120
NAME_AT_MOST = 120
TEXT_AT_MOST = 500

_NUMBER = re.compile("[0-9A-Z]{1,6}")
_UNSEEN = dict.fromkeys((0x00AD, 0x200B, 0x2060, 0xFEFF))  # soft hyphen, spaces without width
_JOINERS = dict.fromkeys((0x200C, 0x200D))  # some scripts are written with them
NUMBER_RULE = "a number is 1 to 6 of 0-9 and A-Z"


def checked_body(shape: TypeAdapter[Any], value: Any) -> Any:
    """A body as its shape has it. Raises: Refusal with the field."""
    try:
        return shape.validate_python(value)
    except ValidationError as error:
        raise as_refusal(refused(error)) from None


def as_refusal(refused: Refused) -> Refusal:
    """What the readers of files and notes refuse, as the office is told."""
    return Refusal("bad_request", f"{refused}." if refused.where else f"The request {refused}.", refused.where or None)


def tidy(text: str) -> str:
    """Spaces at the ends go, and those within are single ones; what pasted text brings and nobody sees goes too.

    >>> tidy("  bay,  star ")
    'bay, star'
    """
    return " ".join(text.translate(_UNSEEN).split())


def tidy_number(text: str) -> str | None:
    """The number somebody means, or None where it cannot be one.

    >>> tidy_number(" 12 a ")
    '12A'
    >>> tidy_number("12-7") is None
    True
    """
    number = "".join(text.split()).upper()
    return number if _NUMBER.fullmatch(number) else None


def number_in(text: str, where: str) -> str:
    """The number somebody means. Raises: Refusal."""
    number = tidy_number(text)
    if number is None:
        raise Refusal("bad_request", f"{where}: {NUMBER_RULE}; put that right.", where)
    return number


def text_in(text: str | None, where: str, at_most: int = TEXT_AT_MOST) -> str | None:
    """Text that may be left out; nothing but spaces is left out. Raises: Refusal."""
    told = tidy(text or "")
    if len(told) > at_most:
        raise Refusal("bad_request", f"{where}: it is longer than {at_most} characters; shorten it.", where)
    if not told.translate(_JOINERS).isprintable():
        raise Refusal("bad_request", f"{where}: it holds a character that can't be shown; type it again.", where)
    return told or None


def needed_text(text: str | None, where: str, at_most: int = TITLE_AT_MOST) -> str:
    """Text that has to be there. Raises: Refusal."""
    told = text_in(text, where, at_most)
    if told is None:
        raise Refusal("bad_request", f"{where}: it is empty; type it.", where)
    return told
