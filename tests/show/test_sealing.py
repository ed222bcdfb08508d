"""The attack on sealing, from within: every seat after every step of a day, by every way notes are given out.

What each seat may read is told by `arena`, from the contract. After every step each seat pulls from the beginning, in
large pages and in small ones, from every cursor it was ever given, and asks for each class; what it gets is exactly
what it may read and was not given before. A seat that may read nothing of what was written is not rung, and nothing
that it is told changes. Then holes are opened on purpose, in every role, and each is found.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from nearside.show import seats
from nearside.show.bell import Listener
from nearside.show.cards import class_file_for, placing_for
from nearside.show.day import day_for
from nearside.show.pulling import Pulled, notes_of_class
from nearside.show.refusals import Refusal
from nearside.show.seats import READS, ROLES, Facts, Seat
from nearside.show.slips import AgreedAsked, plan_agreeing
from tests.show.arena import (
    CLASSES,
    GATE,
    KINDS_ON_A_CARD,
    MARKED_FROM,
    PANELS,
    Member,
    Story,
    Written,
    arena,
    secret_note,
    story_of,
    taking_back,
)
from tests.show.ground import Ground


class Watch:
    """What one seat was told so far, and its device's bell."""

    def __init__(self, ground: Ground, member: Member) -> None:
        self.ground = ground
        self.member = member
        self.seat = ground.show.seats[member.id]
        self.cursors: dict[int, set[str]] = {0: set()}
        """Every cursor it was given, and what it had been given by then."""
        self.cursor = 0
        self.listener: Listener = ground.show.bell.listen(f"device of {member.id}", self.seat)
        self.told = self.everything()

    def everything(self) -> Any:
        """All it can ask for without a note in it: how far its log goes, its day, which cards it is refused and how."""
        page = self.ground.pull(self.member.id, self.cursor)
        refusals = [
            refusal(partial(ask, self.ground.show, self.seat, class_id, card))
            for ask in (class_file_for, placing_for)
            for class_id in (*CLASSES, "c9")
            for card in (None, *self.cards(), "nobody")
        ]
        return page, day_for(self.ground.show, self.seat), refusals

    def cards(self) -> list[str]:
        return [each.id for each in self.ground.show.seats.values() if each.role in ("judge", "trainee")]

    def pulled(self, after: int, limit: int) -> tuple[set[str], int]:
        """The ids of all pages after a cursor, and the last cursor; none of them twice, and no page without a note."""
        ids: list[str] = []
        more = True
        while more:
            page = self.ground.pull(self.member.id, after, limit)
            ids += [each["id"] for each in page.notes]
            assert page.notes or page == Pulled([], after, False)
            after, more = page.cursor, page.more
        assert len(ids) == len(set(ids))
        return set(ids), after

    def check(self, readable: set[str], step: str) -> None:
        """Whether it is given exactly this, from wherever it begins."""
        for limit in (500, 3):
            given, end = self.pulled(0, limit)
            assert given == readable, f"{step}: {self.member.id} pulls {given ^ readable}"
        for cursor, known in self.cursors.items():
            assert self.pulled(cursor, 500) == (readable - known, end), f"{step}: {self.member.id} from {cursor}"
        held = set()
        for class_id in CLASSES:
            notes = notes_of_class(self.ground.show, self.seat, class_id)
            held |= {each["id"] for each in notes}
        assert held == readable, f"{step}: {self.member.id} asks for the classes"
        for class_id in CLASSES:
            for card in (None, *self.cards(), "nobody"):
                try:
                    file = class_file_for(self.ground.show, self.seat, class_id, card)
                except Refusal:
                    continue
                exported = {each["id"] for each in file["notes"]}
                assert exported <= readable, f"{step}: {self.member.id} exports {exported - readable}"
        news = readable - self.cursors[self.cursor]
        assert self.listener.wake.is_set() == bool(news), f"{step}: the bell of {self.member.id}"
        if not news:
            assert self.everything() == self.told, f"{step}: {self.member.id} is told something"
        self.listener.wake.clear()
        self.cursors[end] = readable
        self.cursor = end
        self.told = self.everything()


def refusal(ask: Callable[[], Any]) -> tuple[str, str, str | None] | None:
    try:
        ask()
    except Refusal as refused:
        return refused.code, refused.sentence, refused.where
    return None


