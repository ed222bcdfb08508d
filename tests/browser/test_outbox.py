"""A note leaves the phone's outbox only when the server names it, whatever becomes of the answer or the disk."""

from __future__ import annotations

import json
import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Route, expect

from tests.browser.phone import Phone
from tests.browser.served import Served

TOPLINE = "short, strong topline"
SHOULDER = "long, sloping shoulder"


def at_posts(phone: Phone, answer: Callable[[Route, int], None]) -> list[list[str]]:
    """Answer each push in the server's place; returns the ids of each push, filled as they come."""
    pushes: list[list[str]] = []

    def handle(route: Route) -> None:
        if route.request.method != "POST":
            route.continue_()
            return
        body = json.loads(route.request.post_data or "{}")
        pushes.append([each["id"] for each in body["notes"]])
        answer(route, len(pushes))

    phone.page.route("**/api/notes", handle)
    return pushes


def lose_the_answer(route: Route) -> None:
    route.fetch()  # the server has it
    route.abort()  # the phone does not know


BAD_ANSWERS: dict[str, Callable[[Route], None]] = {
    "an answer that is lost": lose_the_answer,
    "an answer of 500": lambda route: route.fulfill(status=500, body="{}", content_type="application/json"),
    "the sign-in page of a hotel's network": lambda route: route.fulfill(status=200, body="<h1>Welcome</h1>"),
    "an answer that names other notes": lambda route: route.fulfill(
        json={"receipts": [{"id": "another", "status": "kept", "reason": None}]}
    ),
    "an answer of a kind nobody knows": lambda route: route.fulfill(
        json={"receipts": [{"id": json.loads(route.request.post_data or "")["notes"][0]["id"], "status": "perhaps"}]}
    ),
}


@pytest.mark.parametrize("bad", BAD_ANSWERS, ids=BAD_ANSWERS.keys())
def test_a_note_is_sent_again_until_the_server_names_it_after(bad: str, phone: Phone, server: Served) -> None:
    phone.join()
    phone.open_class()
    phone.expect_saved("At the office")
    pushes = at_posts(phone, lambda route, count: BAD_ANSWERS[bad](route) if count == 1 else route.continue_())
    phone.end(TOPLINE).tap()
    phone.expect_saved("Saved here, 1 to send")
    phone.expect_saved("At the office")
    assert len(pushes) == 2
    assert pushes[0] == pushes[1]
    assert phone.stored("outbox") == []
    assert [each["id"] for each in server.notes_of("judge")] == pushes[0]


def test_a_refused_note_is_shown_with_its_reason_kept_and_holds_nothing_back(phone: Phone, server: Served) -> None:
    phone.join()
    phone.open_class()
    phone.expect_saved("At the office")

    def spoil_the_first(route: Route, count: int) -> None:
        body = json.loads(route.request.post_data or "")
        for each in body["notes"]:
            if each["trait"] == "topline":
                each["trait"] = "wings"
        route.continue_(post_data=json.dumps(body)) if count < 3 else route.continue_()

    at_posts(phone, spoil_the_first)
    phone.end(TOPLINE).tap()
    phone.end(SHOULDER).tap()
    phone.expect_saved("1 refused")
    phone.expect_degree(SHOULDER, 1)
    phone.expect_degree(TOPLINE, 0)  # the card shows what the office has
    phone.saved.tap()
    expect(phone.page.get_by_role("definition").filter(has_text="0 notes")).to_be_visible()
    assert [each["trait"] for each in server.notes_of("judge")] == ["shoulder"]
    refused = phone.page.locator(".refused li")
    expect(refused).to_have_count(1)
    expect(refused).to_contain_text("7: short, strong topline, slight")
    expect(refused).to_contain_text('Reason: "wings" is not a trait of the standard')
    assert [each["note"]["trait"] for each in phone.stored("refused")] == ["topline"]
    assert [each["note"]["trait"] for each in phone.stored("notes")] == ["shoulder"]  # nor a page opened anew

    phone.page.unroute_all()
    refused.get_by_role("button", name=re.compile("^Send again")).tap()
    expect(refused).to_have_count(0)
    phone.page.get_by_role("button", name="Back", exact=True).tap()
    phone.expect_saved("At the office")
    phone.expect_degree(TOPLINE, 1)
    assert sorted(each["trait"] for each in server.notes_of("judge")) == ["shoulder", "topline"]


