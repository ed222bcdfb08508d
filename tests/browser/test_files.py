"""Class files on the phone: handed on, taken up on another phone, refused where they cannot be relied on."""

from __future__ import annotations

import copy
import json
import re
from pathlib import Path
from typing import Any

from playwright.sync_api import expect

from nearside.show.classfile import checked_class_file
from nearside.show.standards import shipped_keys, shipped_standard
from nearside.show.strict_json import Refused
from tests.browser.phone import Phone, linked
from tests.browser.served import Served
from tests.browser.test_alone import begin_class, class_file, open_without_server, sign, to_placing

EXAMPLES = Path(__file__).parents[2] / "examples"
SHOULDER = "long, sloping shoulder"
TOPLINE = "short, strong topline"


def give(phone: Phone, *file: str | bytes) -> None:
    """Choose a file on the page that opens one."""
    (body,) = file
    content = body.encode() if isinstance(body, str) else body
    phone.page.get_by_label("A class file").set_input_files(
        {"name": "class.txt", "mimeType": "text/plain", "buffer": content}
    )


def test_a_class_goes_on_from_phone_to_phone_by_file_and_what_cannot_be_used_is_refused_in_a_line(
    phone: Phone, other: Phone, server: Served, tmp_path: Path
) -> None:
    other.page.goto(f"{server.address}/")
    other.page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    # A share sheet, as a phone has one.
    phone.before_the_page(
        """navigator.canShare = ({ files }) => files.length === 1;
        window.shared = new Promise((done) => {
            navigator.share = async ({ files: [file] }) => done([file.name, file.type, await file.text()]);
        });"""
    )
    open_without_server(phone, server)
    begin_class(phone, "4 8")
    phone.page.get_by_role("button", name="Make the class").tap()
    phone.view("Profile").tap()
    phone.end(SHOULDER).tap()
    phone.next.tap()
    to_placing(phone)
    phone.page.get_by_role("link", name="Class file").tap()
    name, kind, text = phone.page.evaluate("window.shared")
    assert (name, kind) == ("on-this-phone-stock-type-mares-aged-judge.txt", "text/plain")
    checked_class_file(json.loads(text))

    # The other phone, which has none of it.
    page = other.page
    page.get_by_role("button", name="A class of your own on this phone").tap()
    page.get_by_role("button", name="Back").tap()
    page.get_by_role("button", name="Open a class file").tap()
    trouble = page.get_by_role("alert").filter(has_text=re.compile("."))
    for wrong, said in [
        (text[:-40], "This is no class file, or it is damaged: it is not JSON."),
        ("{}", "This is no class file: its format is not nearside-class/1."),
        (text.replace('"degree":1', '"degree":7'), "notes[0].degree must be one of -3, -2, -1, null, 1, 2, 3"),
        (text.replace('"stock-type"', '"no-type"', 1).replace('"nearside-standard/1"', '"x"'), "class.standard.format"),
    ]:
        give(other, wrong)
        expect(trouble).to_contain_text(said)
    assert other.stored("notes") == []
    give(other, text)
    other.expect_horse("4")
    other.view("Profile").tap()
    other.expect_degree(SHOULDER, 1)
    other.end(TOPLINE).tap()
    page.get_by_role("button", name="All classes").tap()
    expect(page.locator("classes-page li")).to_have_count(1)
    noted = len(other.stored("notes"))
    page.get_by_role("button", name="Open a class file").tap()
    give(other, text)
    expect(page.get_by_text("Nothing new: all of it was here already.").first).to_be_visible()
    other.view("Profile").tap()
    other.expect_degree(TOPLINE, 1)
    assert len(other.stored("notes")) == noted
    to_placing(other)
    back = class_file(other, tmp_path / "back.json").read_text()

    # Its notes under another title: they have their class already.
    page.get_by_role("button", name="All classes").first.tap()
    page.get_by_role("button", name="Open a class file").tap()
    renamed = text.replace("Stock type mares, aged", "Another class")
    give(other, renamed)
    expect(trouble).to_have_text("This class is already in 1, Stock type mares, aged.")
    assert len(other.stored("notes")) == noted
    page.get_by_role("button", name="Back").tap()

    # Another class that goes by the same id, as two shows may have: a class of its own.
    theirs = json.dumps(json.loads(renamed) | {"notes": [note("theirs", "order", card="judge", numbers=["8", "4"])]})
    for times in (1, 2):
        page.get_by_role("button", name="Open a class file").tap()
        give(other, theirs)
        expect(page.get_by_role("heading", name=re.compile("Another class"))).to_be_visible()
        page.get_by_role("button", name="All classes").tap()
        expect(page.locator("classes-page li"), f"opened {times} times").to_have_count(2)

    # And back again: the first phone goes on with what the second added.
    page = phone.page
    page.get_by_role("button", name="All classes").tap()
    page.get_by_role("button", name="Open a class file").tap()
    give(phone, back)
    phone.expect_horse("4")
    phone.view("Profile").tap()
    phone.expect_degree(TOPLINE, 1)
    phone.expect_degree(SHOULDER, 1)

    # Signed, the card takes nothing in, not even before it is read from the disk; what it holds already is no news.
    to_placing(phone)
    sign(phone, "4 8")
    phone.expect_saved("^Saved here$")
    kept = {each["id"]: each["note"] for each in phone.stored("notes")}
    newer = note("late", "mark", card="judge", number="8", trait="shoulder", view="profile", degree=2)
    page.goto(f"{server.address}/#/bring")
    page.reload()
    give(phone, with_notes(back, newer))
    trouble = page.get_by_role("alert").filter(has_text=re.compile("."))
    expect(trouble).to_have_text(re.compile("this card is shut. To change it, take the signature back"))
    (of_class,) = {each["class"] for each in kept.values()}
    assert "this card is shut" in page.evaluate(BRING_IN, [of_class, {**newer, "class": of_class}])
    assert {each["id"] for each in phone.stored("notes")} == kept.keys()
    give(phone, back)
    expect(page.get_by_text("Nothing new: all of it was here already.").first).to_be_visible()
    # Unless the signature comes with it, and is taken back there.
    (signed,) = (each for each in kept.values() if each["kind"] == "sign")
    signature = {key: value for key, value in signed.items() if key != "class"}
    taken_back = note("undone", "sign", card="judge", numbers=None, reason="too soon")
    taken_back |= {"at": signed["at"] + 1, "replaces": [signed["id"]]}
    page.get_by_role("button", name="All classes").tap()
    page.get_by_role("button", name="Open a class file").tap()
    give(phone, with_notes(back, newer, signature, taken_back))
    phone.view("Profile").tap()
    phone.horse("8").tap()
    phone.expect_degree(SHOULDER, 2)
    expect(phone.end(SHOULDER)).to_be_enabled()


