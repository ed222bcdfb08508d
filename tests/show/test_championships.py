"""Championships: who comes back out of released cards, what is named and kept, and what nobody else is told."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import pytest

from nearside.show.championships import (
    NamingAsked,
    championships_for,
    checked_naming,
    named_for,
    plan_naming,
    read_back,
)
from nearside.show.records import Asking, Records
from nearside.show.refusals import Refusal
from tests.show.ground import note
from tests.show.recorded import ROLES, entry, of_class, records, seat

PANEL = ["judge-a", "judge-b", "judge-c"]


def sign(card: str, class_id: str, numbers: str, **more: Any) -> dict[str, Any]:
    return note("sign", card, numbers=numbers.split(), by=card, **{"class": class_id}, **more)


def championship(key: str = "ch1", classes: Sequence[str] = ("c1", "c2"), **fields: Any) -> dict[str, Any]:
    own = {"id": key, "show": "s1", "position": 0, "title": f"Champion {key}", "classes": list(classes), "feeds": []}
    return {**own, "judge": "judge-a", "named": [], **fields}


def show(*notes: dict[str, Any], of: Sequence[dict[str, Any]] | None = None, **fields: Any) -> Records:
    """Two classes of judge-a, six horses each."""
    classes = [of_class("c1"), of_class("c2")] if of is None else of
    entries = [entry(number, each["class"]["id"]) for each in classes for number in ("1", "2", "3", "4", "5", "6")]
    made = fields.pop("championships", None) or [championship(**fields)]
    return records(classes, entries, notes, made)


MARES, FILLIES = sign("judge-a", "c1", "3 1 2"), sign("judge-a", "c2", "5 6 4")


def told(of: Records, who: str = "judge-a") -> dict[str, Any]:
    found: dict[str, Any] = championships_for(of, seat(who))["championships"][0]
    return found


def horses(rows: Sequence[dict[str, Any]] | None) -> list[str] | None:
    return None if rows is None else [f"{each['class']}/{each['number']}" for each in rows]


def asked(champion: str | None, reserve: str | None = None, reason: str | None = None) -> NamingAsked:
    def horse(text: str | None) -> Any:
        return None if text is None else dict(zip(("class", "number"), text.split("/"), strict=True))

    return checked_naming({"champion": horse(champion), "reserve": horse(reserve), "reason": reason})


def name(of: Records, *words: str | None, who: str = "judge-a", key: str = "ch1") -> list[dict[str, Any]]:
    """Name them in these records; the versions there are now."""
    planned = plan_naming(of, seat(who), Asking(who, "d1", 9), key, asked(*words))
    for change in planned.changes:
        assert change.record is not None
        of.championships[key] = change.record
    versions: list[dict[str, Any]] = of.championships[key]["named"]
    return versions


def test_the_firsts_of_the_released_classes_come_back_with_the_judges_own_places() -> None:
    of = show(MARES)
    assert horses(told(of)["contenders"]) == ["c1/3"]
    assert told(of)["waiting"] == ["Mares c2"]
    of = show(MARES, FILLIES)
    assert told(of)["contenders"] == [
        {"class": "c1", "title": "Mares c1", "number": "3", "identification": "bay 3", "placed": 1},
        {"class": "c2", "title": "Mares c2", "number": "5", "identification": "bay 5", "placed": 1},
    ]
    assert (told(of)["waiting"], told(of)["reserve_contenders"], told(of)["champion"]) == ([], None, None)
    assert told(of, "office")["contenders"][0]["horse"] == "Horse 3"


def test_the_second_of_the_champions_class_comes_in_for_reserve() -> None:
    of = show(MARES, FILLIES)
    name(of, "c2/5")
    assert horses(told(of)["reserve_contenders"]) == ["c1/3", "c2/6"]
    assert told(of)["champion"]["number"] == "5"
    # Once 6 is stricken out, 4 stood second.
    of.classes["c2"]["strikes"] = [{"number": "6", "reason": "ineligible"}]
    assert horses(told(of)["reserve_contenders"]) == ["c1/3", "c2/4"]
    # And once the first is, the next comes back as first.
    of.classes["c1"]["strikes"] = [{"number": "3", "reason": "ineligible"}]
    assert [(each["number"], each["placed"]) for each in told(of)["contenders"]] == [("1", 1), ("5", 1)]


def test_every_version_is_kept_and_each_after_the_first_says_why() -> None:
    of = show(MARES, FILLIES)
    name(of, "c2/5", "c1/3")
    with pytest.raises(Refusal, match="say why it changes") as refusal:
        name(of, "c1/3", "c2/5")
    assert refusal.value.where == "reason"
    assert len(of.championships["ch1"]["named"]) == 1
    assert len(name(of, "c2/5", "c1/3")) == 1  # sent twice is named once
    versions = name(of, "c1/3", "c2/5", "read out the wrong way round", who="office")
    first = {"champion": {"class": "c2", "number": "5"}, "reserve": {"class": "c1", "number": "3"}}
    assert versions[0] == {**first, "reason": None, "warned": [], "at": 9, "by": "judge-a"}
    assert (versions[1]["reason"], versions[1]["by"]) == ("read out the wrong way round", "office")
    versions = name(of, None, None, "named before the last class")
    assert [each["champion"] is None for each in versions] == [False, False, True]
    assert (told(of)["champion"], told(of)["versions"]) == (None, 3)


def test_the_reserve_is_added_without_a_reason_and_changed_with_one() -> None:
    of = show(MARES, FILLIES)
    name(of, "c2/5")
    assert len(name(of, "c2/5", "c1/3")) == 2
    for words in (("c2/5", "c2/6"), ("c2/5", None), ("c1/3", None)):
        with pytest.raises(Refusal, match="say why it changes"):
            name(of, *words)
    name(of, "c2/5", None, "the reserve was lame")
    with pytest.raises(Refusal, match="say why it changes"):
        name(of, "c1/3", "c2/6")


def test_what_is_read_back_is_how_it_would_stand_and_is_not_kept() -> None:
    of = show(MARES, FILLIES)
    drafted = read_back(of, seat("judge-a"), "ch1", asked("c2/5", "c1/2"))
    assert of.championships["ch1"]["named"] == []
    assert horses(drafted["reserve_contenders"]) == ["c1/3", "c2/6"]
    name(of, "c2/5", "c1/2")
    assert drafted == {**told(of), "versions": 0}
    assert len(drafted["warnings"]) == 2
    with pytest.raises(Refusal, match="it is the champion"):
        read_back(of, seat("judge-a"), "ch1", asked("c2/5", "c2/5"))
    with pytest.raises(Refusal, match="no such championship"):
        read_back(of, seat("judge-b"), "ch1", asked("c2/5"))
    with pytest.raises(Refusal, match="names the champion"):
        read_back(of, seat("steward"), "ch1", asked("c2/5"))


def test_what_goes_against_practice_is_warned_of_kept_and_never_blocked() -> None:
    of = show(MARES, FILLIES)
    (version,) = name(of, "c1/1", "c1/2")
    assert version["warned"] == [
        "1 (Mares c1) did not come back for champion: only firsts do.",
        "1 (Mares c1) is put above 3 (Mares c1): under the same judge it stood below.",
        "2 (Mares c1) did not come back for reserve: only firsts do, and the second to the champion.",
        "2 (Mares c1) is put above 3 (Mares c1): under the same judge it stood below.",
    ]
    assert told(of)["warnings"] == version["warned"]
    early = show(MARES)
    assert name(early, "c1/3")[0]["warned"] == ["Still out: Mares c2."]


@pytest.mark.parametrize(
    ("words", "where", "says"),
    [
        ((None, "c1/3"), "reserve", "name the champion first"),
        (("c1/3", "c1/3"), "reserve", "it is the champion"),
        (("c1/9",), "champion", "no such number"),
        (("c1/3", "c2/9"), "reserve", "no such number"),
        (("c7/3",), "champion", "no such class"),
        (("c1/3", None, "x" * 501), "reason", "longer than 500"),
    ],
)
def test_what_cannot_be_named_is_refused_and_nothing_kept(words: tuple[str | None, ...], where: str, says: str) -> None:
    of = show(MARES, FILLIES)
    with pytest.raises(Refusal, match=says) as refusal:
        name(of, *words)
    assert refusal.value.where == where
    assert of.championships["ch1"]["named"] == []


@pytest.mark.parametrize(
    ("body", "where"),
    [
        ([], None),
        ({"champion": None, "reserve": None}, "reason"),
        ({"champion": {"class": "c1", "number": "3b"}, "reserve": None, "reason": None}, "champion.number"),
        ({"champion": {"class": "c1"}, "reserve": None, "reason": None}, "champion.number"),
        ({"champion": None, "reserve": None, "reason": None, "by": "judge-b"}, "by"),
    ],
)
def test_a_body_that_is_not_as_asked_is_refused_with_its_place(body: Any, where: str | None) -> None:
    with pytest.raises(Refusal) as refusal:
        checked_naming(body)
    assert refusal.value.where == where


def test_junior_and_senior_feed_a_grand() -> None:
    """The champions come back; the champion's own reserve comes in for reserve."""
    made = [
        championship("junior", ["c2"]),
        championship("senior", ["c1"]),
        championship("grand", [], feeds=["junior", "senior"]),
    ]
    of = show(MARES, FILLIES, championships=made)

    def grand() -> dict[str, Any]:
        found: dict[str, Any] = championships_for(of, seat("judge-a"))["championships"][2]
        return found

    assert (grand()["contenders"], grand()["waiting"]) == ([], ["Champion junior", "Champion senior"])
    name(of, "c2/5", "c2/6", key="junior")
    name(of, "c1/3", "c1/1", key="senior")
    assert horses(grand()["contenders"]) == ["c2/5", "c1/3"]
    name(of, "c1/3", key="grand")
    assert horses(grand()["reserve_contenders"]) == ["c2/5", "c1/1"]
    versions = name(of, "c2/6", None, "misread", key="grand")
    assert versions[-1]["warned"] == [
        "6 (Mares c2) did not come back for champion: only firsts do.",
        "6 (Mares c2) is put above 5 (Mares c2): under the same judge it stood below.",
    ]


