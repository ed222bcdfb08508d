"""The practice class: marked by somebody who never saw the page, led by hints that go when they were used."""

from __future__ import annotations

import json
import re
from pathlib import Path

from playwright.sync_api import expect

from nearside.show.classfile import checked_class_file
from nearside.show.standards import shipped_standard
from tests.browser.phone import Phone, linked
from tests.browser.served import Served
from tests.browser.test_alone import open_without_server

CLASS = json.loads((Path(__file__).parents[2] / "frontend" / "practice" / "class.json").read_text())


def test_the_practice_goes_by_the_words_of_the_stock_type_and_tells_of_each_horse_in_each_view() -> None:
    class_file, standard = checked_class_file(CLASS["file"])
    stock = {
        trait["key"]: trait for criterion in shipped_standard("stock-type")["criteria"] for trait in criterion["traits"]
    }
    for criterion in standard["criteria"]:
        for trait in criterion["traits"]:
            whole = stock[trait["key"]]
            assert {**trait, "views": [], "first": None} == {**whole, "views": [], "first": None}
            assert set(trait["views"]) == set(whole["views"]) & set(standard["views"])
    assert list(CLASS["seen"]) == [entry["number"] for entry in class_file["entries"]]
    assert all(list(seen) == standard["views"] and all(seen.values()) for seen in CLASS["seen"].values())


def test_hints_lead_through_the_practice_with_no_server_and_each_goes_when_it_was_used(
    phone: Phone, server: Served
) -> None:
    page = phone.page
    open_without_server(phone, server)
    page.get_by_role("button", name="Try it: a practice class").tap()
    phone.expect_horse("4")
    hint = page.locator(".hint")
    for words, use in [
        ("Tap the end that you see", phone.end("long, free, elastic stride")),
        ("The large button", phone.next),
        ("takes back the last thing", page.get_by_role("button", name="Undo")),
        ("shows the order your marks suggest", page.get_by_role("button", name="Placing", exact=True)),
    ]:
        expect(hint).to_have_count(1)
        expect(hint).to_contain_text(words)
        expect(page.get_by_text("What you see")).not_to_have_count(0)
        expect(page.locator("h1")).to_contain_text("Practice")
        use.tap()
        expect(page.get_by_text(words)).to_have_count(0)
    page.get_by_role("button", name="‹ Ring").tap()
    expect(hint).to_have_count(0)
    phone.next.tap()
    phone.end("short, choppy stride").tap()
    page.get_by_role("button", name="Placing", exact=True).tap()
    expect(hint).to_contain_text("Between two horses stands what decides")
    page.locator(".pair button").first.tap()
    expect(page.locator(".sentence").first).to_contain_text("4 over 11")
    expect(hint).to_have_count(0)
    expect(page.get_by_role("link", name="Class file")).to_have_count(0)
    phone.expect_saved("^Practice$")

    # Used is used, also after a cold start; and nothing of it waits to be sent, or can be brought anywhere.
    phone.close()
    phone.cold_start()
    page = phone.page
    expect(page.locator(".pair button").first).to_be_visible()
    expect(page.locator(".hint")).to_have_count(0)
    assert phone.stored("outbox") == []
    page.get_by_role("button", name="All classes").tap()
    server.start()
    page.get_by_role("button", name="Join a show").tap()
    page.get_by_label("Code").fill(server.codes["judge"])
    page.get_by_role("button", name="Join with this code").tap()
    page.get_by_role("button", name="Bring in a class").tap()
    expect(page.get_by_label("A class file")).to_be_visible()
    expect(page.get_by_text("Practice")).to_have_count(0)
    assert server.notes_of("judge") == []

    # Begun anew, it is as at first; and on a small screen the next horse begins with what there is to see of it.
    page.get_by_role("button", name="Back").tap()
    page.get_by_role("button", name="Another seat or class").tap()
    page.get_by_role("button", name="Try it: a practice class").tap()
    page.get_by_role("button", name="All classes").tap()
    before = phone.stored("notes")
    page.evaluate(
        """() => {
            window.fetched = fetch;
            window.fetch = (path) => fetched(path === "/practice/class.json" ? "/no-such-file" : path);
        }"""
    )
    anew = page.get_by_role("button", name="Begin the practice anew")
    anew.tap()
    page.get_by_role("button", name="Keep it").tap()
    anew.tap()
    expect(page.get_by_role("alert").filter(has_text="All its marks go.")).to_be_visible()
    assert phone.stored("notes") == before
    page.get_by_role("button", name="Begin anew", exact=True).tap()
    phone.expect_said("This is not on this phone yet: try again with a network.")
    page.get_by_role("button", name=re.compile("6 horses")).tap()
    expect(page.locator("horse-bar strong")).to_be_visible()
    assert before != []
    assert phone.stored("notes") == before
    page.evaluate("window.fetch = window.fetched")
    page.get_by_role("button", name="All classes").tap()
    page.get_by_role("button", name="Begin the practice anew").tap()
    page.get_by_role("button", name="Begin anew", exact=True).tap()
    expect(page.locator(".hint")).to_contain_text("Tap the end that you see")
    phone.expect_degree("long, free, elastic stride", 0)
    assert phone.stored("notes") == []
    assert sorted(each.get("alone", "") for each in phone.stored("seats")) == ["", "practice"]
    # Only a seat that is alone is ever given up, whoever asks.
    joined = next(each for each in phone.stored("seats") if "alone" not in each)
    kept = phone.stored("seats")
    refused = page.evaluate(
        linked("""async ({ day, owner }) => {
            const { holdAlone } = await import("/offline/seats.js");
            return holdAlone({ ...day, show: { id: "another", title: "" } }, "practice", owner).then(() => "", String);
        }"""),
        joined,
    )
    assert "never given up" in refused
    assert phone.stored("seats") == kept
    page.set_viewport_size({"width": 320, "height": 568})
    phone.end("long, free, elastic stride").tap()
    page.locator("main.practice").evaluate("(main) => main.scrollTo(0, 300)")
    phone.next.tap()
    phone.expect_horse("11")
    expect(page.get_by_text("The feet swing out a little.")).to_be_in_viewport()

    # And from the practice to a class of one's own.
    page.get_by_role("button", name="All classes").tap()
    page.get_by_role("button", name="A class of your own").tap()
    expect(page.get_by_role("button", name="Make an empty class")).to_be_visible()
