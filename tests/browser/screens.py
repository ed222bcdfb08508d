"""Every screen of the page and how to get there: ONE list, for what must hold on each of them and for looking at them.

A screen that is new on the page is a new line in `SCREENS`. Those that change what the phone holds stand at the end.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any, NamedTuple

from playwright.sync_api import Page, Playwright, Route, expect

from tests.browser.office import office_of
from tests.browser.phone import Phone, linked
from tests.browser.served import CLASSES, Classes, Served, note, open_show

LONG_TITLE = (
    "Registered half-bred in-hand mares and geldings of three years and over, shown by junior handlers, section B"
)
LONG_MARKS = "liver chestnut, irregular star joined to a broad stripe and snip, both hind legs white to above the hock"
MANY = [str(500 + place) for place in range(30)]

SHOW: Classes = [
    *CLASSES,
    ("c6", "Stock type colts, weanling", "stock-type", ["stallion"], []),
    ("c7", "Stock type mares, thirty in line", "stock-type", ["mare"], [(number, "bay, star") for number in MANY]),
    (
        "half-bred",
        LONG_TITLE,
        "hunter-type",
        ["mare", "gelding"],
        [("1234AB", LONG_MARKS), ("1234AC", LONG_MARKS), ("W7", "")],
    ),
]


class Screen(NamedTuple):
    name: str
    address: str
    """Where on the page, as in its address."""
    shown: str
    """A selector of what is there once it is open."""
    then: Callable[[Page], None] | None = None
    """What to tap from there."""
    role: str = "judge"
    """Whose seat sees it."""


RING = "ring-page horse-bar strong"


def tap(name: str) -> Callable[[Page], None]:
    return lambda page: page.get_by_role("button", name=re.compile(name)).first.tap()


def number_pad(page: Page) -> None:
    page.get_by_role("button", name="No. type a number").tap()
    expect(page.locator("number-pad dialog")).to_be_visible()


def stranger(page: Page) -> None:
    number_pad(page)
    page.locator("#pad-number").fill("88")


def horse_pad(page: Page) -> None:
    tap("^Note on")(page)
    expect(page.locator("horse-pad dialog")).to_be_visible()
    for part in page.locator("horse-pad details").all():
        part.evaluate("(each) => { each.open = true; }")


def call_scale(page: Page) -> None:
    """The whole scale, and how it was seen."""
    if page.get_by_role("button", name="The whole scale").count() > 0:
        tap("^The whole scale")(page)
    page.locator("call-page details").evaluate("(each) => { each.open = true; }")


def call_written(page: Page) -> None:
    tap("^The veterinarian says")(page)
    tap("^Plain at the walk")(page)
    page.locator("call-page details").evaluate("(each) => { each.open = true; }")


def gate_wrong(page: Page) -> None:
    tap("^More about 58")(page)
    tap("^Wrong number$")(page)
    page.get_by_label("What is noted of 58").fill("59")


def first_pair(page: Page) -> None:
    page.locator(".pair > button").first.tap()
    expect(page.locator(".why")).to_be_visible()


def first_reason(page: Page) -> None:
    page.locator(".spoken > li > button").first.tap()


def another_seat(page: Page) -> None:
    tap("Join with another code")(page)
    expect(page.get_by_role("heading", name=re.compile("^(Another seat|Take another)"))).to_be_visible()


def class_of_one_s_own(page: Page) -> None:
    tap("^A class of your own on this phone")(page)
    expect(page.locator("make-class form")).to_be_visible()
    for part in page.locator("make-class details").all():
        part.evaluate("(each) => { each.open = true; }")
    page.get_by_label("Numbers, with anything between them").fill("7, 12, 1234567")


def practice(page: Page) -> None:
    another_seat(page)
    tap("^Try it: a practice class")(page)
    expect(page.locator(RING)).to_be_visible()


def away(page: Page) -> None:
    """No office: one more mark waits."""
    page.route("**/api/**", lambda route: route.abort())
    page.locator(".trait > .good").last.tap()
    expect(page.locator("saved-state button")).to_have_text(re.compile("^Saved here, "))


def why_away(page: Page) -> None:
    page.route("**/api/**", lambda route: route.abort())
    tap("^Try now")(page)
    expect(page.get_by_text("Why not now")).to_be_visible()


def refused(page: Page) -> None:
    """The office refuses what waits, and one more mark."""

    def answer(route: Route) -> None:
        if route.request.method != "POST":
            route.abort()
            return
        notes = json.loads(route.request.post_data or "{}")["notes"]
        receipts = [{"id": each["id"], "status": "refused", "reason": "The card is signed."} for each in notes]
        route.fulfill(json={"receipts": receipts})

    page.route("**/api/notes**", answer)
    page.locator(".trait > .good").first.tap()
    expect(page.locator("saved-state button")).to_have_text(re.compile("refused"))
    page.locator("saved-state button").tap()
    expect(page.locator("saving-page .refused").first).to_be_visible()


def picked(page: Page) -> None:
    page.locator(".own > li > button").nth(1).tap()


def typed(page: Page) -> None:
    tap("^Type it")(page)
    page.get_by_label("Your order, best first").fill("12 7 99 7")


def own_order(page: Page) -> None:
    page.locator(".own > li > button").nth(3).tap()
    tap("^Up: ")(page)
    tap("^Up: ")(page)
    tap("Placing")(page)
    expect(page.locator("placing-page .against li").first).to_be_attached()


def signed(page: Page) -> None:
    tap("^Sign this card")(page)
    tap("^Yes, sign")(page)
    expect(page.locator("card-page .digits")).to_be_visible()


def thirty_signed(page: Page) -> None:
    tap("^Take the suggestion")(page)
    tap("Placing")(page)
    tap("^Sign$")(page)
    signed(page)


def champion_chosen(page: Page) -> None:
    """Somebody else than those who came back, so that it is warned of."""
    for part in page.locator("champions-page details").all():
        part.evaluate("(each) => { each.open = true; }")
    page.get_by_label("Number", exact=True).fill("31")
    tap("^Take it as champion")(page)
    expect(page.locator(".read-back-it .warned")).to_be_visible()


OPEN_LINK = linked("""async () => {
    const { session } = await import("/state/session.js");
    const { handedOver } = await import("/state/signing.js");
    const { linkOf } = await import("/state/cardlink.js");
    const { signed } = handedOver(session.notebook.card("c7"));
    location.hash = new URL(linkOf(signed, location.origin)).hash;
}""")


def read_there(page: Page) -> None:
    """The card as another device reads it."""
    page.evaluate(OPEN_LINK)
    expect(page.locator("read-page .digits")).to_be_visible()


PLACING = "placing-page .order .horse"

# Before a show is joined.
WELCOME = Screen("welcome", "", "join-page form")
OWN_CLASS = Screen("make-class", "", "join-page form", class_of_one_s_own)

SCREENS = [
    WELCOME,
    OWN_CLASS,
    Screen("classes", "classes", "classes-page li"),
    Screen("settings", "settings", "settings-page"),
    Screen("how", "how", "how-page .scores"),
    Screen("saving", "saving", "saving-page"),
    Screen("bring-in", "bring", "bring-in h1"),
    Screen("print", "print", "print-page h1"),
    Screen("ring", "ring/c4/7/profile", RING),
    Screen("ring-many-traits", "ring/c4/7/profile", RING, tap("more traits")),
    Screen("ring-disputed", "ring/c4/31/front", "trait-lines .disputed"),
    Screen("ring-absent", "ring/c4/103/profile", ".not-here"),
    Screen("ring-lame", "ring/c4/58/trot", "horse-bar .word-on"),
    Screen("ring-empty", "ring/c6", "ring-page .empty"),
    Screen("ring-thirty", "ring/c7/515/front", RING),
    Screen("ring-long", "ring/half-bred/1234AB/profile", RING),
    Screen("ring-going", "ring/c4/7/going", RING),
    Screen("line", "line/c4/7/profile", "line-page table"),
    Screen("line-order", "line/c4/7/profile", "line-page table", tap("^Line-up$")),
    Screen("line-count", "line/c4/7/profile", "line-page table", tap("^Head count$")),
    Screen("line-thirty", "line/c7/515/going", "line-page table"),
    Screen("number-pad", "ring/c4/7/profile", RING, number_pad),
    Screen("number-pad-stranger", "ring/c4/7/profile", RING, stranger),
    Screen("call", "call/c4/40", "call-page .called", tap("^Excused")),
    Screen("call-scale", "call/c4/58", "call-page .pick", call_scale),
    Screen("horse-pad", "ring/c4/58/profile", RING, horse_pad),
    Screen("placing", "placing/c4", PLACING),
    Screen("placing-pair", "placing/c4", PLACING, first_pair),
    Screen("placing-empty", "placing/c6", "placing-page main p"),
    Screen("placing-thirty", "placing/c7", PLACING),
    Screen("placing-long", "placing/half-bred", PLACING, first_pair),
    Screen("compare", "compare/c4//profile/7-12", "compare-page .both"),
    Screen("compare-long", "compare/half-bred//profile/1234AB-1234AC", "compare-page .both"),
    Screen("pair", "pair/c4///7-12", "pair-page .picture"),
    Screen("reasons", "reasons/c4", "reasons-page .spoken li", first_reason),
    Screen("read", "classes", "classes-page h1", tap("^Read a signed card")),
    Screen("order", "order/c4", "order-page .own li", picked),
    Screen("order-typed", "order/c4", "order-page .own li", typed),
    Screen("order-long", "order/half-bred", "order-page .own li", picked),
    Screen("another-seat", "saving", "saving-page", another_seat),
    Screen("ring-away", "ring/c4/7/rear", RING, away),
    Screen("saving-away", "saving", "saving-page", why_away),
    Screen("saving-refused", "ring/c4/7/head", RING, refused),
    Screen("sign-without-order", "sign/c4", "sign-page .points li"),
    Screen("placing-own", "order/c4", "order-page .own li", own_order),
    Screen("sign", "sign/c4", "sign-page .points li"),
    Screen("sign-asked", "sign/c4", "sign-page .points li", tap("^Sign this card")),
    Screen("card", "sign/c4", "sign-page .points li", signed),
    Screen("card-qr", "sign/c4", "card-page .digits", tap("^Show QR")),
    Screen("card-taken-back", "sign/c4", "card-page .digits", tap("^Take the signature back")),
    Screen("card-thirty", "order/c7", "order-page .own li", thirty_signed),
    Screen("card-thirty-qr", "sign/c7", "card-page .digits", tap("^Show QR")),
    Screen("read-card", "sign/c7", "card-page .digits", read_there),
    Screen("slips", "slips/c4", "slips-page .slip"),
    Screen("calls", "calls", "calls-page .called-horse"),
    Screen("champions", "champions", "champions-page .contender"),
    Screen("champions-chosen", "champions", "champions-page .contender", champion_chosen),
    Screen("ring-shut", "ring/c4/7/profile", RING),
    Screen("call-shut", "call/c4/58", "call-page .horse"),
    Screen("practice", "saving", "saving-page", practice),
    Screen("practice-classes", "classes", "classes-page li"),
    Screen("gate", "gate/c4", "gate-page .at-gate li", role="steward"),
    Screen("gate-long", "gate/half-bred", "gate-page .at-gate li", role="steward"),
    Screen("gate-thirty", "gate/c7", "gate-page .at-gate li", role="steward"),
    Screen("gate-more", "gate/c4", "gate-page .at-gate li", tap("^More about 58"), role="steward"),
    Screen("gate-wrong", "gate/c4", "gate-page .at-gate li", gate_wrong, role="steward"),
    Screen("gate-late", "gate/c4", "gate-page .at-gate li", tap("^Late entry"), role="steward"),
    Screen("call-gate", "call/c4/12", "call-page .sources", tap("^I ask the judge"), role="steward"),
    Screen("call-gate-written", "call/half-bred/1234AB", "call-page .sources", call_written, role="steward"),
    Screen("gate-calls", "gate/half-bred", "gate-page .at-gate li", tap("^Calls"), role="steward"),
]


class Stage:
    """A show with something of everything, and a phone joined to it as its judge."""

    def __init__(self, playwright: Playwright, folder: Path) -> None:
        self.server = Served(folder / "data", open_show(folder / "data", SHOW))
        self.phone = Phone(playwright, folder / "phone", self.server)
        self.server.write("judge", *_notes())
        self.server.write("scribe", note("d1", kind="mark", number="31", trait="chest", view="front", degree=-2))
        self.server.write(
            "steward",
            note("g1", kind="presence", number="103", state="absent"),
            *(note(f"in{number}", kind="presence", number=number, state="present") for number in ("7", "12", "31")),
            note("c1", kind="lameness", card=None, observer="steward", number="12", grade=1),
            note("c2", kind="lameness", card=None, observer="veterinarian", number="40", grade=4, gait="walk"),
        )
        with office_of(self.server) as office:
            office.ask("championship", id=None, title="Champion mare", classes=["c4", "c7"], feeds=[], judge="judge-a")
        self.page.goto(f"{self.server.address}/")
        self._role = ""

    @property
    def page(self) -> Page:
        return self.phone.page

    def close(self) -> None:
        self.phone.close()
        self.server.kill()

    def open(self, screen: Screen) -> None:
        """Go to a screen as if from nowhere: whatever was open or in the way before is gone."""
        page = self.page
        page.unroute_all()
        if screen in (WELCOME, OWN_CLASS):
            expect(page.locator(screen.shown)).to_be_visible()
            if screen.then is not None:
                screen.then(page)
            return
        if screen.role != self._role:
            self._join(screen.role)
        if page.locator("join-page").count() > 0:
            tap("^Stay ")(page)
        if page.locator("[data-state=refused]").count() > 0:
            self._put_aside()
        page.evaluate("() => { location.hash = '#/classes'; }")
        expect(page.locator("classes-page h1")).to_be_visible()
        page.evaluate("(to) => { location.hash = `#/${to}`; }", screen.address)
        expect(page.locator(screen.shown).first).to_be_visible()
        if screen.then is not None:
            screen.then(page)
        page.evaluate("() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")

    def _join(self, role: str) -> None:
        self._role = role
        self.page.goto("about:blank")
        self.page.goto(f"{self.server.address}/#join={self.server.codes[role]}")
        expect(self.page.get_by_role("heading", name=re.compile("^(Mill Meadow|Take another seat)"))).to_be_visible()
        if self.page.get_by_role("button", name="Join with this code").count() > 0:
            tap("^Join with this code")(self.page)
        expect(self.page.get_by_text(re.compile("^Ready for the day: "))).to_be_visible()
        self.phone.expect_saved("At the office")

    def _put_aside(self) -> None:
        self.page.evaluate("() => { location.hash = '#/saving'; }")
        aside = self.page.get_by_role("button", name=re.compile("^Put (all )?aside"))
        for left in range(aside.count(), 0, -1):
            aside.first.tap()
            expect(aside).to_have_count(left - 1)


def unfold(name: str, *fields: tuple[str, str]) -> Callable[[Page], None]:
    """Press what unfolds something, and fill in fields by their label."""

    def then(page: Page) -> None:
        tap(name)(page)
        for label, words in fields:
            page.get_by_label(label).first.fill(words)

    return then


def pasted(page: Page) -> None:
    page.get_by_label("Pasted rows").fill(
        "No,Marks,Horse\n300,bay,Windmill\nthree hundred,grey,Lantern with a rather long name\n"
    )
    tap("^Look at the rows")(page)
    expect(page.locator("tr.bad")).to_be_visible()


def refused_entry(page: Page) -> None:
    page.get_by_label("Number", exact=True).fill("12")
    tap("^Enter$")(page)
    expect(page.locator(".trouble")).to_be_visible()


def asked_to_merge(page: Page) -> None:
    tap("^Merge it")(page)
    expect(page.locator(".asked")).to_be_visible()


def typed_card(page: Page) -> None:
    page.get_by_role("textbox", name="1st").fill("12 31 7")
    tap("^Put it there")(page)
    expect(page.locator(".order li")).to_have_count(3)


def read_back(page: Page) -> None:
    typed_card(page)
    tap("^Read it back")(page)
    expect(page.locator(".order.large")).to_be_visible()


def whole_list(page: Page) -> None:
    tap("^From the last place")(page)
    tap("^Whole list")(page)
    expect(page.locator(".list")).to_be_visible()


def out_of_reach(page: Page) -> None:
    page.route("**/api/**", lambda route: route.abort())
    tap("^Call to the gate")(page)
    expect(page.locator(".now.trouble")).to_be_visible()


# Of the show table, at `/office`; before somebody sat down there, the door.
DOOR = Screen("table-door", "", "door-page form")
TABLE_SCREENS = [
    DOOR,
    Screen("table-day", "day", "day-page .running li"),
    Screen("table-menu", "day", "day-page .running li", tap("^Menu")),
    Screen("table-classes", "classes", "classes-page .rows li"),
    Screen("table-class", "class/c4", "class-page .whole"),
    Screen("table-class-asked", "class/half-bred", "class-page .whole", asked_to_merge),
    Screen("table-entries", "entries/half-bred", "entries-page .rows li", unfold("^1234AB: change")),
    Screen("table-entries-refused", "entries/c4", "entries-page .rows li", refused_entry),
    Screen("table-pasted", "entries/c4", "entries-page .rows li", pasted),
    Screen("table-paper", "paper/c4", "paper-page .line", typed_card),
    Screen("table-paper-read-back", "paper/c4", "paper-page .line", read_back),
    Screen("table-championships", "championships", "championships-page form"),
    Screen("table-seats", "seats", "seats-page .rows li", unfold("^QR and changes: Judge A")),
    Screen("table-codes", "codes", "codes-page .slips li"),
    Screen("table-devices", "devices", "devices-page .rows li", tap("^Turn away")),
    Screen("table-announcer", "announcer", "announcer-page .group"),
    Screen("table-announcer-class", "announcer/c5", "announcer-page .ways"),
    Screen("table-announcer-one", "announcer/c5", "announcer-page .ways", tap("^From the last place")),
    Screen("table-announcer-whole", "announcer/c5", "announcer-page .ways", whole_list),
    Screen("table-results", "results", "results-page .sheet"),
    Screen("table-champions", "champions", "champions-page .contender", champion_chosen),
    Screen("table-slips", "slips", "slips-page .rows li"),
    Screen("table-slips-class", "slips/c5", "slips-page .slip"),
    Screen("table-calls", "calls", "calls-page .called-horse"),
    Screen("table-away", "day", "day-page .running li", out_of_reach),
]


class TableStage:
    """The same show at its table, in a browser that is touched."""

    def __init__(self, playwright: Playwright, folder: Path) -> None:
        self.server = Served(folder / "data", open_show(folder / "data", SHOW))
        self.phone = Phone(playwright, folder / "table", self.server)
        self.server.write("steward", note("g1", kind="presence", number="103", state="absent"))
        self._judge()
        with self.server.device("office") as device:
            for class_id, stage in (("c4", "ring"), ("c5", "gate")):
                device.post("/api/office/stage", json={"class": class_id, "stage": stage}).raise_for_status()
            for name, role in (("Judge B", "judge"), ("Trainee of the long afternoon classes", "trainee")):
                seat = {"id": None, "role": role, "name": name, "judge": "judge-a" if role == "trainee" else None}
                device.post("/api/office/seat", json=seat).raise_for_status()
        self.page.goto(f"{self.server.address}/office")

    def _judge(self) -> None:
        """One class judged to its end: signed, its slips agreed to, a call, a championship of it."""
        of: dict[str, Any] = {"class": "c5", "number": "22"}
        with office_of(self.server) as office, self.server.device("judge") as judge:
            office.change_class("c5", judges=["judge-a"])
            names = {"horse": "Silver Lining of the Upper Valley", "exhibitor": "Harriet Longfellow-Ashworth"}
            office.ask("entry", **of, **names, identification=LONG_MARKS, division=None)
            office.ask("championship", id=None, title="Champion", classes=["c5", "c7"], feeds=[], judge="judge-a")
            vet = note("v", kind="lameness", card=None, observer="veterinarian", grade=2, gait="trot", **of)
            self.server.write("steward", vet)
            self.server.write("judge", note("m", kind="mark", trait="topline", view="profile", degree=2, **of))
            signed = note("s", kind="sign", numbers=["22", "21"], reason=None, **{"class": "c5"})
            self.server.write("judge", signed)
            judge.post("/api/classes/c5/agree", json={"study": None, "slips": True}).raise_for_status()

    @property
    def page(self) -> Page:
        return self.phone.page

    def close(self) -> None:
        self.phone.close()
        self.server.kill()

    def open(self, screen: Screen) -> None:
        page = self.page
        page.unroute_all()
        if screen is not DOOR:
            if page.locator("door-page").count() > 0:
                page.get_by_label("Code of the office").fill(self.server.codes["office"])
                tap("^Sit down here")(page)
                expect(page.get_by_text("Up to date")).to_be_visible()
            page.goto("about:blank")
            page.goto(f"{self.server.address}/office#/{screen.address}")
        expect(page.locator(screen.shown).first).to_be_visible()
        if screen.then is not None:
            screen.then(page)
        page.evaluate("() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")


def _notes() -> list[dict[str, Any]]:
    """Marks on most horses of most classes, a lameness call, a direct call, remarks."""
    notes: list[dict[str, Any]] = []

    def write(**fields: Any) -> None:
        notes.append(note(f"n{len(notes)}", **fields))

    marks = {
        "7": {"topline": 2, "neck": 1, "calf-kneed": -2},
        "12": {"topline": 1, "shoulder": 3},
        "31": {"croup": -1, "girth": 2},
        "40": {"croup": -1, "girth": 2},
        "58": {"topline": -3},
    }
    for number, traits in marks.items():
        for trait, degree in traits.items():
            write(kind="mark", number=number, trait=trait, view="profile", degree=degree)
        write(kind="looked", number=number, view="profile", done=True)
    write(kind="mark", number="31", trait="chest", view="front", degree=1)
    write(kind="over", pair=["31", "40"], winner="40")
    write(kind="lameness", number="58", grade=1, gait=None, limb=None, circumstance=None, text=None)
    write(kind="remark", number="58", text="wire scar on the off fore", tag="blemish")
    for place, number in enumerate(MANY):
        for view, trait in (("profile", "topline"), ("front", "chest"), ("rear", "gaskin")):
            degree = place % 3 + 1
            write(kind="mark", number=number, trait=trait, view=view, degree=degree, **{"class": "c7"})
    for number, degree in (("1234AB", 2), ("1234AC", 1)):
        write(kind="mark", number=number, trait="shoulder", view="profile", degree=degree, **{"class": "half-bred"})
    return notes
