"""A phone whose access was taken away says so, takes marks on, and loses none."""

from __future__ import annotations

import re

from playwright.sync_api import expect

from tests.browser.phone import Phone
from tests.browser.served import Served

NO_ROOM_FOR_A_SEAT = """(isFull) => {
    window.put ??= IDBObjectStore.prototype.put;
    IDBObjectStore.prototype.put = function (...words) {
        const isOfSeat = this.name === "seats" || words[1] === "owner";
        if (isFull && isOfSeat) throw new DOMException("Full.", "QuotaExceededError");
        return window.put.apply(this, words);
    };
}"""
NOT_KEPT = "This phone could not keep what it was given. Is its storage full, or is this a private window?"
TOPLINE = "short, strong topline"
SHOULDER = "long, sloping shoulder"


def test_a_phone_whose_access_was_taken_away_says_so_and_what_it_noted_goes_out_once_joined_again(
    phone: Phone, server: Served
) -> None:
    phone.join()
    phone.open_class()
    phone.end(TOPLINE).tap()
    phone.expect_saved("At the office")
    with server.device("office") as office:
        (device,) = [each for each in office.get("/api/devices").json()["devices"] if each["seat"] == "judge-a"]
        office.post(f"/api/devices/{device['id']}/revoke").raise_for_status()
    phone.end(SHOULDER).tap()
    phone.expect_degree(SHOULDER, 1)
    phone.expect_saved("1 waiting, join again")
    phone.end(SHOULDER).tap()  # it goes on taking marks
    phone.expect_saved("2 waiting, join again")
    assert [each["trait"] for each in server.notes_of("judge")] == ["topline"]

    phone.close()
    phone.cold_start()
    phone.expect_horse("7")
    phone.expect_degree(TOPLINE, 1)
    phone.expect_degree(SHOULDER, 2)
    phone.expect_saved("2 waiting, join again")
    phone.saved.tap()
    expect(phone.page.locator(".now")).to_contain_text("Everything noted is saved here and goes out when you join")
    phone.page.get_by_role("button", name="Join with another code").tap()
    phone.page.get_by_label("Code").fill(server.codes["judge"])
    phone.page.get_by_role("button", name="Join with this code").tap()
    phone.open_class()
    phone.expect_degree(SHOULDER, 2)
    phone.expect_saved("At the office")
    assert phone.stored("outbox") == []
    assert [each["trait"] for each in server.notes_of("judge")] == ["topline", "shoulder", "shoulder"]


def test_where_another_seat_cannot_be_kept_it_says_so_and_the_open_one_goes_on_to_send(
    phone: Phone, server: Served
) -> None:
    page = phone.page
    phone.join()
    page.get_by_role("button", name="Another seat or class").tap()
    page.get_by_role("button", name="A class of your own on this phone").tap()
    expect(page.get_by_role("heading", name="A class of your own")).to_be_visible()
    page.get_by_role("button", name="Back").tap()
    page.get_by_role("button", name="Join a show").tap()
    page.get_by_role("button", name=re.compile("^Judge A, Mill Meadow")).tap()
    page.get_by_role("button", name="Another seat or class").tap()
    page.evaluate(NO_ROOM_FOR_A_SEAT, True)
    for name in ("A class of your own on this phone", "Try it: a practice class"):
        page.get_by_role("button", name=name).tap()
        expect(page.get_by_role("alert")).to_have_text(NOT_KEPT)
        page.get_by_label("Code").fill("2")  # the sentence goes
        expect(page.get_by_role("alert")).to_have_text("")
    page.get_by_role("button", name="Stay Judge A").tap()
    phone.open_class()
    phone.end(TOPLINE).tap()
    phone.expect_saved("At the office")
    assert [each["trait"] for each in server.notes_of("judge")] == ["topline"]
