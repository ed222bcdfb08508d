"""On paper: blank cards with the numbers before the class, and one's own card after it."""

from __future__ import annotations

import re

import zxingcpp
from playwright.sync_api import Page, expect

from tests.browser.paper import Paper
from tests.browser.phone import Phone, linked
from tests.browser.served import CLASSES, Served, note


def printed_pages(page: Page) -> int:
    """How many pages the browser makes of it."""
    return len(re.findall(rb"/Type\s*/Page\b", page.pdf(format="A4")))


def lines(page: Page) -> list[list[str]]:
    """The lines of the first sheet's table, its head first."""
    found: list[list[str]] = page.locator(".sheet").first.evaluate(
        "(sheet) => [...sheet.querySelectorAll('tr')].map((line) => [...line.children].map((each) => each.innerText))"
    )
    return found


def test_blank_cards_have_a_page_a_class_and_ones_own_card_tells_placing_and_marks(
    phone: Phone, server: Served
) -> None:
    page = phone.page
    phone.before_the_page("window.print = () => document.title = 'printing';")
    phone.join()
    page.get_by_role("button", name="Print blank cards").tap()
    expect(page.locator(".sheet")).to_have_count(len(CLASSES))
    head, *blank = lines(page)
    assert head == [
        *("Number", "Marks", "Balance", "Structure and travel", "Quality and character", "Muscling", "Place"),
    ]
    entries = [list(each) for each in CLASSES[0][4]]
    assert [line[:2] for line in blank[: len(entries)]] == entries
    assert {text for line in blank for text in line[2:]} | {
        text for line in blank[len(entries) :] for text in line
    } == {""}
    assert printed_pages(page) == len(CLASSES)
    page.get_by_role("button", name="Print", exact=True).tap()
    expect(page).to_have_title("printing")
    page.emulate_media(media="print")
    expect(page.get_by_role("heading", name="Stock type mares, aged")).to_be_visible()
    expect(page.get_by_role("button", name="Print", exact=True)).to_be_hidden()
    expect(page.get_by_role("heading", name="Blank cards")).to_be_hidden()
    page.emulate_media(media="screen")

    page.get_by_role("button", name="Back").tap()
    phone.open_class()
    phone.end("short, strong topline").tap()
    phone.next.tap()
    phone.end("long, sloping shoulder").tap()
    phone.end("long, sloping shoulder").tap()
    page.get_by_role("button", name="Placing", exact=True).tap()
    # By the browser's own menu: what is said, and nothing to tap.
    page.emulate_media(media="print")
    expect(page.get_by_text("12 over 7 on balance")).to_be_visible()
    expect(
        page.locator(
            "button:visible:not(.pair > *), a.button:visible, details:visible, footer:visible, saved-state:visible"
        )
    ).to_have_count(0)
    page.emulate_media(media="screen")
    page.get_by_role("button", name="Print this card").tap()
    expect(page.get_by_text("Suggested from the notes. Not signed.")).to_be_visible()
    expect(page.locator(".sheet").get_by_text("A suggestion from the notes. The judge decides")).to_be_visible()
    _, first, second, *others = lines(page)
    assert first == ["1st", "12", "bay, star", "long, sloping shoulder, clear (profile)"]
    assert second == ["2nd", "7", "sorrel, blaze", "short, strong topline, slight (profile)"]
    assert [line[0] for line in others] == ["not looked at yet"] * 4
    lines_for_a_pen = page.locator(".sheet .signed > span")
    expect(lines_for_a_pen).to_have_count(2)
    assert all((each.bounding_box() or {"width": 0})["width"] > 90 for each in lines_for_a_pen.all())
    assert printed_pages(page) == 1

    server.write(
        "judge",
        note("r", kind="remark", number="12", tag="blemish", text="scar, off fore"),
        note("l", kind="lameness", number="12", grade=3, gait="trot"),
        note("o", kind="order", numbers=["7", "12"]),
    )
    steward = {"by": "steward", "observer": "steward"}
    server.write("steward", note("s", kind="lameness", number="7", grade=1, **steward, card=None))
    page.get_by_role("button", name="Back").tap()
    phone.saved.tap()
    page.get_by_role("button", name="Try now").tap()
    page.get_by_role("button", name="Back").tap()
    page.get_by_role("button", name="Print this card").tap()
    expect(page.get_by_text("Own order. Not signed.")).to_be_visible()
    expect(page.locator(".sheet")).to_contain_text("by the steward")
    _, first, second, *others = lines(page)
    no_diagnosis = "an observation, no diagnosis"
    assert first[0::3] == [
        "1st",
        f"short, strong topline, slight (profile); lameness grade 1 by the steward, {no_diagnosis}",
    ]
    assert second[0::3] == [
        "2nd, last by rule",
        f"long, sloping shoulder, clear (profile); blemish: scar, off fore; lameness grade 3 (trot), {no_diagnosis}",
    ]