def test_a_horse_last_by_rule_does_not_come_back_and_the_office_is_not_told_of_the_ruling() -> None:
    notes = [
        sign("judge-a", "c1", "3"),
        sign("judge-a", "c2", "5 6 4"),
        note("lameness", "judge-a", number="3", grade=4, by="judge-a"),
        note("ruling", "judge-a", number="6", outcome="last", by="judge-a", **{"class": "c2"}),
    ]
    of = show(*notes)
    assert horses(told(of)["contenders"]) == ["c2/5"]
    assert horses(told(of, "office")["contenders"]) == ["c1/3", "c2/5"]
    assert name(of, "c2/5", "c2/6")[0]["warned"] == []
    assert horses(told(of)["reserve_contenders"]) == ["c2/4"]
    assert told(of)["warnings"] == [
        "6 (Mares c2) did not come back for reserve: only firsts do, and the second to the champion."
    ]
    assert told(of, "office")["warnings"] == []
    # The veterinarian's call on a horse the card has no call of puts it last as well.
    called = show(MARES, FILLIES, note("lameness", number="3", grade=4, observer="veterinarian", by="steward"))
    assert horses(told(called)["contenders"]) == ["c2/5"]


def test_of_a_panel_the_joint_result_brings_the_first_and_of_separate_cards_the_judges_own() -> None:
    cards = [sign("judge-a", "c1", "1 2 3"), sign("judge-b", "c1", "2 1 3"), sign("judge-c", "c1", "2 3 1")]
    joint = show(*cards, of=[of_class("c1", judges=PANEL, method="majority")], classes=["c1"])
    assert horses(told(joint)["contenders"]) == ["c1/2"]
    assert told(joint)["contenders"][0]["placed"] == 2  # on the own card
    apart = show(*cards, of=[of_class("c1", judges=PANEL)], classes=["c1"])
    assert horses(told(apart)["contenders"]) == ["c1/1"]
    stranger = show(*cards, of=[of_class("c1", judges=PANEL)], classes=["c1"], judge="judge-d")
    assert horses(told(stranger, "office")["contenders"]) == [
        "c1/1",
        "c1/2",
    ]  # of a judge who sat elsewhere, every card
    assert [each["placed"] for each in told(stranger, "office")["contenders"]] == [None, None]
    early = show(cards[0], of=[of_class("c1", judges=PANEL)], classes=["c1"])
    assert (told(early)["contenders"], told(early)["waiting"]) == ([], ["Mares c1"])
    back = note("sign", "judge-a", numbers=None, reason="misread", by="judge-a", replaces=[cards[0]["id"]])
    for method in ("majority", "separate"):
        out = show(*cards, back, of=[of_class("c1", judges=PANEL, method=method)], classes=["c1"])
        assert (told(out)["contenders"], told(out)["waiting"]) == ([], ["Mares c1"])


