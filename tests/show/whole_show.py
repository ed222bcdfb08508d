"""The small show with everything that can be in one: what is moved, put out and taken in has to hold all of it."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from nearside.show.calls import calls_for
from nearside.show.chain import printed_head
from nearside.show.championships import championships_for, plan_naming
from nearside.show.day import day_for
from nearside.show.records import Asking, Planned, Records
from nearside.show.resultlist import results_for
from nearside.show.strict_json import canonical
from tests.show.desk import MARES, Desk, desk
from tests.show.ground import note, small_show

NAMES = ("Silver Lining", "A. Exhibitor", "Weaver")
WORDS = ("kind eye", "grey, white off hind", "misread at the gate", "short in front", "trot", "unruly")


def make_whole_show(data: Path) -> None:
    """In a folder: classes judged, changed, combined, split and taken away; names, strikes, champions; late notes."""
    with desk(data) as at:
        _fill(at)


def _fill(at: Desk) -> None:
    ground = at.ground
    at.ask("show", title="Whole show")
    for title in ("Hunter type mares", "Two and under", "Taken away", "Mares to be split", "Merged away"):
        at.ask("class", **{**MARES, "title": title})
    ids = {each["title"]: each["id"] for each in at.state()["classes"]}
    at.ask("class-gone", id=ids["Taken away"])
    names = {"identification": "bay, star", "horse": NAMES[0], "exhibitor": NAMES[1], "division": None}
    for number in ("41", "42", "43"):
        for letter, title in (("H", "Hunter type mares"), ("M", "Mares to be split"), ("A", "Merged away")):
            at.ask("entry", **{"class": ids[title], "number": f"{number}{letter}", **names})
    at.ask("move", **{"class": ids["Hunter type mares"], "numbers": ["42H"], "to": ids["Two and under"]})
    at.ask("entry-gone", **{"class": ids["Hunter type mares"], "number": "43H", "reason": "gone home"})
    at.ask("split", **{"class": ids["Mares to be split"], "title": "Split off", "numbers": ["43M"]})
    at.ask("combine", classes=[ids["Hunter type mares"], ids["Two and under"]], title="Combined")
    at.ask("merge", **{"class": ids["Merged away"], "into": ids["Mares to be split"]})
    at.ask("seat", id=None, role="announcer", name=NAMES[2], judge=None)
    at.ask("seat", id=None, role="steward", name="Steward to go", judge=None)
    gone = next(each["id"] for each in at.state()["seats"] if each["name"] == "Steward to go")
    at.ask("seat-gone", id=gone)
    c1 = {**MARES, "id": "c1", "title": "Mares", "standard": "stock-type", "judges": ["judge-a"], "study_office": True}
    at.ask("class", **c1)

    mark = note("mark", "judge-a", at=5)
    ground.push("steward", note("presence"), note("presence", number="30", state="absent"))
    ground.push("steward", note("entry", number="99", identification=WORDS[1]))
    ground.push("steward", note("entry", number="31", identification=None, now="30", reason=WORDS[2]))
    ground.push("steward", note("lameness", text=WORDS[3], gait=WORDS[4]))
    ground.push("judge-a", mark, note("remark", "judge-a", text=WORDS[0]), note("mark", "judge-a", number="7"))
    ground.push("judge-a", note("ruling", "judge-a", number="99", outcome="excused", reason=WORDS[5]))
    signature = note("sign", "judge-a", at=1764061200001)
    ground.push("judge-a", signature)
    late = ground.push_one("judge-a", note("mark", "judge-a", number="7", trait="girth", at=7))
    assert (late["status"], str(late["reason"])[:4]) == ("kept", "late")
    ground.push("trainee-a", note("mark", "trainee-a"), note("sign", "trainee-a"))
    at.ask("strike", **{"class": "c1", "number": "7", "reason": "wrong age"})
    at.ask("stage", **{"class": "c1", "stage": "announced"})
    at.ask("championship", id=None, title="Junior", classes=["c1"], feeds=[], judge="judge-a")
    at.ask("championship", id=None, title="Grand", classes=["c2"], feeds=["ch1"], judge="judge-a")

    def naming(records: Records) -> Planned:
        asked = {"champion": {"class": "c1", "number": "12"}, "reserve": None, "reason": "best of the day"}
        office, asking = ground.show.seats["office"], Asking("office", "a device", 1764061300000)
        return plan_naming(records, office, asking, at.state()["championships"][0]["id"], asked)  # type: ignore[arg-type]

    ground.runner.run(ground.ground.change(ground.show, naming))


def _printed_head(records: Records, class_id: str) -> str | None:
    return printed_head(records.notes(class_id), records.judges_in(class_id))


def all_told(data: Path) -> dict[str, str]:
    """By seat: every note it is given, its day, results, championships and lameness calls, as canonical JSON."""
    told = {}
    with small_show(data) as ground:
        show = ground.show
        for seat in show.seats.values():
            records, facts = ground.ground.records(show), show.facts_now()
            day = day_for(show, seat)
            answers = [ground.pull(seat.id).notes, calls_for(records, facts, seat), day["classes"], day["seats"]]
            head_of = partial(_printed_head, records)
            answers.append(results_for(records, seat, head_of))
            if seat.role == "office":
                answers.append(Desk(ground).state()["classes"])
            if seat.role in ("office", "steward", "announcer", "judge"):
                answers.append(championships_for(records, seat))
            told[seat.id] = canonical(answers)
    return told
