"""A list of entries as people have it: pasted from a sheet, or a CSV file of whatever program and country.

What the text says is found out, not asked: the separator (comma, semicolon, tab or bar), whether there is a header, and
which column is which by the header's words, in any order; without one it is number, identification marks, horse,
exhibitor. Python's csv module reads the cells (RFC 4180: quotes, doubled quotes, line ends within them). Nothing is
decided here about the show: what comes back are rows of tidied text, each with its line and, where it can't be used,
with what is wrong.
"""

from __future__ import annotations

import csv
import io
import re
import unicodedata
from dataclasses import dataclass, field
from typing import Literal, NamedTuple, get_args

from nearside.show.asked import NAME_AT_MOST, NUMBER_RULE, text_in, tidy, tidy_number
from nearside.show.refusals import Refusal
from nearside.show.strict_json import Refused, shown

Field = Literal["class", "number", "identification", "horse", "exhibitor"]
FIELDS: tuple[Field, ...] = get_args(Field)
WITHOUT_HEADER: tuple[Field, ...] = ("number", "identification", "horse", "exhibitor")
MOST_ROWS = 2_000
MOST_COLUMNS = 60

_SEPARATORS = ("\t", ";", "|", ",")  # where two fit alike, the one that is rarer within text
_SAYS_SEPARATOR = re.compile(r"\A\"?sep=(.)\"?[ \t]*(\r\n|\r|\n)")
_LOOKED_AT = 40

# The words of a header, the first that fits a column deciding. Who shows a horse is called many things; where several
# columns say so, the first of these words stands for the exhibitor.
_NOT_OURS = frozenset(
    (
        *("phone", "telephone", "tel", "mobile", "mail", "email", "address", "reg", "registration"),
        *("passport", "chip", "microchip", "member", "membership", "fee", "fees", "paid", "date", "born", "birth"),
        *("year", "age", "sex", "gender", "breed", "sire", "dam", "height", "stable"),
    )
)
_CLASS = frozenset(("class", "classes"))
_NUMBER = frozenset(("no", "nos", "nr", "num", "number", "numbers", "№", "#", "n°", "nº"))
_ALSO_THE_NUMBER = frozenset(("entry", "back", "bib"))  # where no column says number
_REGISTERED = frozenset(("registered",))  # a registered name is the horse's, a registered number is not ours
_MARKS = frozenset(
    ("identification", "marks", "markings", "marking", "description", "color", "colors", "colour", "colours")
)
_HORSE = frozenset(("horse", "horses", "pony", "animal"))
_SHOWS_IT = (
    *("exhibitor", "exhibitors", "handler", "leader", "led", "shown"),
    *("presenter", "rider", "entrant", "person", "owner"),
)
_NAMED: tuple[Field, ...] = ("horse", "exhibitor")
_NAME = frozenset(("name", "names"))

_TEXT_OF_A_FORMULA = re.compile(r'\A="([^"]*)"\Z')
_WORD_BEFORE_NUMBER = re.compile(r"\A(?:no\.?|nr\.?|number|#|№)\s*(?=\d)", re.IGNORECASE)
_WHOLE_WITH_ZEROS = re.compile(r"\A(\d+)[.,](?:0{1,2}|0{4,})\Z")
_IN_THOUSANDS = re.compile(r"\A\d{1,3}(?:[.,'’ ]\d{3})+\Z")
_TWO_WAYS = re.compile(r"\A\d{1,3}[.,]000\Z")


@dataclass(frozen=True, slots=True)
class Column:
    """A column of the list: what its header says, and what it is read as."""

    title: str
    read_as: Field | None


@dataclass(slots=True)
class Row:
    """One row: the line it begins on, the cells that say something, and what is wrong with it."""

    line: int
    told: dict[Field, str] = field(default_factory=dict)
    problem: str | None = None


class EntryList(NamedTuple):
    """The columns as they were understood, and the rows below the header."""

    columns: list[Column]
    rows: list[Row]


class _Record(NamedTuple):
    line: int
    cells: list[str]