def test_a_class_that_became_a_division_brings_the_first_of_it_and_a_class_with_divisions_each_of_theirs() -> None:
    divisions = [{"id": "c1", "title": "Mares"}, {"id": "c2", "title": "Geldings"}]
    classes = [
        of_class("c1", folded={"into": "c3", "how": "combined"}),
        of_class("c2", folded={"into": "c3", "how": "combined"}),
        of_class("c3", divisions=divisions),
    ]
    entries = [entry(each, "c3", division="c1" if each in "13" else "c2") for each in "1234"]
    signed = sign("judge-a", "c3", "2 3 4 1")
    made = [championship("mares", ["c1"]), championship("all", ["c3"])]
    of = records(classes, entries, [signed], made)
    mares, every = championships_for(of, seat("judge-a"))["championships"]
    assert [(each["title"], each["number"], each["placed"]) for each in mares["contenders"]] == [("Mares", "3", 1)]
    assert horses(every["contenders"]) == ["c3/3", "c3/2"]
    name(of, "c3/3", key="mares")
    mares = championships_for(of, seat("judge-a"))["championships"][0]
    assert horses(mares["reserve_contenders"]) == ["c3/1"]


def test_a_horse_named_is_told_by_the_number_it_has_today() -> None:
    of = show(MARES, FILLIES)
    name(of, "c1/3")
    late = note("entry", number="3", now="33", by="steward")
    corrected = records(
        of.classes.values(),
        [entry("3"), entry("1"), entry("2"), entry("5", "c2")],
        [MARES, FILLIES, late],
        of.championships.values(),
    )
    assert told(corrected)["champion"]["number"] == "33"
    assert horses(told(corrected)["reserve_contenders"]) == ["c1/1", "c2/5"]
    assert len(name(corrected, "c1/3")) == 1  # the same horse by either number
    assert told(corrected, "office")["champion"]["horse"] == "Horse 3"