def agree(ground: Ground, judge: str, class_id: str, *, study: bool, slips: bool) -> None:
    """The judge's word on a card of theirs."""
    seat, asked = ground.show.seats[judge], AgreedAsked(study=study, slips=slips)
    plan = partial(plan_agreeing, seat=seat, class_id=class_id, asked=asked)
    ground.runner.run(ground.ground.change(ground.show, plan))


def attack(data: Path, judges: int, *, by_pull_alone: bool = False) -> None:
    """Play the story and check every seat after every step."""
    with arena(data, judges) as ground:
        story = Story(judges)
        watches = [Watch(ground, member) for member in story.members.values()]
        for number, (seat, sent) in enumerate(story_of(story)):
            receipts = ground.push(seat, *sent)
            assert [(each["status"], each["reason"]) for each in receipts] == [("kept", None)] * len(sent), receipts
            for one in sent:
                story.add(one, seat)
            step = f"step {number}, {seat} writes {', '.join(each['kind'] for each in sent)}"
            for watch in watches:
                readable = story.readable(watch.member)
                if by_pull_alone:
                    given, _ = watch.pulled(0, 500)
                    assert given == readable, f"{step}: {watch.member.id} pulls {given ^ readable}"
                else:
                    watch.check(readable, step)
            for judge, class_id, study, slips in story.words_after(sent):
                agree(ground, judge, class_id, study=study, slips=slips)
                said = f"step {number}, {judge} agrees to study {study}, to slips {slips}"
                for watch in watches:
                    if story.is_released(class_id) and watch.member.role == "office":
                        watch.listener.wake.clear()  # it may hear of it, and reads no note by it
                    if by_pull_alone:
                        assert watch.pulled(0, 500)[0] == story.readable(watch.member), (
                            f"{said}: {watch.member.id} pulls"
                        )
                    else:
                        watch.check(story.readable(watch.member), said)
        assert all(story.is_released(each) for each in CLASSES)


@pytest.mark.parametrize("judges", PANELS)
def test_every_seat_is_given_exactly_what_the_contract_opens_to_it_after_every_step(
    tmp_path: Path, judges: int
) -> None:
    attack(tmp_path, judges)


def test_every_role_reads_and_is_refused_something_in_the_story() -> None:
    story = Story(3)
    for seat, sent in story_of(story):
        for one in sent:
            story.add(one, seat)
    everything = {each.id for each in story.written}
    roles = {member.role: story.readable(member) for member in story.members.values()}
    assert set(roles) == set(ROLES)
    for role, readable in roles.items():
        assert set() < readable < everything, role


def test_a_server_that_starts_again_pages_alike_from_everywhere(tmp_path: Path) -> None:
    pages: dict[tuple[str, int], Pulled] = {}
    with arena(tmp_path, 3) as ground:
        story = Story(3)
        for seat, sent in story_of(story):
            ground.push(seat, *sent)
            for one in sent:
                story.add(one, seat)
            for member in story.members:  # so that each settles what it is given step by step
                ground.pull(member, limit=1)
        for member in story.members:
            after, more = 0, True
            while more:
                page = pages[member, after] = ground.pull(member, after, limit=3)
                after, more = page.cursor, page.more
    with arena(tmp_path, 3) as ground:
        assert {(member, after): ground.pull(member, after, limit=3) for member, after in pages} == pages