def read_entries(text: str) -> EntryList:
    """The rows of a list of entries. Raises: Refused where the text as a whole can't be read, with the place.

    >>> columns, rows = read_entries("No;Horse\\r\\n 12a ;Ash\\r\\n")
    >>> rows[0].told
    {'number': '12A', 'horse': 'Ash'}
    """
    text = text.removeprefix("\ufeff")
    said = _SAYS_SEPARATOR.match(text)
    lines_before = 0
    if said is not None:
        text, lines_before = text[said.end() :], 1
    records = _records(text, said[1] if said is not None else None)
    if not records:
        raise Refused("text", "holds no entry: paste the rows, or choose the file again")
    if len(records) > MOST_ROWS + 1:
        raise Refused("text", f"has {len(records)} rows: {MOST_ROWS} at a time at most")
    header = _header(records[0].cells)
    if header is None:
        width = max(len(each.cells) for each in records)
        columns = [Column("", each) for each in WITHOUT_HEADER[:width]]
        looks_like_header = _is_a_header_in_other_words(records)
    else:
        columns, records, looks_like_header = header, records[1:], False
    rows = [_row(each, columns, lines_before) for each in records]
    if looks_like_header:
        rows[0].problem = "it looks like a header: call the column of the numbers “No”, or leave this row out"
    return EntryList(columns, rows)


def number_meant(cell: str) -> str | None:
    """The exhibitor number a cell means, or None. Raises: Refused for one that can be read in two ways.

    A sheet shows 12 as 12,00 and 1024 as 1.024 where its country writes so.

    >>> number_meant("No. 12 a"), number_meant("12,00"), number_meant("1.024"), number_meant('="007"')
    ('12A', '12', '1024', '007')
    """
    told = tidy(unicodedata.normalize("NFKC", cell))
    told = _TEXT_OF_A_FORMULA.sub(r"\1", told)
    told = _WORD_BEFORE_NUMBER.sub("", told)
    if _TWO_WAYS.match(told):
        raise Refused("number", f"{shown(told)} can be read in two ways; write it without a point or comma")
    told = _WHOLE_WITH_ZEROS.sub(r"\1", told)
    if _IN_THOUSANDS.match(told):
        told = "".join(sign for sign in told if sign.isdigit())
    return tidy_number(told)


def _records(text: str, separator: str | None) -> list[_Record]:
    """The text in rows of cells, blank rows left out, by the separator under which it makes most sense."""
    if not any(sign.isalnum() for sign in text):
        return []
    by_each = {each: _parsed(text, each, is_strict=False) for each in ([separator] if separator else _SEPARATORS)}
    best = max(by_each, key=lambda each: _sense(by_each[each]))
    return _parsed(text, best, is_strict=True)


