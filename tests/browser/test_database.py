"""The phone's database: a write that fails is never said to be saved, and one that was handed over is not lost."""

from __future__ import annotations

from playwright.sync_api import expect

from tests.browser.phone import Phone
from tests.browser.served import Served

TOPLINE = "short, strong topline"
SHOULDER = "long, sloping shoulder"

# The disk takes the request and fails it afterwards, as the standard allows (Indexed Database API 3.0, section 5.7:
# an error nobody dealt with gives the whole transaction up): here because the key is there already.
FAILING_REQUEST = """
const add = IDBObjectStore.prototype.add;
IDBObjectStore.prototype.add = function (value) {
    if (!window.isRequestFailing) return add.call(this, value);
    add.call(this, { ...value, seq: 1e9 });
    return add.call(this, { ...value, seq: 1e9 });
};
"""


def test_a_write_the_disk_fails_afterwards_is_not_said_to_be_saved_and_is_tried_again(
    phone: Phone, server: Served
) -> None:
    phone.before_the_page(FAILING_REQUEST)
    phone.join()
    phone.open_class()
    phone.expect_saved("At the office")
    server.kill()
    phone.end(TOPLINE).tap()
    phone.expect_saved("Saved here, 1 to send")
    phone.page.evaluate("window.isRequestFailing = true")
    phone.end(SHOULDER).tap()
    phone.expect_degree(SHOULDER, 1)
    phone.expect_saved("1 not saved on this phone")
    assert [each["note"]["trait"] for each in phone.stored("outbox")] == ["topline"]
    assert [each["note"]["trait"] for each in phone.stored("notes")] == ["topline"]  # all of it or nothing
    phone.page.evaluate("window.isRequestFailing = false")
    phone.expect_saved("Saved here, 2 to send")  # by itself
    assert [each["note"]["trait"] for each in phone.stored("outbox")] == ["topline", "shoulder"]
    server.start()
    phone.expect_saved("At the office")
    assert [each["trait"] for each in server.notes_of("judge")] == ["topline", "shoulder"]


def test_a_place_opened_by_its_address_is_where_the_next_start_begins(phone: Phone, server: Served) -> None:
    phone.join()
    phone.open_class()
    phone.page.goto("about:blank")
    phone.page.goto(f"{server.address}/#/ring/c5/22/trot")
    phone.expect_horse("22")
    phone.page.wait_for_function("navigator.serviceWorker.controller !== null")
    phone.close()
    server.kill()
    phone.cold_start()
    phone.expect_horse("22")
    expect(phone.view("Coming and going")).to_have_attribute("aria-current", "true")