def test_a_horse_that_was_placed_and_never_entered_can_be_named_once_the_class_is_released() -> None:
    of = show(sign("judge-a", "c1", "99 1"), FILLIES)
    assert horses(told(of)["contenders"]) == ["c1/99", "c2/5"]
    assert len(name(of, "c1/99")) == 1
    half = show(sign("judge-a", "c1", "99 1"), of=[of_class("c1", judges=["judge-a", "judge-b"])], classes=["c1"])
    with pytest.raises(Refusal, match="no such number"):
        name(half, "c1/99")


# -- what nobody else is told


def test_another_judges_placing_never_leaves() -> None:
    """A class another judge placed brings its first, and once that is champion its second: nothing else of it."""
    classes = [of_class("c1"), of_class("c2", judges=["judge-b"]), of_class("c3", judges=["judge-a", "judge-b"])]
    cards = [
        MARES,
        sign("judge-b", "c2", "5 6 4"),
        sign("judge-a", "c3", "1 2"),
        sign("judge-b", "c3", "6 5 4"),
    ]
    made = [championship("ch1", ["c1", "c2", "c3"]), championship("ch2", ["c1"], judge="judge-b")]
    of = show(*cards, of=classes, championships=made)
    answer = championships_for(of, seat("judge-a"))
    assert [each["id"] for each in answer["championships"]] == ["ch1"]
    assert horses(answer["championships"][0]["contenders"]) == ["c1/3", "c2/5", "c3/1"]
    assert [each["placed"] for each in answer["championships"][0]["contenders"]] == [1, None, 1]
    assert answer["placings"] == [
        {"class": "c1", "title": "Mares c1", "numbers": ["3", "1", "2"]},
        {"class": "c3", "title": "Mares c3", "numbers": ["1", "2"]},
    ]
    name(of, "c2/5", "c2/4")
    rows = told(of)["reserve_contenders"]
    assert (horses(rows), [each["placed"] for each in rows]) == (["c1/3", "c2/6", "c3/1"], [1, None, 1])
    # That 4 stood below 6 under the other judge is not said.
    assert told(of)["warnings"] == [
        "4 (Mares c2) did not come back for reserve: only firsts do, and the second to the champion."
    ]