def _parsed(text: str, separator: str, *, is_strict: bool) -> list[_Record]:
    """The rows under one separator. Raises: Refused, where it is strict, for quotes that are not as they should be."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=is_strict)
    records = []
    line = 1
    try:
        for cells in reader:
            tidied = [tidy(cell) for cell in cells]
            while tidied and not tidied[-1]:
                tidied.pop()
            if is_strict and len(tidied) > MOST_COLUMNS:
                raise Refused(f"line {line}", f"has {len(tidied)} cells: {MOST_COLUMNS} at most")
            if tidied:
                records.append(_Record(line, tidied))
            line = reader.line_num + 1
    except csv.Error:
        if is_strict:
            problem = 'a quote (") is opened and not closed as it should be: close it, or take it out'
            raise Refused(f"line {line}", problem) from None
    return records


def _sense(records: list[_Record]) -> tuple[int, ...]:
    """How much sense rows make: by known words of a header, then by rows that begin with a number and are alike."""
    looked_at = records[:_LOOKED_AT]
    if not looked_at:
        return (0, 0, 0)
    header = _header(looked_at[0].cells)
    words = sum(each.read_as is not None for each in header) if header is not None else 0
    place = next((at for at, each in enumerate(header) if each.read_as == "number"), 0) if header is not None else 0
    body = looked_at if header is None else looked_at[1:]
    numbers = sum(len(each.cells) > place and _is_a_number(each.cells[place]) for each in body)
    width = len(looked_at[0].cells)
    alike = sum(len(each.cells) == width for each in looked_at) if width > 1 else 0
    return (words, numbers, alike)


def _header(cells: list[str]) -> list[Column] | None:
    """The columns where this row is a header; one that is has a column for the numbers."""
    words = [_words(cell) for cell in cells]
    meant = [_meaning(each) for each in words]
    if "number" not in meant:
        for place, each in enumerate(words):
            if meant[place] is None and each and each <= _ALSO_THE_NUMBER:
                meant[place] = "number"
                break
        else:
            return None
    for place, each in enumerate(words):
        if meant[place] is None and each & _NAME and not each & _NOT_OURS:
            meant[place] = next((name for name in _NAMED if name not in meant), None)
    who = [place for place, each in enumerate(meant) if each == "exhibitor"]
    first = min(who, key=lambda place: _rank(words[place]), default=None)
    columns: list[Column] = []
    for place, (cell, read_as) in enumerate(zip(cells, meant, strict=True)):
        is_second = read_as not in (None, "identification") and read_as in meant[:place]
        is_dropped = place != first if read_as == "exhibitor" else is_second
        columns.append(Column(cell, None if is_dropped else read_as))
    return columns


def _words(cell: str) -> frozenset[str]:
    told = unicodedata.normalize("NFC", cell).casefold().replace("e-mail", "email")
    return frozenset(re.findall(r"[^\W_]+[°º]?|[#№]", told.replace("'s", "").replace("’s", "")))


def _meaning(words: frozenset[str]) -> Field | None:
    if words & _NOT_OURS or (words & _REGISTERED and words & _NUMBER):
        return None
    if words & _CLASS:
        return "class"
    if words & _NUMBER:
        return "number"
    if words & _MARKS:
        return "identification"
    if words & _HORSE:
        return "horse"
    return "exhibitor" if words & frozenset(_SHOWS_IT) else None


def _rank(words: frozenset[str]) -> int:
    return next((place for place, word in enumerate(_SHOWS_IT) if word in words), len(_SHOWS_IT))


def _is_a_number(cell: str) -> bool:
    try:
        number = number_meant(cell)
    except Refused:
        return False
    return number is not None and any(sign.isdigit() for sign in number)


def _is_a_header_in_other_words(records: list[_Record]) -> bool:
    """The first row has no number where all the others have one."""
    rest = records[1:]
    return bool(rest) and not _is_a_number(records[0].cells[0]) and all(_is_a_number(each.cells[0]) for each in rest)


def _row(record: _Record, columns: list[Column], lines_before: int) -> Row:
    row = Row(record.line + lines_before)
    cells = record.cells
    if len(cells) > len(columns):
        row.problem = (
            f'it has {len(cells)} cells, {len(columns)} are read: put quotes (") round text that holds the separator'
        )
    told: dict[Field, list[str]] = {}
    for column, cell in zip(columns, cells, strict=False):
        if column.read_as is not None and cell:
            told.setdefault(column.read_as, []).append(cell)
    for name in FIELDS:
        if name in told:
            row.told[name] = ", ".join(told[name])
    try:
        _tidy_row(row)
    except Refused as refused:
        row.problem = row.problem or f"{refused.where}: {refused.problem}"
    except Refusal as refusal:
        row.problem = row.problem or refusal.sentence.removesuffix(".")
    return row


def _tidy_row(row: Row) -> None:
    cell = row.told.get("number")
    if cell is None:
        raise Refused("number", "it is missing")
    number = number_meant(cell)
    if number is None:
        raise Refused("number", f"{shown(cell)} is none: {NUMBER_RULE}")
    row.told["number"] = number
    for name in ("identification", "horse", "exhibitor"):
        if name in row.told:
            most = {} if name == "identification" else {"at_most": NAME_AT_MOST}
            row.told[name] = text_in(row.told[name], name, **most) or ""
