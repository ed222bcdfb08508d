"""The show is changed at its table while its phones are at work: each has it at once, and loses nothing it noted."""

from __future__ import annotations

import re
import time
from typing import Any

import httpx
from playwright.sync_api import expect

from tests.browser.phone import Phone
from tests.browser.served import Served, note

TOPLINE = "short, strong topline"


def change(office: httpx.Client, command: str, **asked: Any) -> None:
    answer = office.post(f"/api/office/{command}", json=asked)
    assert answer.status_code == 200, answer.text


def test_a_class_renamed_changed_and_gone_under_the_hand_is_said_and_keeps_what_was_noted(
    phone: Phone, other: Phone, server: Served
) -> None:
    page = phone.page
    phone.join()
    phone.open_class()
    phone.horse("31").tap()
    phone.end(TOPLINE).tap()
    phone.expect_saved("At the office")
    other.join("steward")
    with server.device("office") as office:
        given = next(each for each in office.get("/api/office").json()["classes"] if each["id"] == "c4")
        asked = {key: given[key] for key in ("id", "standard", "sexes", "ages", "places", "lameness")}
        change(office, "class", **asked, title="Stock type mares, all ages")
        expect(page.get_by_role("heading", level=1)).to_contain_text("Stock type mares, all ages")
        phone.expect_said("“Stock type mares, aged” is now “Stock type mares, all ages”")
        none = {"horse": None, "exhibitor": None, "division": None}
        change(office, "entry", **{"class": "c4"}, number="23", identification="black", **none)
        phone.expect_said("The office entered 23 in this class")
        expect(phone.horse("23")).to_be_visible()
        # A horse taken out that something is noted of stays in the line, as one that is not entered.
        change(office, "entry-gone", **{"class": "c4"}, number="31", reason="entered twice")
        phone.expect_said("The office took 31 out of this class; what is noted of it stays")
        phone.expect_horse("31")
        phone.expect_degree(TOPLINE, 1)
        # Which class is where in the day stands at the top of the gate.
        change(office, "stage", **{"class": "c4"}, stage="ring")
        other.page.get_by_role("button", name=re.compile("Hunter type geldings")).tap()
        other.page.get_by_role("button", name="In the ring: Stock type mares, all ages").tap()
        expect(other.page.get_by_role("heading", level=1)).to_contain_text("Stock type mares")
        # The office knows of no mark yet in a class it takes away: the one on this phone is not lost with it.
        other.page.get_by_role("button", name="All classes").tap()
        other.page.get_by_role("button", name=re.compile("Hunter type geldings")).tap()
        page.get_by_role("button", name="All classes").tap()
        phone.open_class("Hunter type geldings")
        page.route("**/api/**", lambda route: route.abort() if route.request.method == "POST" else route.fallback())
        page.locator(".trait > .good").first.tap()
        phone.expect_saved("Saved here, 1 to send")
        change(office, "class-gone", id="c5")
    expect(other.page.locator("classes-page h1")).to_be_visible()
    other.expect_said(
        "No longer in the show by itself: Hunter type geldings, three and over. What is noted there is kept"
    )
    page.unroute_all()
    page.evaluate("() => dispatchEvent(new Event('online'))")
    expect(page.locator("classes-page h1")).to_be_visible()
    kept = [*phone.stored("notes"), *phone.stored("refused")]
    assert [each["note"]["number"] for each in kept if each["note"]["class"] == "c5"] == ["21"]
    phone.open_class()


def test_what_became_readable_behind_the_cursor_is_fetched_with_the_day(phone: Phone, server: Served) -> None:
    phone.join()
    phone.open_class()
    phone.end(TOPLINE).tap()
    phone.expect_saved("At the office")
    asked: list[str] = []
    phone.page.on("request", lambda request: asked.append(request.url.removeprefix(server.address)))
    with server.device("office") as office:
        before = {each["id"] for each in office.get("/api/office").json()["seats"]}
        change(office, "seat", id=None, role="judge", name="Judge B", judge=None)
        state = office.get("/api/office").json()
        (second,) = {each["id"] for each in state["seats"]} - before
        given = next(each for each in state["classes"] if each["id"] == "c4")
        fields = {key: given[key] for key in ("id", "title", "standard", "sexes", "ages", "places", "lameness")}
        change(office, "class", **fields, judges=["judge-a", second])
        expect(phone.saved).to_have_text("At the office")
        phone.page.wait_for_function(
            "() => performance.getEntriesByType('resource').some(({ name }) => name.endsWith('/api/classes/c4/notes'))"
        )
    phone.expect_degree(TOPLINE, 1)
    # The office is told with each pull what waits here.
    assert any(re.fullmatch(r"/api/notes\?after=\d+&limit=500&waiting=0", each) for each in asked)


def test_a_mark_that_reaches_the_office_after_the_signature_is_put_aside_here_too_and_said(
    phone: Phone, server: Served
) -> None:
    page = phone.page
    phone.join()
    phone.open_class()
    server.write("judge", note("m1", kind="mark", number="7", trait="topline", view="profile", degree=1))
    phone.expect_degree(TOPLINE, 1)
    page.route("**/api/**", lambda route: route.abort())
    phone.end(TOPLINE).tap()
    phone.end("long, sloping shoulder").tap()
    phone.expect_saved("Saved here, 2 to send")
    now_ms = int(time.time() * 1000)
    server.write(
        "judge",
        note("o1", kind="order", numbers=["7"], at=now_ms),
        note("s1", kind="sign", numbers=["7"], at=now_ms + 50),
    )
    page.unroute_all()
    phone.saved.tap()
    page.get_by_role("button", name="Try now").tap()
    expect(page.get_by_role("heading", name="Put aside: the card was signed before")).to_be_visible()
    expect(page.locator(".refused li")).to_have_count(2)
    said = "2 notes reached the office after the card was signed: they change nothing, and were put aside"
    expect(page.locator(".now")).to_contain_text(said)
    assert sorted(each["id"] for each in phone.stored("refused")) == sorted(
        each["id"] for each in phone.stored("refused") if each["late"]
    )
    page.get_by_role("button", name="Understood").tap()
    expect(page.get_by_role("heading", name="Put aside: the card was signed before")).to_have_count(0)
    page.get_by_role("button", name="Back", exact=True).tap()
    phone.expect_saved("At the office")
    phone.expect_degree(TOPLINE, 1)
    phone.expect_degree("long, sloping shoulder", 0)