# Past the page that asks first; answers with what the notebook says.
BRING_IN = linked("""async ([ofClass, note]) => {
    const { session } = await import("/state/session.js");
    return session.notebook.bringIn(ofClass, [note]).then(() => "", (error) => error.message);
}""")


def with_notes(file: str, *notes: dict[str, Any]) -> str:
    """The class file with notes more."""
    whole = json.loads(file)
    return json.dumps({**whole, "notes": [*whole["notes"], *notes]})


def test_a_card_goes_on_by_file_on_another_phone_of_the_seat_with_the_office_away_and_is_kept_there_once(
    phone: Phone, other: Phone, server: Served, tmp_path: Path
) -> None:
    phone.join()
    other.join()
    phone.open_class()
    server.kill()
    phone.end(SHOULDER).tap()
    phone.end(TOPLINE).tap()
    phone.expect_saved("Saved here, 2 to send")
    to_placing(phone)
    text = class_file(phone, tmp_path / "card.json").read_text()

    page = other.page
    page.get_by_role("button", name="Bring in a class").tap()
    give(other, text)
    page.get_by_role("button", name="Bring it into C4, Stock type mares, aged").tap()
    other.view("Profile").tap()
    other.expect_degree(TOPLINE, 1)
    other.end(TOPLINE).tap()
    other.expect_saved("Saved here, 3 to send")
    server.start()
    for each in (phone, other):
        each.expect_saved("At the office")
    notes = server.notes_of("judge")
    assert sorted(each["trait"] for each in notes) == ["shoulder", "topline", "topline"]
    page = phone.page
    page.get_by_role("button", name="‹ Ring").tap()
    phone.expect_degree(TOPLINE, 2)

    # An address of one's own classes, opened at a show by the phone's "back", makes nothing there.
    page.goto(f"{server.address}/#/make/c4")
    expect(page.get_by_role("button", name="Bring in a class")).to_be_visible()
    expect(page.get_by_role("button", name="Keep the changes")).to_have_count(0)


VALUES: list[Any] = [None, "", "12", 7, -3, True, [], ["12", "12"], {}, "LEFT OUT", "ADDED"]


