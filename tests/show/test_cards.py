"""Reading a card back: the placing for its own seats, the class file with what the asking seat may read."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from nearside.engine.placing import place
from nearside.show.cards import SEALED, class_file_for, placing_for
from nearside.show.classfile import read_class_file
from nearside.show.refusals import Refusal
from nearside.show.standards import shipped_standard, words
from tests.show.ground import IDS, Ground, class_file, note, small_show

CARDS = ("judge-a", "judge-b", "trainee-a", "trainee-b", "office", "nobody")


def refusal(ground: Ground, seat: str, card: str | None, *, file: bool, class_id: str = "c1") -> Refusal | None:
    asked = class_file_for if file else placing_for
    try:
        asked(ground.show, ground.show.seats[seat], class_id, card)
    except Refusal as refused:
        return refused
    return None


def write_on_every_card(ground: Ground) -> None:
    for judge in ("judge-a", "judge-b"):
        ground.push(judge, note("mark", judge, number="12"), note("mark", judge, number="7", degree=-1))
    ground.push("trainee-a", note("mark", "trainee-a"))
    ground.push("steward", note("presence", number="30", state="absent"), note("lameness"))


OWN = {
    ("judge-a", "judge-a"),
    ("scribe-a", "judge-a"),
    ("judge-b", "judge-b"),
    ("scribe-b", "judge-b"),
    ("trainee-a", "trainee-a"),
    ("trainee-b", "trainee-b"),
}


def readable(ground: Ground, *, file: bool) -> set[tuple[str, str]]:
    return {(seat, card) for seat in IDS for card in CARDS if refusal(ground, seat, card, file=file) is None}


def test_before_signing_placing_and_file_are_for_the_card_s_own_seats(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        write_on_every_card(ground)
        assert readable(ground, file=False) == OWN
        assert readable(ground, file=True) == OWN


def test_after_all_have_signed_the_office_and_stewards_get_a_file_with_the_signed_order_and_no_mark(
    tmp_path: Path,
) -> None:
    with small_show(tmp_path) as ground:
        write_on_every_card(ground)
        ground.push("judge-a", note("sign", "judge-a", id="a"))
        assert readable(ground, file=True) == OWN
        ground.push("judge-b", note("sign", "judge-b", id="b"))
        open_now = {(seat, judge) for seat in ("office", "steward", "announcer") for judge in ("judge-a", "judge-b")}
        assert readable(ground, file=True) == OWN | open_now
        assert readable(ground, file=False) == OWN
        file = class_file_for(ground.show, ground.show.seats["office"], "c1", "judge-a")
        assert {each["kind"] for each in file["notes"]} == {"sign", "presence", "lameness"}
        assert [each["id"] for each in file["notes"] if each["kind"] == "sign"] == ["a"]


def test_a_refusal_is_the_same_whether_the_card_is_signed_empty_or_not_there(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        write_on_every_card(ground)
        ground.push("judge-b", note("sign", "judge-b"))
        for seat, card in (("judge-a", "judge-b"), ("trainee-a", "judge-b"), ("office", "judge-b"), ("judge-a", "x")):
            for file in (False, True):
                refused = refusal(ground, seat, card, file=file)
                assert refused is not None
                assert (refused.code, refused.sentence, refused.where) == ("not_your_card", SEALED, "card")


def test_a_seat_with_a_card_need_not_name_it_and_one_without_must(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        write_on_every_card(ground)
        show = ground.show
        assert placing_for(show, show.seats["scribe-a"], "c1", None)()["card"] == "judge-a"
        refused = refusal(ground, "office", None, file=False)
        assert refused is not None
        assert refused.code == "card_needed"


def test_a_class_the_show_does_not_have_is_said_so(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        refused = refusal(ground, "judge-a", None, file=True, class_id="c9")
        assert refused is not None
        assert refused.code == "unknown_class"


def test_the_exported_file_is_a_class_file_that_gives_the_same_placing(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        write_on_every_card(ground)
        show, seat = ground.show, ground.show.seats["judge-a"]
        exported = class_file_for(show, seat, "c1", None)
        read, standard = read_class_file(json.dumps(exported).encode())
        assert read == exported
        assert {each.get("card") for each in read["notes"]} == {"judge-a", None}
        assert place(read, standard, words()) == placing_for(show, seat, "c1", None)()
        assert placing_for(show, seat, "c1", None)()["placing"] == ["12", "7"]


def test_a_judge_s_placing_does_not_depend_on_what_another_judge_wrote(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        ground.push("judge-a", note("mark", "judge-a"))
        before = placing_for(ground.show, ground.show.seats["judge-a"], "c1", None)()
        ground.push("judge-b", note("mark", "judge-b", degree=-3), note("over", "judge-b"), note("ruling", "judge-b"))
        assert placing_for(ground.show, ground.show.seats["judge-a"], "c1", None)() == before


@pytest.mark.parametrize("changed", [False, True])
def test_a_shipped_standard_is_exported_by_key_and_one_of_the_class_s_own_whole(tmp_path: Path, changed: bool) -> None:
    file = class_file()
    whole = {**shipped_standard("stock-type"), "key": "own-type"} if changed else dict(shipped_standard("stock-type"))
    file["class"]["standard"] = whole
    with small_show(tmp_path, files=[file]) as ground:
        exported = class_file_for(ground.show, ground.show.seats["judge-a"], "c1", None)
        assert exported["class"]["standard"] == (whole if changed else "stock-type")
