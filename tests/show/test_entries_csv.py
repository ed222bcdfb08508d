"""Lists of entries read: by RFC 4180, as LibreOffice writes them, and as people type and paste them.

The files of `sheets/` are LibreOffice 7.4's own, written from `entries.fods` (for `de-` with number styles in German)
by `soffice --headless --convert-to "csv:Text - txt - csv (StarCalc):SEPARATOR,34,CHARSET,1,,0,ALL,true"`.
"""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nearside.show.entries_csv import EntryList, Row, number_meant, read_entries
from nearside.show.strict_json import Refused

SHEETS = sorted((Path(__file__).parent / "sheets").glob("*.csv"))


def told(text: str) -> list[dict[str, str]]:
    """The rows of a list in which nothing is wrong."""
    found = read_entries(text)
    assert [each.problem for each in found.rows] == [None] * len(found.rows)
    return [{str(field): value for field, value in each.told.items()} for each in found.rows]


def read_as(text: str) -> list[tuple[str, str | None]]:
    return [(each.title, each.read_as) for each in read_entries(text).columns]


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.stem)
@pytest.mark.parametrize("is_windows", [False, True], ids=["as it is", "with BOM and CRLF"])
def test_a_sheet_that_libreoffice_wrote_is_read_whatever_its_country_and_separator(
    path: Path, is_windows: bool
) -> None:
    text = path.read_bytes().decode("cp1252" if path.stem.endswith("-win") else "utf-8")
    if is_windows:
        text = "\ufeff" + text.replace("\n", "\r\n")
    found = read_entries(text)
    assert read_as(text) == [
        ("Horse", "horse"),
        ("No.", "number"),
        ("Markings", "identification"),
        ("Handler", "exhibitor"),
        ("Fee", None),
    ]
    assert told(text) == [
        {
            "number": "12",
            "identification": "bay, star left hind sock",
            "horse": "Ash, the second",
            "exhibitor": "A. Fjäll",
        },
        {"number": "1024", "identification": "dun; black points", "horse": 'Oak "the Old"'},
        {"number": "007", "horse": "Élan", "exhibitor": "B. Moor"},
    ]
    assert [each.line for each in found.rows] == [2, 4, 5]
    assert {path.stem.partition("-")[0] for path in SHEETS} == {"de", "us"}


# RFC 4180, section 2, rules 1 to 7, each with entries.
RFC_4180 = {
    "1 each record on a line of its own, ended by CRLF": "7,bay\r\n12,dun\r\n",
    "2 the last record may have no line end": "7,bay\r\n12,dun",
    "3 a header line may be there": "No,Marks\r\n7,bay\r\n12,dun\r\n",
    "5 fields may be in quotes": '"7","bay"\r\n"12","dun"\r\n',
}


@pytest.mark.parametrize("rule", RFC_4180)
def test_rfc_4180_rule(rule: str) -> None:
    assert told(RFC_4180[rule]) == [{"number": "7", "identification": "bay"}, {"number": "12", "identification": "dun"}]


def test_rfc_4180_rules_6_and_7_line_ends_commas_and_doubled_quotes_within_quotes() -> None:
    text = '7,"bay,\r\nwhite ""snip""",Ash\r\n12,dun,Oak\r\n'
    assert told(text)[0] == {"number": "7", "identification": 'bay, white "snip"', "horse": "Ash"}
    assert [each.line for each in read_entries(text).rows] == [1, 3]


@pytest.mark.parametrize("separator", list(",;\t|"))
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_any_sane_separator_and_line_end(separator: str, end: str) -> None:
    rows = [["Name of horse", "Back number", "Description"], ["Ash", "7", "bay"], ["Oak", "12", "dun"]]
    text = end.join(separator.join(each) for each in rows)
    assert told(text) == [
        {"number": "7", "identification": "bay", "horse": "Ash"},
        {"number": "12", "identification": "dun", "horse": "Oak"},
    ]


def test_a_first_line_that_names_the_separator_is_followed() -> None:
    found = read_entries("sep=|\r\nNo|Marks\r\n7|bay; star, snip\r\n")
    assert found.rows == [Row(3, {"number": "7", "identification": "bay; star, snip"})]


@pytest.mark.parametrize(
    ("header", "expected"),
    [
        ("No,Identification marks,Horse,Exhibitor", "number identification horse exhibitor"),
        ("Exhibitor's name,Horse's name,Entry number", "exhibitor horse number"),
        ("CLASS NO.,NR,HORSE,RIDER", "class number horse exhibitor"),
        ("Class,#,Color,Markings,Pony", "class number identification identification horse"),
        ("№;Name;Handler", "number horse exhibitor"),
        ("Number;Horse;Name", "number horse exhibitor"),
        ("Owner;Handler;Nr;Horse", "- exhibitor number horse"),
        ("Horse no;Horse;Phone number;Registration no;Sex;Sire", "number horse - - - -"),
        ("No;Number;Horse", "number - horse"),
        ("Exhibitor number|Led by|Animal", "number exhibitor horse"),
        ("Notes;No", "- number"),
        ("Entry;Registered name;Presenter", "number horse exhibitor"),
        ("Registered number;No;Horse", "- number horse"),
        ("Back;Colour/markings;Horse", "number identification horse"),
        ("No;Entry;Bib", "number - -"),
    ],
)
def test_a_header_in_any_order_and_in_the_words_people_use(header: str, expected: str) -> None:
    columns = read_entries(f"{header}\n").columns
    assert [each.read_as or "-" for each in columns] == expected.split()


