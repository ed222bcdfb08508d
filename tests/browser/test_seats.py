"""A phone whose access was taken away says so, takes marks on, and loses none."""

from __future__ import annotations

from playwright.sync_api import expect

from tests.browser.phone import Phone
from tests.browser.served import Served

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