ACTS = st.lists(
    st.tuples(
        st.sampled_from(["write", "write late", "sign", "sign", "take back", "pull", "pull", "start again"]),
        st.integers(0, 12),
        st.integers(0, 6),
        st.sampled_from(CLASSES),
    ),
    max_size=40,
)


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.data_too_large])
@given(acts=ACTS)
def test_whatever_order_things_happen_in_a_device_holds_what_its_seat_may_read_and_never_more(
    tmp_path_factory: pytest.TempPathFactory, acts: list[tuple[str, int, int, str]]
) -> None:
    data = tmp_path_factory.mktemp("arena")
    story = Story(3)
    members = list(story.members.values())
    held: dict[str, set[str]] = {each.id: set() for each in members}
    cursors = dict.fromkeys(held, 0)
    signed: dict[tuple[str, str], Written] = {}

    def pull(ground: Ground, member: Member) -> None:
        more = True
        while more:
            page = ground.pull(member.id, cursors[member.id], limit=4)
            cursors[member.id], more = page.cursor, page.more
            held[member.id] |= {each["id"] for each in page.notes}
        assert held[member.id] == story.readable(member)

    def send(ground: Ground, member: Member, one: dict[str, Any]) -> Written | None:
        receipt = ground.push_one(member.id, one)
        kept = receipt["status"] == "kept" and receipt["reason"] is None
        return story.add(one, member.id) if kept else None

    remaining = iter(enumerate(acts))
    is_over = False
    while not is_over:
        with arena(data, 3) as ground:
            is_over = True
            for at, (act, who, what, class_id) in remaining:
                member = members[who % len(members)]
                later = MARKED_FROM + at
                card = member.card
                if act == "start again":
                    is_over = False
                    break
                if act == "pull":
                    pull(ground, member)
                elif act.startswith("write"):
                    kind = (*KINDS_ON_A_CARD, *GATE)[(who + what) % 9]
                    own = {"observer": "steward"} if kind == "lameness" and card is None else {}
                    one = secret_note(kind, class_id, None if kind in GATE else card, **own)
                    send(ground, member, {**one, "at": MARKED_FROM - 1 if act == "write late" else later})
                elif card is not None and act == "sign":
                    # A judge's scribe may not; where it is signed already nothing comes of it.
                    kept = send(ground, member, secret_note("sign", class_id, card, at=later))
                    if kept is not None:
                        signed[class_id, card] = kept
                elif (class_id, str(card)) in signed:
                    send(ground, member, {**taking_back(signed[class_id, str(card)]), "at": later})
            if is_over:
                for member in members:
                    pull(ground, member)


# What opens a hole: a cell that lets a role read a row of whatever card.
HOLES = [
    (role, row)
    for role in ROLES
    for row in READS
    if not (row in ("presence", "entry") or (row == "lameness" and role not in ("trainee", "announcer")))
]


@pytest.mark.parametrize(("role", "row"), HOLES, ids=lambda word: word.replace(" ", "-"))
def test_a_hole_opened_for_role_is_found(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, role: seats.Role, row: str
) -> None:
    monkeypatch.setitem(seats.READS, row, {**READS[row], role: (lambda *_: True,)})
    with pytest.raises(AssertionError, match="pulls"):
        attack(tmp_path, 3, by_pull_alone=True)


def replaced(ground: str, by: Any) -> dict[str, Any]:
    """The table with one of its grounds another one, wherever it stands."""
    before = getattr(seats, ground)
    return {
        row: {role: tuple(by if each is before else each for each in grounds) for role, grounds in cells.items()}
        for row, cells in READS.items()
    }


def _signed_itself(seat: Seat, note: Mapping[str, Any], facts: Facts) -> bool:
    return (note["class"], note.get("card")) in facts.study and facts.signatures(note["class"]).stood_together(
        seat.card
    )


def _released_alone(_seat: Seat, note: Mapping[str, Any], facts: Facts) -> bool:
    return (note["class"], note.get("card")) in facts.study and facts.signatures(note["class"]).is_released


def _studied_by_word_alone(seat: Seat, note: Mapping[str, Any], facts: Facts) -> bool:
    return note.get("card") in facts.judges and seat.card in facts.signatures(note["class"]).since_release


def _trainee_signed_alone(seat: Seat, note: Mapping[str, Any], facts: Facts) -> bool:
    card = note.get("card")
    return facts.shadowed_by.get(str(card)) == seat.id and facts.signatures(note["class"]).stood_together(card)


def _signed_alone(_seat: Seat, note: Mapping[str, Any], facts: Facts) -> bool:
    return facts.signatures(note["class"]).stood_together(note.get("card"))


LOOSENED = {
    "the office and the steward read a signature before the others have signed": ("_all_signed", _signed_alone),
    "a trainee reads before all judges have signed": ("_may_study", _signed_itself),
    "a trainee reads before the own card is signed": ("_may_study", _released_alone),
    "a trainee reads a card that is not open for study": ("_may_study", _studied_by_word_alone),
    "a judge reads the trainee's card before the own is signed": ("_shadowed", _trainee_signed_alone),
    "a steward reads what another steward wrote": ("_wrote_it", lambda *_: True),
}


@pytest.mark.parametrize("hole", LOOSENED)
def test_a_ground_that_was_loosened_is_found(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, hole: str) -> None:
    ground, by = LOOSENED[hole]
    monkeypatch.setattr(seats, "READS", replaced(ground, by))
    with pytest.raises(AssertionError, match="pulls"):
        attack(tmp_path, 3, by_pull_alone=True)
