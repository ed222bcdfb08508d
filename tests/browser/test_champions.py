"""Champion and reserve: named at the ringside or entered at the table, read back, warned of, never blocked."""

from __future__ import annotations

import re
from typing import Any

from playwright.sync_api import Page, expect

from tests.browser.office import Office, office_of
from tests.browser.paper import Paper
from tests.browser.phone import Phone
from tests.browser.served import Served, note
from tests.browser.table import Table


def championship(office: Office, server: Served) -> None:
    """Both classes in one championship, signed."""
    office.ask("championship", id=None, title="Champion of the day", classes=["c4", "c5"], feeds=[], judge="judge-a")
    signed: dict[str, Any] = {"kind": "sign", "reason": None}
    server.write("judge", note("a", **signed, numbers=["12", "7", "31"]))
    server.write("judge", note("b", **signed, numbers=["22", "21"], **{"class": "c5"}))


def choose(page: Page, number: str) -> None:
    page.locator(".contender").filter(has=page.locator("b", has_text=re.compile(f"^{number}$"))).click()


def test_the_judge_names_champion_and_reserve_and_the_office_sees_and_corrects_it(
    phone: Phone, table: Table, server: Served
) -> None:
    page, back = phone.page, phone.page.locator(".read-back-it")
    phone.join()
    expect(page.get_by_role("button", name="Champion and reserve")).to_have_count(0)
    with office_of(server) as office:
        championship(office, server)
        page.reload()
        page.get_by_role("button", name="Champion and reserve").tap()
        contenders = page.locator(".contender")
        expect(contenders).to_have_text(
            [
                "12Stock type mares, aged, 1st on the judge's cardbay, star",
                "22Hunter type geldings, three and over, 1st on the judge's cardchestnut",
            ]
        )
        choose(page, "12")
        expect(back).to_be_focused()
        expect(back).to_contain_text("Champion12Stock type mares, aged · bay, star")
        # The second of the champion's class comes in for reserve; nothing is kept yet.
        expect(contenders.locator("b")).to_have_text(["7", "22"])
        # Another horse than those who came back is warned of, and is the judge's to choose.
        page.get_by_text("Another horse").tap()
        page.get_by_label("Number", exact=True).fill("31")
        page.get_by_role("button", name="Take it as reserve").tap()
        expect(back.locator(".warned li")).to_have_text(
            [re.compile("^31 .* did not come back for reserve"), re.compile("^31 .* is put above 7")]
        )
        page.get_by_role("button", name="Not yet").tap()
        choose(page, "12")
        choose(page, "7")
        expect(back.locator(".warned")).to_have_count(0)
        page.get_by_role("button", name="Keep champion 12, reserve 7").tap()
        expect(page.locator(".named dd b")).to_have_text(["12", "7"])
        expect(page.get_by_role("heading", name="Champion of the day")).to_be_focused()
        page.get_by_text("Your placings of the day").tap()
        expect(page.locator(".placings dd")).to_have_text(["12 · 7 · 31", "22 · 21"])

        # The office sees it, and changes it with a reason as the judge says it aloud.
        table.sit()
        table.go("champions")
        there = table.page
        expect(there.locator(".named dd b")).to_have_text(["12", "7"])
        table.press("^Change it")
        choose(there, "22")
        expect(there.get_by_role("button", name="A reason is needed")).to_be_disabled()
        choose(there, "12")
        there.get_by_label("Why does it change?").fill("read out the wrong way round")
        table.press("^Keep champion 22, reserve 12")
        expect(there.locator(".named dd b")).to_have_text(["22", "12"])
        (kept,) = office.ask("show", title="Mill Meadow Open Show")["championships"]
        assert [each["reason"] for each in kept["named"]] == [None, "read out the wrong way round"]
        page.get_by_role("button", name="Ask again").tap()
        expect(page.locator(".named dd b")).to_have_text(["22", "12"])

        # On the pinned results, and for the announcer.
        table.go("results")
        expect(there.locator(".champions tbody th")).to_have_text(["22", "12"])
        assert "Champion 22 Hunter type geldings" in Paper(there).texts[-1]
        table.go("announcer")
        expect(there.locator(".honor")).to_contain_text("Champion: number 22 (“two two”)")

    # Only with a connection, and said so; what was there is not thrown away.
    server.kill()
    page.get_by_role("button", name="Ask again").first.tap()
    expect(page.get_by_role("alert")).to_contain_text("Only with a connection to the show office: who comes back.")
    expect(page.locator(".named dd b")).to_have_text(["22", "12"])
    phone.problems.clear()
    table.problems.clear()