def test_the_signed_card_of_thirty_is_one_page_with_every_version_and_its_qr(phone: Phone, server: Served) -> None:
    phone.join()
    late = [str(500 + place) for place in range(24)]
    entered = {
        "kind": "entry",
        "now": None,
        "by": "steward",
        "identification": "bay roan, star and snip, both hind socks",
    }
    server.write("steward", *(note(f"e{number}", number=number, **entered) for number in late))
    first = [*("7", "12", "31", "40", "58", "103"), *late]
    second = ["12", "7", *first[2:]]
    server.write("judge", note("o1", kind="order", numbers=first), note("s1", kind="sign", numbers=first))
    back = {"numbers": None, "reason": "7 and 12 the wrong way round (initials EK)", "at": 1764061260000}
    server.write("judge", note("s2", kind="sign", replaces=["s1"], **back))
    signed = {"numbers": second, "at": 1764061320000, "replaces": ["s2"]}
    server.write("judge", note("o2", kind="order", **{**signed, "replaces": ["o1"]}), note("s3", kind="sign", **signed))
    phone.page.goto(f"{server.address}/#/sign/c4")
    expect(phone.page.locator("card-page .versions li")).to_have_count(2)
    link = phone.page.evaluate(linked(LINK))
    for size in ("A4", "Letter"):
        paper = Paper(phone.page, size)
        (text,) = paper.texts
        places = re.findall(r"(\d+)(?:st|nd|rd|th) (\w+) (?=[a-z])", text)
        assert places == [(str(place + 1), number) for place, number in enumerate(second)]
        assert "4th 40 brown Places end here 5th" in text
        assert "Corrected: version 2 holds Version 1, signed Nov 25, 2025" in text
        assert f"{', '.join(first)}. Taken back Nov 25, 2025" in text
        assert "7 and 12 the wrong way round (initials EK). Version 2, signed" in text
        assert "bay roan, star and snip, both hind socks" in text
        assert "Take the signature back" not in text
        (code,) = zxingcpp.read_barcodes(paper.seen())
        assert code.text == link


LINK = """async () => {
    const { session } = await import("/state/session.js");
    const { handedOver } = await import("/state/signing.js");
    const { linkOf } = await import("/state/cardlink.js");
    return linkOf(handedOver(session.notebook.card("c4")).signed, location.origin);
}"""


# Signed, taken back and signed anew on three phones whose clocks differ.
VERSIONS = linked("""async () => {
    const { versions } = await import("/state/versions.js");
    const sign = (id, at, numbers, replaces, reason = null) =>
        [id, { id, kind: "sign", card: "judge-a", by: "judge-a", at, numbers, replaces, reason }];
    const notes = new Map([
        sign("c", 950, ["12", "7"], ["b"]),
        sign("b", 900, null, ["a"], "7 and 12 the wrong way round"),
        sign("a", 1000, ["7", "12"], []),
    ]);
    return versions({ name: "judge-a", notes }).map(({ numbers, back }) => [numbers, back?.reason ?? null]);
}""")


def test_the_versions_of_a_card_follow_what_each_replaced_whatever_the_clocks_say(phone: Phone, server: Served) -> None:
    phone.page.goto(f"{server.address}/")
    assert phone.page.evaluate(VERSIONS) == [[["7", "12"], "7 and 12 the wrong way round"], [["12", "7"], None]]