def test_a_refused_note_put_aside_is_shown_no_more_but_stays_on_the_phone(phone: Phone, server: Served) -> None:
    phone.join()
    phone.open_class()
    phone.expect_saved("At the office")
    at_posts(
        phone,
        lambda route, _: route.fulfill(
            json={
                "receipts": [
                    {"id": each["id"], "status": "refused", "reason": "because"}
                    for each in json.loads(route.request.post_data or "")["notes"]
                ]
            }
        ),
    )
    phone.end(TOPLINE).tap()
    phone.expect_saved("1 refused")
    phone.saved.tap()
    phone.page.get_by_role("button", name=re.compile("^Put aside")).tap()
    expect(phone.page.locator(".refused")).to_have_count(0)
    assert [each["reason"] for each in phone.stored("refused")] == ["because"]
    assert server.notes_of("judge") == []


def test_a_list_the_server_cannot_read_is_halved_until_the_bad_note_holds_up_no_other(
    phone: Phone, server: Served
) -> None:
    phone.join()
    phone.open_class()
    phone.expect_saved("At the office")
    server.kill()
    for words in (TOPLINE, SHOULDER, "long, gently turned croup"):
        phone.end(words).tap()
    phone.expect_saved("Saved here, 3 to send")
    at_posts(
        phone,
        lambda route, _: (
            route.fulfill(status=400, json={"error": {"code": "bad_request", "sentence": "Not readable.", "where": ""}})
            if '"shoulder"' in (route.request.post_data or "")
            else route.continue_()
        ),
    )
    server.start()
    phone.expect_saved("Saved here, 1 to send")
    assert sorted(each["trait"] for each in server.notes_of("judge")) == ["croup", "topline"]


# Between the page and the browser's database: the n-th transaction from now on meets a dead handle, as after a phone
# has freed it in the background.
DEAD_HANDLE = """
const whole = IDBDatabase.prototype.transaction;
IDBDatabase.prototype.transaction = function (...words) {
    if (window.isHandleDead && words[1] === "readwrite") {
        window.isHandleDead = false;
        throw new DOMException("The database connection is closing.", "InvalidStateError");
    }
    return whole.apply(this, words);
};
const add = IDBObjectStore.prototype.add;
IDBObjectStore.prototype.add = function (...words) {
    if (window.isDiskFull) throw new DOMException("The disk is full.", "QuotaExceededError");
    return add.apply(this, words);
};
"""


def test_a_dead_database_handle_is_opened_anew_and_the_note_written_once(phone: Phone, server: Served) -> None:
    phone.before_the_page(DEAD_HANDLE)
    phone.join()
    phone.open_class()
    phone.expect_saved("At the office")
    server.kill()
    # All that is said of saving from now on: the note is not given up first and saved by a later try.
    phone.page.evaluate(
        """() => {
            window.said = [];
            const state = document.querySelector("saved-state");
            new MutationObserver(() => window.said.push(state.textContent))
                .observe(state, { subtree: true, childList: true, characterData: true });
            window.isHandleDead = true;
        }"""
    )
    phone.end(TOPLINE).tap()
    phone.expect_saved("Saved here, 1 to send")
    assert phone.page.evaluate("window.isHandleDead") is False
    said = phone.page.evaluate("window.said")
    assert said[0] == "Saving"
    assert [each for each in said if "not saved" in each] == []
    assert [each["note"]["trait"] for each in phone.stored("outbox")] == ["topline"]


def test_a_full_disk_is_said_the_note_goes_to_the_server_at_once_and_to_the_disk_when_it_can(
    phone: Phone, server: Served
) -> None:
    phone.before_the_page(DEAD_HANDLE)
    phone.join()
    phone.open_class()
    phone.expect_saved("At the office")
    server.kill()
    phone.page.evaluate("window.isDiskFull = true")
    phone.end(TOPLINE).tap()
    phone.expect_degree(TOPLINE, 1)
    phone.expect_saved("1 not saved on this phone")
    assert phone.stored("outbox") == []
    server.start()
    phone.expect_saved("At the office")
    assert [each["trait"] for each in server.notes_of("judge")] == ["topline"]
    phone.end(SHOULDER).tap()
    phone.expect_saved("At the office")
    phone.page.evaluate("window.isDiskFull = false")
    phone.end(SHOULDER).tap()
    phone.expect_saved("At the office")
    assert len(server.notes_of("judge")) == 3
