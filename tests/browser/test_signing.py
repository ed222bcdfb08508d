"""Signing: what is checked before, two buttons that a wet glove does not take for one, and the shut card on its way."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import numpy as np
import zxingcpp
from PIL import Image
from playwright.sync_api import Locator, Page, Playwright, expect

from tests.browser.phone import Phone, linked
from tests.browser.served import Served, note
from tests.browser.test_order import expect_order, seed, to_placing
from tests.browser.test_print import printed_pages


def to_sign(page: Page) -> None:
    page.get_by_role("button", name=re.compile("^Sign(ed)?$")).tap()


def arrange(page: Page, typed: str) -> None:
    page.get_by_role("button", name="Arrange").tap()
    page.get_by_role("button", name="Type it").tap()
    page.get_by_label("Your order, best first").fill(typed)
    page.get_by_role("button", name="Set this order").tap()
    expect_order(page, typed)
    page.get_by_role("button", name="‹ Placing").tap()


def open_points(page: Page) -> list[str]:
    return [each.inner_text() for each in page.locator(".points > li > span").all()]


def tap_twice(page: Page, target: Locator) -> None:
    """As a wet glove does: at one place, as fast as can be."""
    box = target.bounding_box()
    assert box is not None
    for _ in range(2):
        page.touchscreen.tap(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)


def is_on_top(target: Locator) -> bool:
    """Whether its middle is not under a bar."""
    found: bool = target.evaluate(
        """(target) => {
            const { left, top, width, height } = target.getBoundingClientRect();
            return target.contains(document.elementFromPoint(left + width / 2, top + height / 2));
        }"""
    )
    return found


def signatures(phone: Phone) -> list[Any]:
    kept = [each["note"] for each in phone.stored("notes") if each["note"]["kind"] == "sign"]
    return [(each["numbers"], each.get("reason")) for each in sorted(kept, key=lambda each: each["at"])]


# One note of each kind, past all buttons; answers with the kinds that were written, and with why the others were not.
WRITE_ALL = linked("""async () => {
    const { session } = await import("/state/session.js");
    const { notebook } = session;
    const before = new Set(notebook.card("c4").notes.keys());
    const number = "7";
    const drafts = [
        { kind: "mark", number, trait: "topline", view: "profile", degree: 1 },
        { kind: "looked", number, view: "rear", done: true },
        { kind: "remark", number, text: "too late", tag: null },
        { kind: "over", pair: ["7", "12"], winner: "7" },
        { kind: "ruling", number, outcome: "last", reason: null },
        { kind: "order", numbers: ["7"] },
        { kind: "lameness", number, grade: 2 },
        { kind: "presence", number, state: "present" },
    ];
    const refused = new Set();
    for (const draft of drafts) {
        const { why, kept } = notebook.write("c4", [draft], "past all buttons");
        await kept;
        if (why !== null) refused.add(why);
    }
    const written = [...notebook.card("c4").notes.values()].filter(({ id }) => !before.has(id));
    return [written.map(({ kind }) => kind), [...refused]];
}""")

# A tap on a button that was drawn before the card was signed; and an undo that is refused while the gate says a word.
TAP_LATE = linked("""async () => {
    const { session } = await import("/state/session.js");
    const { setOrder } = await import("/state/order.js");
    const { notebook } = session;
    setOrder(notebook.card("c4"), ["7"], "7 alone");
    const undone = notebook.takeBack();
    await notebook.write("c4", [{ kind: "presence", number: "7", state: null }], "the gate's word").kept;
    return [(await undone).why, notebook.lastStep.words];
}""")


# Past the button that is shut while something stops the signature; the disk has what it wrote, if it did.
SIGN = linked("""async () => {
    const { session } = await import("/state/session.js");
    const { suggestion } = await import("/state/placing.js");
    const { sign } = await import("/state/signing.js");
    sign(session.notebook.card("c4"), suggestion("c4").placing);
    while (session.notebook.saving.writing > 0) await new Promise(requestAnimationFrame);
}""")


def test_a_card_is_checked_read_back_and_signed_on_purpose_and_then_shut(phone: Phone, server: Served) -> None:
    seed(server)
    server.write(
        "steward",
        *(
            note(f"p{number}", kind="presence", number=number, state="absent" if number == "58" else "present")
            for number in ("7", "12", "31", "40", "58", "103")
        ),
    )
    phone.join()
    phone.open_class()
    phone.expect_degree("short, strong topline", 3)
    page = phone.page
    page.locator(".to-line").tap()
    page.get_by_role("button", name="Head count").tap()
    page.get_by_role("button", name="One more").tap()
    page.get_by_role("button", name="‹ Ring").tap()
    page.locator("thumb-bar .to-placing").tap()
    expect(page.locator(".order > li")).to_have_count(4)
    to_sign(page)
    expect(page.get_by_role("button", name="Sign this card")).to_be_disabled()
    expect(page.locator(".points > li").first).to_contain_text("Before signing: You have set no order of your own yet.")
    expect(page.locator("sign-page .decides")).to_contain_text(
        "The judge decides; the show's rules and its veterinarian"
    )
    page.evaluate(SIGN)
    assert signatures(phone) == []
    page.get_by_role("button", name="Arrange: You have set no order of your own yet.").tap()
    page.get_by_role("button", name="‹ Placing").tap()

    arrange(page, "12 7 31 58")
    to_sign(page)
    expect(page.get_by_role("button", name="Sign this card")).to_be_enabled()
    assert open_points(page) == [
        "58: absent by the gate, and in your order.",
        "40: placed by your notes, and left out.",
        "103: present by the gate, and not on your card.",
        "Head count: you counted 6, your card speaks of 5, the gate has 5 in the ring.",
        "103: never looked at.",
        "12, 7, 31 and 58: seen in fewer than half of the 6 views.",
        "1 pair against your notes.",
    ]
    checked = page.get_by_text("Checked, and nothing open: ")
    expect(checked).to_have_text(
        re.compile(": each number entered, each number once, disputes, calls that run in a circle")
    )
    expect(page.locator("sign-page .apart > p")).to_have_text(["40 left out by the judge", "103 not looked at yet"])
    page.get_by_role("button", name=re.compile("^Look: 103")).tap()
    phone.expect_horse("103")
    page.locator("thumb-bar .to-placing").tap()
    arrange(page, "12 7 31 40 103")
    to_sign(page)
    expect(page.locator(".read-back > li").nth(1)).to_have_text("2nd7sorrel, blaze")
    expect(page.locator(".read-back > li").nth(3)).to_contain_text("Places end here")
    assert [each for each in open_points(page) if "58" in each or "by the gate" in each] == []
    page.get_by_role("button", name=re.compile("^Count: Head count")).tap()
    page.get_by_role("button", name="Head count").tap()
    page.get_by_role("button", name="One less").tap()
    page.get_by_role("button", name="‹ Ring").tap()
    page.locator("thumb-bar .to-placing").tap()
    to_sign(page)
    few = "12, 7, 31 and 40: seen in fewer than half of the 6 views."
    expect(page.locator(".points > li > span")).to_have_text(
        ["103: never looked at.", few, "1 pair against your notes."]
    )
    expect(checked).to_contain_text("present by the gate, head count, disputes")

    # Twice at one place asks, and signs nothing; the order is still to be changed.
    tap_twice(page, page.get_by_role("button", name="Sign this card"))
    yes = page.get_by_role("button", name="Yes, sign: 12 first, 7 second, 31 third, and 2 more")
    expect(yes).to_be_visible()
    assert signatures(phone) == []
    page.get_by_role("button", name="Not yet").tap()
    expect(yes).to_have_count(0)

    # By keyboard: the key that asked does not run on into the answer.
    page.get_by_role("button", name="Sign this card").press("Enter")
    expect(page.get_by_role("group", name=re.compile("^Sign this order"))).to_be_focused()
    page.keyboard.press("Enter")
    page.keyboard.press("Enter")
    assert signatures(phone) == []
    page.keyboard.press("Tab")
    expect(yes).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.locator("card-page .digits b")).to_have_text(["12", "7", "31", "40", "103"])
    expect(page.locator("card-page .apart")).to_have_text("58 absent")
    phone.expect_saved("At the office")

    # What it says is what was known when it was signed; a word of the gate that arrives late, even one written before,
    # stands apart, and the QR is the same.
    digest = page.locator("card-page .digest").text_content()
    server.write(
        "steward",
        note("here", kind="presence", number="58", state="present", replaces=["p58"]),
        note("late", kind="entry", number="77", identification=None, now=None),
    )
    since = "Since it was signed: 77 entered; 58: present. What is signed stays."
    expect(page.locator("card-page .apart > p")).to_have_text(["58 absent", since])
    page.reload()
    expect(page.locator("card-page .apart > p")).to_have_text(["58 absent", since])
    expect(page.locator("card-page .digest")).to_have_text(str(digest))
    assert signatures(phone) == [(["12", "7", "31", "40", "103"], None)]
    assert [each["numbers"] for each in server.notes_of("steward") if each["kind"] == "sign"] == [
        ["12", "7", "31", "40", "103"]
    ]

    # Shut: the ring says so, and whatever would write on the card is refused, in words that say how to open it.
    page.get_by_role("button", name="‹ Placing").tap()
    expect(page.locator("placing-page .shut")).to_have_text(
        re.compile("^Signed .* this card is shut. To change it, take")
    )
    page.get_by_role("button", name="Arrange").tap()
    expect(page.locator("order-page")).to_contain_text("this card is shut")
    expect(page.locator("order-page").get_by_role("button", name=re.compile("Up|Type it|Take the"))).to_have_count(0)
    page.get_by_role("button", name=re.compile("^Undo own order")).tap()
    voice = page.locator(".voice")
    expect(voice).to_have_text(re.compile("this card is shut. To change it, take the signature back, with a reason"))
    page.get_by_role("button", name="‹ Placing").tap()
    page.get_by_role("button", name="‹ Ring").tap()
    expect(page.locator("trait-lines .shut")).to_contain_text("this card is shut")
    expect(phone.end("short, strong topline")).to_be_disabled()
    page.get_by_role("button", name=re.compile("^Note on")).tap()
    expect(page.locator("horse-pad .caution")).to_contain_text("this card is shut")
    expect(page.get_by_label("Remark")).to_have_count(0)
    page.get_by_role("button", name="Done").tap()
    shut = re.compile("^Signed .* this card is shut. To change it, take the signature back, with a reason")
    undone, last = page.evaluate(TAP_LATE)
    phone.expect_said(shut.pattern)
    assert shut.match(undone)
    assert last == "the gate's word"
    page.locator("thumb-bar .undo").tap()
    phone.expect_said("^Taken back: the gate's word")
    written, (why,) = page.evaluate(WRITE_ALL)
    assert written == ["presence"]
    assert shut.match(why)
    page.get_by_role("button", name=re.compile("^Note on")).tap()
    page.get_by_role("button", name="103 absent").tap()
    phone.expect_said("103: absent. 103 is placed on a signed card, and that stays as it was signed")
    page.get_by_role("button", name="Done").tap()
    page.locator("thumb-bar .undo").tap()
    phone.expect_said("^Taken back: 103: absent")

    # Taken back with a reason, and only with one; undo never signs again.
    page.get_by_role("button", name="Signed card").tap()
    page.set_viewport_size({"width": 320, "height": 568})
    page.get_by_role("button", name="Take the signature back").tap()
    expect(page.get_by_role("button", name="A reason is needed")).to_be_disabled()
    expect(page.get_by_label("Why is it taken back?")).to_be_in_viewport(ratio=1)
    expect(page.get_by_label("Your initials")).to_be_in_viewport(ratio=1)
    for name in ("A reason is needed", "Leave it signed"):
        expect(page.get_by_role("button", name=name)).to_be_in_viewport(ratio=1)
        assert is_on_top(page.get_by_role("button", name=name))
    page.emulate_media(media="print")
    expect(page.get_by_label("Why is it taken back?")).to_be_hidden()
    page.emulate_media(media="screen")
    page.get_by_label("Why is it taken back?").fill("7 and 12 the wrong way round")
    expect(page.get_by_role("button", name="Initials are needed")).to_be_disabled()
    page.get_by_label("Your initials").fill("e. k.")
    page.get_by_role("button", name="Take it back").tap()
    expect(page.locator(".order > li")).to_have_count(5)
    page.get_by_role("button", name="Arrange").tap()
    page.get_by_role("button", name="Undo past all buttons").tap()
    page.get_by_role("button", name=re.compile("^Undo own order")).tap()
    expect_order(page, "12 7 31 58")
    page.get_by_role("button", name="‹ Placing").tap()
    to_sign(page)
    expect(page.locator("sign-page")).to_contain_text("taken back")
    expect(page.locator("sign-page")).to_contain_text("7 and 12 the wrong way round")
    phone.expect_saved("At the office")
    assert signatures(phone)[1:] == [(None, "7 and 12 the wrong way round (initials EK)")]


def test_a_card_signed_without_a_network_is_read_from_its_qr_by_other_devices_without_one(
    phone: Phone, server: Served, playwright: Playwright, tmp_path: Path
) -> None:
    seed(server)
    steward, stranger = (Phone(playwright, tmp_path / name, server) for name in ("steward", "stranger"))
    try:
        steward.join("steward")
        stranger.before_the_page(CAMERA)
        stranger.page.goto(f"{server.address}/")
        stranger.page.evaluate("navigator.serviceWorker.ready.then(() => null)")
        phone.join()
        to_placing(phone)
        server.kill()
        page = phone.page
        arrange(page, "12 7 31 40 58")
        to_sign(page)
        page.get_by_role("button", name="Sign this card").tap()
        page.get_by_role("button", name=re.compile("^Yes, sign")).tap()
        expect(page.locator("card-page .digits b")).to_have_text(["12", "7", "31", "40", "58"])
        page.get_by_role("button", name="Show QR").tap()
        link = decoded(page, tmp_path / "qr.png")
        assert link.startswith(f"{server.address}/#card=1:")
        phone.expect_saved("Saved here, ")
        digest = page.locator("card-page .digest").inner_text()

        # A page of paper holds all of it.
        page.emulate_media(media="print")
        for part in (".on-paper", ".qr", ".apart", ".digest"):
            expect(page.locator(f"card-page {part}")).to_be_visible()
        expect(page.locator("card-page footer")).to_be_hidden()
        assert printed_pages(page) == 1
        page.emulate_media(media="screen")

        # The steward's device holds the class, and checks the numbers against its list.
        there = steward.page
        there.goto(link)
        expect(there.locator("read-page .digits b")).to_have_text(["12", "7", "31", "40", "58"])
        expect(there.locator("read-page .fits")).to_contain_text("The digest fits")
        expect(there.locator("read-page")).to_contain_text("Every number is in the list of Stock type mares, aged")
        expect(there.locator("read-page .apart")).to_have_text("103 not looked at yet")
        expect(there.locator("read-page .digest")).to_have_text(digest)
        changed = link.replace(":12.7.31", ":12.77.31")
        there.get_by_label("Link of a signed card").fill(changed)
        there.get_by_role("button", name="Read it").tap()
        expect(there.locator("read-page")).to_contain_text("The digest does not fit")
        expect(there.locator("read-page")).to_contain_text("Not in the list on this device: 77.")
        there.get_by_label("Link of a signed card").fill(link[:-30])
        there.get_by_role("button", name="Read it").tap()
        expect(there.get_by_role("alert")).to_contain_text("no link of a signed card, or not the whole of it")
        there.get_by_role("button", name="Back").tap()
        there.get_by_role("button", name="Back").tap()
        expect(there.locator("read-page .fits")).to_be_visible()

        # A device that never joined reads it too, here by the camera of its browser.
        other = stranger.page
        other.goto(f"{server.address}/")
        other.get_by_role("button", name="Read a signed card").tap()
        other.evaluate("(link) => { window.inSight = link; }", f"{server.address}/#join=ABCDEFGH")
        other.get_by_role("button", name="Read a card's QR").tap()
        expect(other.locator("read-page")).to_contain_text("That QR holds no signed card.")
        other.evaluate("(link) => { window.inSight = link; }", link)
        expect(other.locator("read-page .digits b")).to_have_text(["12", "7", "31", "40", "58"])
        expect(other.locator("read-page")).to_contain_text("This device does not hold that class")
        assert other.evaluate("window.stopped") == 1
        expect(other.get_by_role("button", name="Read a card's QR")).to_be_visible()
        # And where a browser cannot, it says so.
        expect(page.locator("read-page")).to_have_count(0)
        page.goto(f"{server.address}/#card=")
        expect(page.locator("read-page")).to_contain_text("This browser can't read a QR by itself.")

        # Where the card was taken back since, its link says so.
        page.goto(link)
        read = page.locator("read-page")
        expect(read.locator(".of")).to_have_text("Stock type mares, aged")
        expect(read).to_contain_text(re.compile(r"Card of Judge A, signed \w+ \d+, \d{4}, \d+:\d\d"))
        expect(read.locator(".problem")).to_have_count(0)
        page.goto(f"{server.address}/#/sign/c4")
        page.get_by_role("button", name="Take the signature back").tap()
        page.get_by_label("Why is it taken back?").fill("31 over 7")
        page.get_by_label("Your initials").fill("EK")
        page.get_by_role("button", name="Take it back").tap()
        expect(page.locator("placing-page")).to_be_visible()
        page.goto(link)
        expect(read.locator(".problem")).to_have_text(
            re.compile("Taken back since, .*: 31 over 7 .initials EK.. This is not the card that holds now.")
        )
        expect(read.locator(".fits")).to_be_visible()
    finally:
        for each in (steward, stranger):
            each.close()
    assert steward.problems == stranger.problems == []


# A browser that reads codes, which Chromium on Linux does not: what is in sight of its camera is what the test says.
CAMERA = """
window.stopped = 0;
window.BarcodeDetector = class {
    async detect(video) {
        return video.srcObject === window.picture && window.inSight ? [{ rawValue: window.inSight }] : [];
    }
};
navigator.mediaDevices.getUserMedia = async () => {
    window.picture = document.createElement("canvas").captureStream();
    window.picture.getTracks()[0].stop = () => { window.stopped += 1; };
    return window.picture;
};
"""


def decoded(page: Page, path: Path) -> str:
    """What another program reads from a picture of the whole screen."""
    expect(page.locator(".qr")).to_be_visible()
    page.screenshot(path=path)
    (code,) = zxingcpp.read_barcodes(np.array(Image.open(path).convert("L")))
    return str(code.text)
