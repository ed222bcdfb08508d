"""Classes split, merged, and judged together and placed apart."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from nearside.show.classfile import checked_class_file
from nearside.show.day import day_for
from nearside.show.folder import add_in_folder
from tests.show.desk import ASKING, Desk, desk
from tests.show.ground import class_file, note

AT = ASKING.now_ms
GELDINGS = ("81", "82")


def files(**changed: Any) -> list[dict[str, Any]]:
    """Three classes of different numbers."""
    given = [class_file(), class_file("c2"), class_file("c3")]
    given[1]["class"].update({"sexes": ["gelding"], "ages": ["three"], "places": 8, **changed})
    given[1]["entries"] = [{"number": number} for number in GELDINGS]
    given[2]["entries"] = []
    return given


def day_ids(office: Desk) -> list[str]:
    day = day_for(office.ground.show, office.ground.show.seats["judge-a"])
    return [each["id"] for each in day["classes"]]


def absent(office: Desk, class_id: str) -> set[str]:
    """The numbers the gate of a class holds for absent."""
    notes = (each for each in office.ground.pull("steward").notes if each["class"] == class_id)
    return {each["number"] for each in notes if each["kind"] == "presence" and each["state"] == "absent"}


def test_a_split_class_goes_on_with_a_new_one_right_behind_it(tmp_path: Path) -> None:
    with desk(tmp_path, files=files()) as office:
        office.ground.push("judge-a", note("mark", "judge-a", number="30"))
        office.ask("split", **{"class": "c1", "title": "Mares, second ring", "numbers": ["30", "12"]})
        assert day_ids(office) == ["c1", "c4", "c2", "c3"]
        assert (office.numbers("c1"), office.numbers("c4")) == (["7"], ["30", "12"])
        new = office.class_("c4")
        assert (new["title"], new["standard"], new["fixed"]) == ("Mares, second ring", "stock-type", False)
        assert office.entry("30")["gone"] == {"why": "split", "to": "c4", "at": AT}
        assert office.entry("30", "c4")["identification"] == "bay 30"
        assert office.refused("split", **{"class": "c4", "title": "All", "numbers": ["30", "12"]}).where == "numbers"
        assert office.refused("split", **{"class": "c4", "title": "", "numbers": ["30"]}).where == "title"
        assert office.refused("split", **{"class": "c4", "title": "x", "numbers": ["7"]}).code == "unknown_entry"
        for judge in ("judge-a", "judge-b"):
            office.ground.push(judge, note("sign", judge))
        assert "signed" in office.refused("split", **{"class": "c1", "title": "x", "numbers": ["7"]}).sentence


def test_a_class_nobody_judged_is_merged_into_another_with_those_entered_at_its_gate(tmp_path: Path) -> None:
    with desk(tmp_path, files=files()) as office:
        office.ground.push(
            "steward",
            {**note("entry", number="90", identification="grey"), "class": "c2"},
            {**note("entry", number="82", now="28"), "class": "c2"},
            {**note("presence", number="28", state="absent"), "class": "c2"},
        )
        state = office.ask("merge", **{"class": "c2", "into": "c1"})
        assert day_ids(office) == ["c1", "c3"]
        assert office.numbers("c1") == ["7", "12", "30", "81", "28", "90"]
        assert office.entry("90")["identification"] == "grey"
        assert absent(office, "c1") == {"28"}
        assert office.class_("c1")["sexes"] == ["mare", "gelding"]
        assert office.class_("c1")["ages"] == ["aged", "three"]
        assert next(each for each in state["classes"] if each["id"] == "c2")["folded"] == {
            "into": "c1",
            "how": "merged",
        }
        # A phone that was away still gets rid of what it wrote there, and nothing of it is lost.
        away = {**note("mark", "judge-b", number="81"), "class": "c2"}
        assert office.ground.push_one("judge-b", away)["status"] == "kept"
        told: tuple[tuple[str, dict[str, Any]], ...] = (
            ("merge", {"class": "c2", "into": "c3"}),
            ("class-gone", {"id": "c2"}),
            (
                "entry",
                {
                    "class": "c2",
                    "number": "1",
                    "identification": None,
                    "horse": None,
                    "exhibitor": None,
                    "division": None,
                },
            ),
        )
        for command, body in told:
            assert office.refused(command, **body).code == "unknown_class"
        assert "in it" in office.refused("class-gone", id="c1").sentence


def test_a_merge_that_would_lose_or_mix_anything_is_refused(tmp_path: Path) -> None:
    with desk(tmp_path, files=files(standard="hunter-type")) as office:
        assert office.refused("merge", **{"class": "c1", "into": "c1"}).where == "into"
        assert "standard" in office.refused("merge", **{"class": "c2", "into": "c1"}).sentence
    with desk(tmp_path / "doubled", files=[class_file(), class_file("c2")]) as office:
        assert "7 is in" in office.refused("merge", **{"class": "c2", "into": "c1"}).sentence
    with desk(tmp_path / "judged", files=files()) as office:
        office.ground.push("judge-a", note("mark", "judge-a"))
        assert "judged" in office.refused("merge", **{"class": "c1", "into": "c2"}).sentence
        assert "sexes" in office.refused("merge", **{"class": "c2", "into": "c1"}).sentence
        office.ground.push("judge-a", note("sign", "judge-a"))
        assert "signed" in office.refused("merge", **{"class": "c3", "into": "c1"}).sentence


def test_combined_classes_are_judged_together_each_a_division(tmp_path: Path) -> None:
    with desk(tmp_path, files=files()) as office:
        office.ask("class", **class_body(office, "c1", study_office=True))
        office.ask("class", **class_body(office, "c2", study_office=True))
        office.ground.push("steward", note("presence", number="7", state="absent"))
        office.ask("combine", classes=["c1", "c2"], title="Mares and geldings")
        assert absent(office, "c4") == {"7"}
        assert day_ids(office) == ["c4", "c3"]
        new = office.class_("c4")
        assert new["divisions"] == [
            {"id": "c1", "title": "Stock type mares c1"},
            {"id": "c2", "title": "Stock type mares c2"},
        ]
        assert (new["sexes"], new["places"], new["study_office"]) == (["mare", "gelding"], 8, True)
        assert {each["number"]: each["division"] for each in new["entries"]} == {
            "7": "c1",
            "12": "c1",
            "30": "c1",
            "81": "c2",
            "82": "c2",
        }
        assert office.class_("c1")["folded"] == {"into": "c4", "how": "combined"}
        late = {"class": "c4", "number": "83", "identification": None, "horse": None, "exhibitor": None}
        assert office.refused("entry", **{**late, "division": None}).where == "division"
        assert office.refused("entry", **{**late, "division": "c3"}).where == "division"
        office.ask("entry", **{**late, "division": "c2"})
        assert office.entry("83", "c4")["division"] == "c2"
        office.ask("entry", **{**late, "class": "c3", "number": "90", "division": None})
        told: tuple[tuple[str, dict[str, Any]], ...] = (
            ("move", {"class": "c3", "numbers": ["90"], "to": "c4"}),
            ("split", {"class": "c4", "title": "x", "numbers": ["83"]}),
            ("merge", {"class": "c3", "into": "c4"}),
            ("combine", {"classes": ["c3", "c4"], "title": "x"}),
        )
        for command, body in told:
            said = office.refused(command, **body).sentence
            assert "divisions" in said
            todo = (": enter each horse in its own.", "; move horses instead.", "; choose another class.", "out here.")
            assert said.endswith(todo), said
    with desk(tmp_path) as office:
        assert day_ids(office) == ["c4", "c3"]


def class_body(office: Desk, class_id: str, **changed: Any) -> dict[str, Any]:
    now = office.class_(class_id)
    fields = ("id", "title", "standard", "sexes", "ages", "places", "lameness", "judges", "method", "call_judges")
    return {**{field: now[field] for field in fields}, **changed}


def test_classes_that_are_not_alike_or_are_being_judged_are_not_combined(tmp_path: Path) -> None:
    with desk(tmp_path, files=files(standard="hunter-type")) as office:
        combine = {"classes": ["c1", "c2"], "title": "Both"}
        assert "standards" in office.refused("combine", **combine).sentence
        assert office.refused("combine", **{**combine, "classes": ["c1", "c1"]}).where == "classes"
        assert office.refused("combine", **{**combine, "classes": ["c1"]}).where == "classes"
        assert office.refused("combine", **{**combine, "classes": ["c1", "c9"]}).code == "unknown_class"
        office.ask("class", **class_body(office, "c2", standard="stock-type"))
        assert office.refused("combine", **{**combine, "title": " "}).where == "title"
        different: tuple[tuple[dict[str, Any], str], ...] = (
            ({"judges": ["judge-a"]}, "judges"),
            ({"method": "points"}, "methods"),
            ({"lameness": {"from_grade": 2, "outcome": "ignored"}}, "lameness rules"),
        )
        for changed, what in different:
            before = class_body(office, "c2")
            office.ask("class", **class_body(office, "c2", **changed))
            assert f"different {what}" in office.refused("combine", **combine).sentence
            office.ask("class", **before)
        office.ask(
            "entry",
            **{
                "class": "c2",
                "number": "7",
                "identification": None,
                "horse": None,
                "exhibitor": None,
                "division": None,
            },
        )
        assert "7 is in two" in office.refused("combine", **combine).sentence
        office.ask("entry-gone", **{"class": "c2", "number": "7", "reason": None})
        office.ground.push("judge-b", {**note("order", "judge-b"), "class": "c2"})
        assert "judged" in office.refused("combine", **combine).sentence


def test_championships_take_their_horses_from_the_class_that_is_judged_instead(tmp_path: Path) -> None:
    with desk(tmp_path, files=files()) as office:
        body: dict[str, Any] = {"id": None, "title": "Grand", "feeds": [], "judge": "judge-a"}
        office.ask("championship", **{**body, "classes": ["c1", "c2", "c3"]})
        assert office.ask("merge", **{"class": "c3", "into": "c1"})["championships"][0]["classes"] == ["c1", "c2"]
        # A combined class is a division of the new one, and its first comes back from there.
        after = office.ask("combine", classes=["c1", "c2"], title="All")
        assert after["championships"][0]["classes"] == ["c1", "c2"]
        body |= {"id": after["championships"][0]["id"], "title": "Grand champion"}
        after = office.ask("championship", **{**body, "classes": ["c1", "c2"]})
        assert after["championships"][0]["title"] == "Grand champion"


def test_a_class_added_from_a_file_comes_last_whatever_was_split_and_taken_away(tmp_path: Path) -> None:
    with desk(tmp_path, files=files()) as office:
        office.ask("split", **{"class": "c1", "title": "Second ring", "numbers": ["30"]})
        office.ask("split", **{"class": "c1", "title": "Third ring", "numbers": ["12"]})
        office.ask("class-gone", id="c2")
    add_in_folder(tmp_path, None, [checked_class_file(class_file("c9"))], with_notes=False)
    with desk(tmp_path) as office:
        assert day_ids(office) == ["c1", "c5", "c4", "c3", "c9"]
