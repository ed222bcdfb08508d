"""The page that explains the placing shows the figures one gets by hand, out of reach of any server.

Source of the order weights: Barron and Barrett 1996, rank-order centroids for four criteria (0.5208, 0.2708, 0.1458,
0.0625), here times 48. The rest was worked by hand on paper from the marks of `frontend/how/class.json`.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from playwright.sync_api import expect

from nearside.engine.placing import place
from nearside.show.classfile import read_class_file
from nearside.show.standards import words
from tests.browser.phone import Phone
from tests.browser.served import Served

FILE = Path(__file__).parents[2] / "frontend" / "how" / "class.json"

# Strengths are weight times count; the next a half, the next a third.
SCORES = {
    "5": ["Balance8 + 4/2 + 2/3 = 10 2/3", "Structure and travel− 4 = −4"],
    "8": ["Balance4 + 4/2 = 6", "Muscling8 = 8"],
    "14": ["Balance2 = 2", "Muscling4 = 4"],
}
TOTALS = ["525 × 10 2/3 + 13 × −4 = 214 2/3", "825 × 6 + 3 × 8 = 174", "1425 × 2 + 3 × 4 = 62"]
PAIRS = {
    "5 8": [
        "Differences 4 2/3, −4, 0, −8; weighed 25 × 4 2/3 + 13 × −4 + 3 × −8 = 40 2/3.",
        "The largest part, 116 2/3, is that of balance",
        "4 2/3, 1/3, 2/9, −1 5/6",
        "1 − 11/39 × 11/13 × 33/37 = 787 per mille",
    ],
    "8 14": ["25 × 4 + 3 × 4 = 112", "The largest part, 100, is that of balance", "4, 2, 1 1/3, 2", "None is below 0"],
}


def test_the_explanation_shows_the_figures_worked_by_hand_without_a_server(phone: Phone, server: Served) -> None:
    phone.join()
    server.kill()
    phone.page.get_by_role("button", name="How a placing is worked out").tap()
    page = phone.page.locator("how-page")
    expect(page.get_by_role("heading", level=1)).to_be_focused()
    expect(page.locator(".totals li").first).to_be_visible()
    for number, lines in SCORES.items():
        assert page.locator(f".scores[data-number='{number}'] li").all_text_contents() == lines
    assert page.locator(".totals li").all_text_contents() == TOTALS
    expect(page.get_by_text("25, 13, 7, 3 of 48")).to_be_visible()
    for name, told in PAIRS.items():
        for each in told:
            expect(page.locator(f".in-pair[data-pair='{name}']")).to_contain_text(each)
    expect(page.get_by_text("5 leads under 79 of 100 weighings")).to_be_visible()
    page.get_by_role("button", name="‹ Classes").tap()
    expect(phone.page.locator("classes-page")).to_be_visible()


def test_the_figures_worked_by_hand_are_those_of_the_engine() -> None:
    file, standard = read_class_file(FILE.read_bytes())
    placing = place(file, standard, words())
    assert placing["placing"] == list(SCORES)
    for figures, told in zip(placing["totals"], TOTALS, strict=True):
        assert figures["total"] == pytest.approx(60 * mixed(told.split(" = ")[1]), abs=1e-9)
    shares = {f"{pair['upper']} {pair['lower']}": pair["share"] for pair in placing["pairs"]}
    assert shares["5 8"] == 787 == round(1000 * (1 - 11 / 39 * 11 / 13 * 33 / 37))
    assert shares["8 14"] == 1000
    weights = [25, 13, 7, 3]
    assert [round(weight / 48, 4) for weight in weights] == [0.5208, 0.2708, 0.1458, 0.0625]
    for figures in placing["totals"]:
        scores = [each["score"] for each in figures["criteria"]]
        assert figures["total"] == sum(w * s for w, s in zip(weights, scores, strict=True))


def test_the_text_about_the_first_criterion_holds() -> None:
    """It weighs a little more than all the others together."""
    assert 25 > 13 + 7 + 3
    text = (FILE.parent / "words.json").read_text()
    assert "a little more than all the others together" in text
    assert not re.search(r"\b(5|8|14) over (5|8|14)\b", text)  # no horse of the class is named in the page's own text


def mixed(told: str) -> float:
    """`214 2/3` as a number."""
    total = 0.0
    for part in told.split():
        above, _, below = part.partition("/")
        total += float(above) / float(below or 1)
    return total