def files() -> list[Any]:
    """Class files, each with one thing in it changed, left out or added; many of them can't be used."""
    made = []
    for path in sorted(EXAMPLES.glob("[0-9]*.json")):
        whole = json.loads(path.read_text())
        kinds = {note["kind"]: note for note in whole["notes"]}
        small = {**whole, "notes": list(kinds.values())}
        made += [whole, small]
    small = copy.deepcopy(small)
    small["class"]["standard"] = OWN_STANDARD
    small["entries"] = small["entries"][:2]
    small["notes"] = [*EVERY_KIND]
    made.append(small)
    for place in places(small):
        for value in VALUES:
            made.append(changed(small, place, value))
    return made


def places(value: Any, at: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Every place in a value; of a long list the first only, but of the notes all."""
    below: list[tuple[Any, Any]] = []
    if isinstance(value, dict):
        below = list(value.items())
    elif isinstance(value, list):
        below = list(enumerate(value))[: None if at == ("notes",) else 1]
    return [found for key, each in below for found in [(*at, key), *places(each, (*at, key))]]


def changed(whole: Any, place: tuple[Any, ...], value: Any) -> Any:
    whole = copy.deepcopy(whole)
    holder = whole
    for step in place[:-1]:
        holder = holder[step]
    if value == "ADDED" and isinstance(holder[place[-1]], dict):
        holder[place[-1]]["more"] = 1
    elif value == "LEFT OUT":
        del holder[place[-1]]
    else:
        holder[place[-1]] = value
    return whole


def note(note_id: str, kind: str, **fields: Any) -> dict[str, Any]:
    return {"id": note_id, "kind": kind, "by": "judge", "at": 1764061200000, "replaces": [], **fields}


OWN_STANDARD = {
    "format": "nearside-standard/1",
    "key": "own",
    "title": "Own",
    "views": ["profile", "front"],
    "degrees": [1, 2, 4],
    "criteria": [
        {
            "key": key,
            "title": key,
            "traits": [
                {
                    "key": trait,
                    "title": trait,
                    "views": ["profile"],
                    "weight": 2,
                    "good": "good",
                    "faulty": "faulty",
                    "more": "more",
                    "sexes": ["mare"],
                    "first": True,
                }
            ],
        }
        for key, trait in (("balance", "topline"), ("structure", "knees"))
    ],
}
EVERY_KIND = [
    note("a", "mark", card="judge", number="7", trait="topline", view="profile", degree=2),
    note("b", "looked", card="judge", number="7", view="front", done=True),
    note("c", "remark", card="judge", number="7", text="calm", tag=None),
    note("d", "over", card="judge", pair=["7", "12"], winner="12"),
    note("e", "ruling", card="judge", number="7", outcome="excused", reason="unruly"),
    note("f", "order", card="judge", numbers=["12", "7"]),
    note("g", "sign", card="judge", numbers=["12", "7"]),
    note("h", "lameness", card="judge", number="7", grade=3, gait="trot"),
    note("i", "lameness", observer="steward", number="7", grade=3),
    note("j", "presence", number="7", state="present"),
    note("k", "entry", number="T1", identification="bay", now="12", reason="could not be read"),
    note("l", "entry", number="31", identification="grey", now=None),
]


def refusal_of(file: Any) -> str:
    """What the server says of it, nothing where it takes it."""
    try:
        checked_class_file(file)
    except Refused as refused:
        return str(refused)
    return ""


READ = linked("""async ([given, standards]) => {
    const { readClassFile } = await import("/state/classfile.js");
    const shapes = await (await fetch("/files/class-file.json")).json();
    return JSON.parse(given).map((file) => {
        try {
            readClassFile(JSON.stringify(file), standards, shapes);
            return "";
        } catch (error) {
            return error.message;
        }
    });
}""")


def test_the_phone_takes_the_class_files_that_the_server_takes_and_refuses_the_others_with_a_line(
    phone: Phone, server: Served
) -> None:
    phone.page.goto(f"{server.address}/")
    given = files()
    said = phone.page.evaluate(READ, [json.dumps(given), [shipped_standard(key) for key in shipped_keys()]])
    taken = 0
    for file, line in zip(given, said, strict=True):
        refusal = refusal_of(file)
        assert (line == "") == (refusal == ""), (line, refusal)
        assert "\n" not in line
        taken += line == ""
    assert 50 < taken < len(given) - 500
