"""The shipped standards and the sentence patterns: data that engine and page share.

Files are read once. A standard of one's own comes in whole, in a class file, and is checked there.
"""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from typing import Any

from nearside.engine.shapes import Standard
from nearside.engine.standard import checked_standard
from nearside.show.strict_json import Refused, read_json, shown

_NOT_STANDARDS = ("words.json", "notes.json")


@cache
def shipped_keys() -> tuple[str, ...]:
    """The keys of the shipped standards, by code point."""
    folder = files("nearside") / "standards"
    names = (each.name for each in folder.iterdir() if each.name.endswith(".json"))
    return tuple(sorted(name.removesuffix(".json") for name in names if name not in _NOT_STANDARDS))


@cache
def shipped_standard(key: str) -> Standard:
    """A shipped standard, checked. Raises: Refused where there is none of this key, naming those there are."""
    if key not in shipped_keys():
        raise Refused("", f"no standard {shown(key)} comes with Nearside: there are {', '.join(shipped_keys())}")
    return checked_standard(_data(f"{key}.json"))


@cache
def words() -> dict[str, Any]:
    """The sentence patterns, `words.json`."""
    patterns: dict[str, Any] = _data("words.json")
    return patterns


@cache
def about_standards() -> dict[str, Any]:
    """Where each shipped standard's order and weights come from, `notes.json`."""
    about: dict[str, Any] = _data("notes.json")
    return about


def basics() -> dict[str, Any]:
    """What a page needs of these to make classes of its own without a show: all standards, patterns, notes."""
    return {
        "standards": [shipped_standard(key) for key in shipped_keys()],
        "words": words(),
        "about_standards": about_standards(),
    }


def _data(name: str) -> Any:
    return read_json((files("nearside") / "standards" / name).read_bytes())
