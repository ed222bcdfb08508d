"""Any life of a show at its table: whatever is asked in whatever order, it stays whole, and opens again the same."""

from __future__ import annotations

import tempfile
from contextlib import ExitStack
from pathlib import Path
from typing import Any

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

from nearside.show.day import day_for
from nearside.show.refusals import Refusal
from nearside.show.showfile import TABLES, read_show_file, show_file
from nearside.show.strict_json import canonical
from tests.show.desk import ASKING, MARES, Desk, desk
from tests.show.ground import class_file, note

NUMBERS = st.sampled_from(["7", "12", "30", "44", "45", "46", "T1"])
CLASSES = st.sampled_from([f"c{serial}" for serial in range(1, 8)])
SEATS = st.sampled_from(["office", "office-a", "steward", "judge-a", "judge-b", "judge-c", "scribe-a", "trainee-a"])
TEXTS = st.sampled_from(["Ash", "bay, star", " ", "Mares"])
MAYBE = st.none() | TEXTS
METHODS = st.sampled_from(["separate", "points", "majority"])


class Life(RuleBasedStateMachine):
    """The office, the gate and the judges of one show, and a server that stops now and then."""

    @initialize()
    def begin(self) -> None:
        self.folder = tempfile.TemporaryDirectory()
        self.open()
        self.at = ASKING.now_ms

    def open(self) -> None:
        self.stack = ExitStack()
        files = [class_file(), class_file("c2"), class_file("c3", entries=[])]
        self.office: Desk = self.stack.enter_context(desk(Path(self.folder.name), files=files))

    def ask(self, command: str, **body: Any) -> None:
        """A command that is done, or refused with a sentence and nothing changed."""
        self.at += 1
        self.office.asking = ASKING._replace(now_ms=self.at)
        before = self.office.state()
        is_refused = False
        try:
            self.office.ask(command, **body)
        except Refusal:
            is_refused = True
        assert not is_refused or self.office.state() == before

    @rule(
        title=TEXTS,
        standard=st.sampled_from(["stock-type", "pony-type"]),
        method=METHODS,
        judges=st.none() | st.lists(SEATS, max_size=2),
        is_new=st.booleans(),
        of=CLASSES,
    )
    def set_up_class(
        self, title: str, standard: str, method: str, judges: list[str] | None, is_new: bool, of: str
    ) -> None:
        body = {**MARES, "standard": standard, "id": None if is_new else of}
        self.ask("class", **{**body, "title": title, "method": method, "judges": judges})

    @rule(of=CLASSES, stage=st.sampled_from([None, "gate", "ring", "announced"]))
    def call(self, of: str, stage: str | None) -> None:
        self.ask("stage", **{"class": of, "stage": stage})

    @rule(of=CLASSES)
    def take_class_away(self, of: str) -> None:
        self.ask("class-gone", id=of)

    @rule(chance=st.randoms(use_true_random=False))
    def put_in_order(self, chance: Any) -> None:
        ids = [each["id"] for each in self.office.state()["classes"] if each["folded"] is None]
        chance.shuffle(ids)
        self.ask("classes-order", ids=ids)

    @rule(of=CLASSES, number=NUMBERS, identification=MAYBE, horse=MAYBE, division=st.none() | CLASSES)
    def enter(self, of: str, number: str, identification: str | None, horse: str | None, division: str | None) -> None:
        told = {"identification": identification, "horse": horse, "exhibitor": None, "division": division}
        self.ask("entry", **{"class": of, "number": number, **told})

    @rule(of=CLASSES, numbers=st.lists(NUMBERS, min_size=1, max_size=4))
    def take_list(self, of: str, numbers: list[str]) -> None:
        text = "No;Horse\n" + "".join(f"{number};Oak\n" for number in numbers)
        self.ask("entries-take", **{"text": text, "class": of})

    @rule(of=CLASSES, number=NUMBERS, reason=MAYBE, command=st.sampled_from(["entry-gone", "strike"]))
    def take_out_or_strike(self, of: str, number: str, reason: str | None, command: str) -> None:
        self.ask(command, **{"class": of, "number": number, "reason": reason})

    @rule(of=CLASSES, numbers=st.lists(NUMBERS, min_size=1, max_size=3), to=CLASSES)
    def move(self, of: str, numbers: list[str], to: str) -> None:
        self.ask("move", **{"class": of, "numbers": numbers, "to": to})

    @rule(of=CLASSES, numbers=st.lists(NUMBERS, min_size=1, max_size=2))
    def split(self, of: str, numbers: list[str]) -> None:
        self.ask("split", **{"class": of, "title": "Second ring", "numbers": numbers})

    @rule(of=CLASSES, into=CLASSES)
    def merge(self, of: str, into: str) -> None:
        self.ask("merge", **{"class": of, "into": into})

    @rule(of=st.lists(CLASSES, min_size=2, max_size=3))
    def combine(self, of: list[str]) -> None:
        self.ask("combine", classes=of, title="Together")

    @rule(role=st.sampled_from(["office", "judge", "scribe", "trainee", "steward"]), judge=st.none() | SEATS)
    def add_seat(self, role: str, judge: str | None) -> None:
        self.ask("seat", id=None, role=role, name="New", judge=judge)

    @rule(seat=SEATS, command=st.sampled_from(["seat-code", "seat-gone"]))
    def change_seat(self, seat: str, command: str) -> None:
        self.ask(command, id=seat)

    @rule(of=st.lists(CLASSES, max_size=2), feeds=st.lists(st.sampled_from(["ch1", "ch2"]), max_size=1), judge=SEATS)
    def set_up_championship(self, of: list[str], feeds: list[str], judge: str) -> None:
        self.ask("championship", id=None, title="Grand", classes=of, feeds=feeds, judge=judge)

    @rule(key=st.sampled_from(["ch1", "ch2"]))
    def take_championship_away(self, key: str) -> None:
        self.ask("championship-gone", id=key)

    @rule(of=CLASSES, number=NUMBERS, now=st.none() | NUMBERS, identification=MAYBE)
    def write_at_the_gate(self, of: str, number: str, now: str | None, identification: str | None) -> None:
        fields = {"number": number, "now": now, "identification": identification}
        self.write("steward", {**note("entry"), **fields, "class": of})

    @rule(of=CLASSES, number=NUMBERS, judge=st.sampled_from(["judge-a", "judge-b"]))
    def judge(self, of: str, number: str, judge: str) -> None:
        self.write(judge, {**note("mark", judge, number=number), "class": of})

    @rule(of=CLASSES, judge=st.sampled_from(["judge-a", "judge-b"]))
    def sign(self, of: str, judge: str) -> None:
        self.write(judge, {**note("sign", judge), "class": of})

    def write(self, seat: str, written: dict[str, Any]) -> None:
        if seat in self.office.ground.show.seats:
            self.office.ground.push_one(seat, written)

    @precondition(lambda self: self.at % 3 == 0)
    @rule()
    def stop_and_start(self) -> None:
        before = self.office.state()
        days = self.days()
        self.stack.close()
        self.open()
        assert self.office.state() == before
        assert self.days() == days

    @invariant()
    def is_one_show(self) -> None:
        if not hasattr(self, "office"):
            return
        state = self.office.state()
        judges = {each["id"] for each in state["seats"] if each["role"] == "judge"}
        assert any(each["role"] == "office" for each in state["seats"])
        assert all(each["card"] in judges for each in state["seats"] if each["role"] == "scribe")
        ids = [each["id"] for each in state["classes"]]
        assert len(set(ids)) == len(ids)
        day = day_for(self.office.ground.show, self.office.ground.show.seats["office"])
        assert [each["id"] for each in day["classes"]] == [
            each["id"] for each in state["classes"] if not each["folded"]
        ]
        for each in state["classes"]:
            there = [entry["reads_as"] or entry["number"] for entry in each["entries"] if entry["gone"] is None]
            assert len(set(there)) == len(there) or has_met(each), each["entries"]
            assert each["folded"] is None or each["folded"]["into"] in ids
            if each["folded"] is None:
                assert set(each["judges"] or ()) <= judges
                assert set(each["call_judges"]) <= judges

    def travels(self) -> None:
        """The show goes out as a file that is taken in anywhere."""
        show, catalogue = self.office.ground.show, self.office.ground.ground.catalogue
        record = catalogue.get("shows", show.id)
        assert record is not None
        file = show_file({table: catalogue.all(table) for table in TABLES}, record, show.store.since(0, 10_000).notes)
        assert read_show_file(canonical(file).encode())["classes"] == file["classes"]

    def days(self) -> dict[str, Any]:
        show = self.office.ground.show
        return {seat.id: day_for(show, seat) for seat in show.seats.values()}

    def teardown(self) -> None:
        if hasattr(self, "stack"):
            self.travels()
            self.stack.close()
            self.folder.cleanup()


def has_met(of: dict[str, Any]) -> bool:
    """Whether a number was put right to one that is entered as well: two records that are one horse."""
    return any(entry["reads_as"] is not None for entry in of["entries"])


def test_any_life_of_a_show_is_whole_and_opens_again_the_same() -> None:
    run_state_machine_as_test(Life, settings=settings(max_examples=12, stateful_step_count=30, deadline=None))
