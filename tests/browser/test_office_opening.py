"""A show from nothing, at its table: classes made, entries pasted, seats printed, and a judge at work."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
import zxingcpp
from PIL import Image
from playwright.sync_api import Page, Playwright, expect

from tests.browser.phone import Phone
from tests.browser.served import Served
from tests.browser.table import Table

# As a spreadsheet of another country saves it: semicolons, its own headings and order, a name with a semicolon in it.
ROWS = """Exhibitor;Horse;Marks;No;Class
"Alder; Birch";Windmill;bay, star;21;Stock type mares
Cedar;Lantern;sorrel, blaze;22;Stock type mares
Damson;Quill;grey;twenty-three;Stock type mares
Elm;Thimble;brown;24;Stock type mares
"""


EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Served]:
    """A server on a data folder with nothing in it."""
    served = Served(tmp_path / "data", {})
    yield served
    served.kill()


def read_back(page: Page, path: Path) -> list[str]:
    """What another program reads from a picture of the sheet."""
    page.locator("codes-page .slips").screenshot(path=path)
    return [str(code.text) for code in zxingcpp.read_barcodes(np.array(Image.open(path).convert("L")))]


def sheets(page: Page) -> int:
    """How many pages the browser makes of it."""
    return len(re.findall(rb"/Type\s*/Page\b", page.pdf(format="A4", prefer_css_page_size=True)))


def make_class(table: Table, title: str) -> None:
    table.page.get_by_label("Title").fill(title)
    table.page.keyboard.press("Enter")
    table.expect_done(f"“{title}” is made.")
    expect(table.page.get_by_label("Title")).to_be_focused()


def add_seat(table: Table, role: str, name: str) -> None:
    table.page.get_by_role("combobox", name="Role").select_option(label=role)
    table.page.get_by_label("Name, as others see it").fill(name)
    table.page.keyboard.press("Enter")
    table.expect_done(f"{name} has a seat")


def test_from_an_empty_folder_to_a_judge_with_numbers_on_the_phone(
    table: Table, server: Served, playwright: Playwright, tmp_path: Path
) -> None:
    page = table.page
    page.goto(f"{server.address}/office#open=ABCDEFGH")
    page.get_by_label("Title of the show").fill("Harvest open show")
    page.keyboard.press("Enter")
    table.expect_trouble("code")
    expect(page.get_by_label("Title of the show")).to_have_value("Harvest open show")
    page.get_by_label("Opening code").fill(server.opening_code)
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="The day")).to_be_visible()
    assert server.opening_code not in page.url
    expect(page.get_by_role("list", name="First steps").locator("li")).to_have_count(4)

    page.get_by_role("link", name="Make the classes").click()
    make_class(table, "Stock type mares")
    make_class(table, "Stock type geldings")
    expect(page.locator(".rows > li")).to_have_text([re.compile("mares.*no judge yet.*0"), re.compile("geldings")])

    # With a standard of one's own; a file that is none is refused in the server's words. And away with it again.
    page.get_by_text("A standard of your own").click()
    page.get_by_label("Its file").set_input_files(EXAMPLES / "panel.json")
    page.get_by_label("Title").fill("Practice ponies")
    page.keyboard.press("Enter")
    table.expect_trouble("standard")
    expect(page.get_by_label("Title")).to_have_value("Practice ponies")
    page.get_by_label("Its file").set_input_files(EXAMPLES / "own-standard.json")
    make_class(table, "Practice ponies")
    page.get_by_role("link", name="Practice ponies", exact=True).click()
    expect(page.get_by_role("combobox", name="Standard")).to_have_value("club-pony")
    table.press("^Take the class away")
    expect(page.get_by_text("“Practice ponies” and its 0 entries go out of the day.")).to_be_visible()
    table.press("^Yes, take it away")
    expect(page.locator(".rows > li")).to_have_count(2)

    # Typed, one after the other.
    table.open("Entries")
    page.get_by_role("combobox", name="Class", exact=True).select_option(label="Stock type geldings")
    for number in ("41", "42", "43", "44"):
        page.get_by_label("Number", exact=True).fill(number)
        page.keyboard.press("Enter")
        table.expect_done(f"{number} is entered in “Stock type geldings”.")

    # Pasted: the bad row is named, and none is taken before it is mended.
    page.get_by_label("Pasted rows").fill(ROWS)
    table.press("^Look at the rows")
    expect(page.get_by_text("1 row of 4 can't be taken, and so none is.")).to_be_visible()
    expect(
        page.get_by_text("Columns: Exhibitor → exhibitor; Horse → horse; Marks → known by; No → number")
    ).to_be_visible()
    bad = page.locator("tr.bad")
    expect(bad).to_have_count(1)
    expect(bad).to_contain_text("4")
    expect(bad).to_contain_text("number")
    expect(page.get_by_role("button", name=re.compile("^Take all"))).to_have_count(0)
    page.get_by_label("Pasted rows").fill(ROWS.replace("twenty-three", "23"))
    expect(page.locator(".preview")).to_have_count(0)  # it told of another text
    table.press("^Look at the rows")
    expect(page.get_by_text("4 rows in “Stock type mares”: 4 new, 0 changed")).to_be_visible()
    table.press("^Take all 4 rows")
    table.expect_done("4 rows taken.")
    page.get_by_role("combobox", name="Class", exact=True).select_option(label="Stock type mares")
    expect(table.row("^21")).to_contain_text("Windmill · Alder; Birch")
    # The same again, from a file, changes what changed and enters nothing twice.
    again = ROWS.replace("twenty-three", "23").replace("grey", "dapple grey")
    file = tmp_path / "entries.csv"
    file.write_bytes(b"\xef\xbb\xbf" + again.replace("\n", "\r\n").encode())
    page.get_by_label("Or a CSV file").set_input_files(file)
    expect(page.get_by_text("4 rows: 0 new, 1 changed, 3 as they are.")).to_be_visible()
    table.press("^Take all 4 rows")
    expect(table.row("^23")).to_contain_text("dapple grey")
    expect(page.locator(".rows > li")).to_have_count(4)

    # Seats, and the sheet with each one's QR.
    table.open("Seats")
    add_seat(table, "Judge", "North judge")
    add_seat(table, "Steward", "Gate")
    for place in range(10):
        add_seat(table, "Announcer", f"Announcer {place + 1}")
    page.get_by_role("link", name="Sheet of codes to print").click()
    slips = page.locator(".slips > li")
    expect(slips).to_have_count(13)
    links = read_back(page, tmp_path / "sheet.png")
    codes = [text.replace(" ", "") for text in slips.locator("strong").all_inner_texts()]
    assert sorted(links) == sorted(f"{server.address}/#join={code}" for code in codes)
    assert sheets(page) == 2  # ten slips a sheet
    page.emulate_media(media="print")
    expect(page.get_by_role("heading", name="Sheet of codes")).to_be_hidden()
    expect(page.get_by_role("navigation")).to_be_hidden()
    page.emulate_media(media="screen")

    # The judge joins by what the slip says.
    judge_s = slips.filter(has_text="North judge").locator("strong").inner_text()
    server.codes["judge"] = judge_s.replace(" ", "")
    phone = Phone(playwright, tmp_path / "phone", server)
    try:
        phone.join()
        phone.open_class("Stock type mares")
        expect(phone.page.locator("horse-bar")).to_contain_text("bay, star")
    finally:
        phone.close()
    assert phone.problems == []
    table.open("Devices")
    expect(table.row("North judge")).to_contain_text("heard of")
    table.open("The day")
    expect(page.get_by_role("list", name="First steps")).to_have_count(0)
    page.get_by_label("Title, as everybody sees it").fill("Harvest open show, Sunday")
    page.keyboard.press("Enter")
    expect(page.locator("office-frame .show")).to_have_text("Harvest open show, Sunday")