def test_without_a_header_it_is_number_marks_horse_exhibitor() -> None:
    assert told("7\tbay, star\tAsh\tA. Field\n12 a\n\n  \n30\t\tElm")[:3] == [
        {"number": "7", "identification": "bay, star", "horse": "Ash", "exhibitor": "A. Field"},
        {"number": "12A"},
        {"number": "30", "horse": "Elm"},
    ]
    assert told("7\n12\n30") == [{"number": "7"}, {"number": "12"}, {"number": "30"}]


def test_the_separator_is_not_mistaken_for_one_within_the_text() -> None:
    assert told("7\tbay, star\n12\tdun, snip\n")[1] == {"number": "12", "identification": "dun, snip"}
    assert told("No;Marks\n7;bay, star\n12;dun, snip\n")[0] == {"number": "7", "identification": "bay, star"}
    assert told('No,Marks\n7,"bay; star"\n12,"dun; snip"\n')[0] == {"number": "7", "identification": "bay; star"}


@pytest.mark.parametrize(
    ("cell", "number"),
    [
        (" 12 a ", "12A"),
        ("007", "007"),
        ("12,00", "12"),
        ("12.0", "12"),
        ("1.024", "1024"),
        ("1,024", "1024"),
        ("1 024", "1024"),
        ("1’024", "1024"),
        ("12.0000", "12"),
        ("#12", "12"),
        ("Nr. 12", "12"),
        ("１２", "12"),
        ('="007"', "007"),
        ("12,5", None),
        ("12-7", None),
        ("1234567", None),
        ("", None),
        ("-3", None),
    ],
)
def test_the_number_a_cell_means(cell: str, number: str | None) -> None:
    assert number_meant(cell) == number


def test_a_number_that_can_be_read_in_two_ways_is_not_guessed() -> None:
    for cell in ("1.000", "12,000"):
        with pytest.raises(Refused, match="two ways"):
            number_meant(cell)


@pytest.mark.parametrize(
    ("row", "problem"),
    [
        ("12-7,bay", 'number: "12-7" is none: a number is 1 to 6 of 0-9 and A-Z'),
        ('"1,000",bay', 'number: "1,000" can be read in two ways; write it without a point or comma'),
        (",bay", "number: it is missing"),
        ("12,bay,star", 'it has 3 cells, 2 are read: put quotes (") round text that holds the separator'),
        ("12,ba\u202ey", "identification: it holds a character that can't be shown; type it again"),
        (f"12,{'x' * 501}", "identification: it is longer than 500 characters; shorten it"),
    ],
)
def test_a_bad_row_is_named_and_the_others_are_read(row: str, problem: str) -> None:
    found = read_entries(f"No,Marks\n7,bay\n{row}\n30,grey\n")
    assert [each.problem for each in found.rows] == [None, problem, None]
    assert found.rows[1].line == 3


def test_a_header_in_words_nobody_knows_is_not_taken_for_a_horse() -> None:
    found = read_entries("Start;Farbe\n7;Fuchs\n12;Rappe\n")
    assert found.rows[0].problem == (
        "it looks like a header: call the column of the numbers “No”, or leave this row out"
    )
    assert [each.problem for each in found.rows[1:]] == [None, None]


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("", "text: holds no entry"),
        ("\ufeff\r\n \t\r\n;;;\r\n", "text: holds no entry"),
        ("7\n" * 2002, "text: has 2002 rows"),
        ('7,"bay\n12,dun\n', "line 1: a quote"),
        ('No,Marks\n7,"bay" star\n', "line 2: a quote"),
        ("7" + "," * 60 + "x", "line 1: has 61 cells"),
    ],
)
def test_a_text_that_cannot_be_read_is_refused_with_the_place(text: str, problem: str) -> None:
    with pytest.raises(Refused) as refusal:
        read_entries(text)
    assert str(refusal.value).startswith(problem)


CELLS = st.text(
    st.characters(codec="utf-8", exclude_categories=["C"], exclude_characters=["\u2028", "\u2029"]), max_size=12
)


@given(
    rows=st.lists(st.tuples(st.integers(1, 9999), CELLS, CELLS), min_size=1, max_size=8),
    separator=st.sampled_from(",;\t|"),
    end=st.sampled_from(["\n", "\r\n"]),
    order=st.permutations([0, 1, 2]),
    bom=st.booleans(),
)
def test_what_python_s_csv_module_writes_is_read_back(
    rows: list[tuple[int, str, str]], separator: str, end: str, order: list[int], bom: bool
) -> None:
    sheet = io.StringIO()
    writer = csv.writer(sheet, delimiter=separator, lineterminator=end)
    writer.writerow([("Back number", "Description", "Name of horse")[place] for place in order])
    writer.writerows([[str(row[place]) for place in order] for row in rows])
    expected = [
        {
            field: " ".join(value.split())
            for field, value in zip(("number", "identification", "horse"), map(str, row), strict=True)
            if value.split()
        }
        for row in rows
    ]
    assert told("\ufeff" * bom + sheet.getvalue()) == expected


@given(st.text(max_size=300))
def test_no_text_breaks_the_reader(text: str) -> None:
    try:
        found = read_entries(text)
    except Refused:
        return
    assert isinstance(found, EntryList)
    assert all(each.problem is not None or "number" in each.told for each in found.rows)