def test_before_every_judge_has_signed_a_panel_brings_nobody_back() -> None:
    of = show(
        sign("judge-b", "c1", "6 5"),
        of=[of_class("c1", judges=["judge-a", "judge-b"])],
        classes=["c1"],
    )
    for who in ROLES:
        if who not in ("scribe-a", "trainee-a"):
            answer = championships_for(of, seat(who))
            own = answer.pop("placings", [])
            assert "'6'" not in str(answer), who
            assert [each["numbers"] for each in own] == ([["6", "5"]] if who == "judge-b" else []), who


def test_names_are_for_office_and_announcer_and_championships_for_those_they_concern() -> None:
    of = show(MARES, FILLIES)
    name(of, "c2/5", "c1/3")
    for who in ("scribe-a", "trainee-a"):
        with pytest.raises(Refusal, match="for the judge who judges them"):
            championships_for(of, seat(who))
    for who in ROLES:
        said = str(named_for(of, seat(who)))
        if who not in ("scribe-a", "trainee-a"):
            said += str(championships_for(of, seat(who)))
        named = [each for each in ("Horse ", "Exhibitor ", "Person ") if each in said]
        assert named == (["Horse ", "Exhibitor ", "Person "] if who in ("office", "announcer") else []), who
        seen = len(named_for(of, seat(who)))
        assert seen == (0 if who in ("trainee-a", "judge-b", "judge-c") else 1), who


@pytest.mark.parametrize(
    ("who", "code"),
    [
        ("judge-b", "unknown_championship"),
        ("scribe-a", "unknown_championship"),
        ("trainee-a", "unknown_championship"),
        ("steward", "not_your_task"),
        ("announcer", "not_your_task"),
    ],
)
def test_only_the_office_and_the_judge_of_the_championship_name(who: str, code: str) -> None:
    of = show(MARES, FILLIES)
    with pytest.raises(Refusal) as refusal:
        name(of, "c2/5", who=who)
    assert refusal.value.code == code
    with pytest.raises(Refusal, match="no such championship"):
        name(of, "c2/5", key="ch9")
