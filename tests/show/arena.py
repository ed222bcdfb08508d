"""A show full of secrets, and what the contract lets each seat read of them.

`reads` is the contract's section on sealing written down once more, from its sentences and not from the tables of the
code, with a bookkeeping of signatures of its own; the attack suites hold every way out of the server against it.

Each note of the arena carries a secret that is nowhere else: its id, and a number no horse has. Whatever leaves the
server can be searched for them.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from nearside.show.opening import seats_asked
from nearside.store.protocol import Change
from tests.show.ground import SHOW, Ground, class_file, note, open_small_show, small_show

PANELS = (1, 3)
CLASSES = ("c1", "c2")
STUDIED = ("c1", "judge-a")
"""The one card that office and judge both open for study."""
HORSE, EXHIBITOR = "Wandering Cloud", "Somebody Else"
"""Names that the office knows of every horse."""
MARKED_FROM = 1_764_061_200_000
KINDS_ON_A_CARD = ("mark", "looked", "remark", "over", "ruling", "order", "lameness")
TRAINEE_KINDS = tuple(kind for kind in KINDS_ON_A_CARD if kind != "ruling")
GATE = ("presence", "entry")


def seats_for(judges: int) -> list[str]:
    """What is asked for at opening: of every role at least one seat, of stewards two."""
    return ["office", "steward", "steward", *["judge", "scribe", "trainee"] * judges, "announcer"]


@dataclass(frozen=True)
class Member:
    """A seat as the contract speaks of it."""

    id: str
    role: str
    card: str | None
    shadows: str | None


@dataclass
class Written:
    """A note that was kept, and its secret."""

    id: str
    kind: str
    class_id: str
    card: str | None
    by: str
    secret: str


@dataclass
class Story:
    """All that was written so far, and the signatures by a bookkeeping of its own."""

    judges: int
    written: list[Written] = field(default_factory=list)
    moments: dict[str, list[frozenset[str]]] = field(default_factory=lambda: {each: [frozenset()] for each in CLASSES})

    def __post_init__(self) -> None:
        asked = seats_asked(seats_for(self.judges), SHOW)
        self.members = {each.id: Member(each.id, each.role, each.card, each.shadows) for each in asked}

    def judges_of(self, class_id: str) -> frozenset[str]:
        """On a panel the second class has one judge less, who has no business there."""
        every = [f"judge-{letter}" for letter in "abc"[: self.judges]]
        return frozenset(every if class_id == "c1" or self.judges == 1 else every[:-1])

    def add(self, one: dict[str, Any], by: str) -> Written:
        kept = Written(one["id"], one["kind"], one["class"], one.get("card"), by, secret_of(one))
        self.written.append(kept)
        if one["kind"] == "sign":
            standing = self.moments[kept.class_id][-1]
            changed = standing | {one["card"]} if one["numbers"] is not None else standing - {one["card"]}
            self.moments[kept.class_id].append(changed)
        return kept

    def stands(self, class_id: str, card: str) -> bool:
        return card in self.moments[class_id][-1]

    def is_released(self, class_id: str) -> bool:
        return self._released_from(class_id) is not None

    def _released_from(self, class_id: str) -> int | None:
        moments = self.moments[class_id]
        return next((at for at, each in enumerate(moments) if self.judges_of(class_id) <= each), None)

    def words_after(self, sent: list[dict[str, Any]]) -> Iterator[tuple[str, str, bool, bool]]:
        """What judges whose card was just signed agree to: judge, class, study and slips, one after the other.

        In the end it is what the contract's reading rests on; before all have signed they also think better of it.
        """
        for one in sent:
            class_id, judge = one["class"], one.get("card")
            if one["kind"] == "sign" and one["numbers"] is not None and judge in self.judges_of(class_id):
                study = (class_id, judge) == STUDIED
                if not self.is_released(class_id):
                    yield judge, class_id, not study, True
                yield judge, class_id, study, False
                yield judge, class_id, study, True

    def reads(self, member: Member, of: Written) -> bool:
        """Whether the contract lets this seat read this note now."""
        role, class_id = member.role, of.class_id
        if of.kind in GATE:
            return True
        if of.card is None:
            return role in ("steward", "office", "judge", "scribe")
        if of.card in self.judges_of(class_id):
            if role in ("judge", "scribe") and member.card == of.card:
                return True
            if of.kind == "lameness" and role == "steward" and of.by == member.id:
                return True
            if of.kind == "sign" and role in ("office", "steward", "announcer") and self.is_released(class_id):
                return True
            if of.kind == "sign" and role == "office" and of.by == member.id:
                return True
            released = self._released_from(class_id)
            return (
                role == "trainee"
                and (class_id, of.card) == STUDIED
                and released is not None
                and any(member.card in each for each in self.moments[class_id][released:])
            )
        if role == "trainee" and member.card == of.card:
            return True
        shadowed = self.members[of.card].shadows
        return member.id == shadowed and any({member.id, of.card} <= each for each in self.moments[class_id])

    def readable(self, member: Member) -> set[str]:
        """The ids of all the seat may read now."""
        return {each.id for each in self.written if self.reads(member, each)}


_serial = iter(range(10_000, 100_000))


def secret_note(kind: str, class_id: str, card: str | None = None, **fields: Any) -> dict[str, Any]:
    """A note of a number that nothing else speaks of, in its words too where it has any."""
    number = f"Q{next(_serial)}"
    own: dict[str, dict[str, Any]] = {
        "remark": {"text": f"nothing of {number}"},
        "over": {"pair": [number, "7"], "winner": number},
        "order": {"numbers": [number, "7"]},
        "sign": {"numbers": [number, "7"]},
        "lameness": {"text": f"short on {number}"},
        "entry": {"identification": f"grey {number}"},
    }
    said = {"number": number} if kind not in ("over", "order", "sign") else {}
    return note(kind, card, **{"id": f"note-{number}", "class": class_id, **said, **own.get(kind, {}), **fields})


def secret_of(one: dict[str, Any]) -> str:
    return str(one["id"]).removeprefix("note-")


def taking_back(signed: Written) -> dict[str, Any]:
    back = secret_note("sign", signed.class_id, signed.card)
    return {**back, "numbers": None, "reason": f"not {secret_of(back)}", "replaces": [signed.id]}


def signing_again(story: Story, class_id: str, card: str) -> dict[str, Any]:
    signs = [each.id for each in story.written if (each.kind, each.class_id, each.card) == ("sign", class_id, card)]
    return secret_note("sign", class_id, card, at=MARKED_FROM + 4, replaces=signs[-1:])


def story_of(story: Story) -> Iterator[tuple[str, list[dict[str, Any]]]]:
    """A day in steps: a seat, and what it sends at once. The story moves on as its notes are added to it."""
    trainees = [each.id for each in story.members.values() if each.role == "trainee"]

    def last_sign(class_id: str, card: str) -> Written:
        return next(
            each
            for each in reversed(story.written)
            if (each.kind, each.class_id, each.card) == ("sign", class_id, card)
        )

    for class_id in CLASSES:
        yield "steward-a", [secret_note(kind, class_id) for kind in (*GATE, "lameness")]
        for judge in sorted(story.judges_of(class_id)):
            yield judge, [secret_note(kind, class_id, judge) for kind in KINDS_ON_A_CARD]
            yield judge.replace("judge", "scribe"), [secret_note(kind, class_id, judge) for kind in KINDS_ON_A_CARD]
            yield "steward-a", [secret_note("lameness", class_id, judge)]
        for trainee in trainees:
            yield trainee, [secret_note(kind, class_id, trainee) for kind in TRAINEE_KINDS]
        yield "steward-b", [secret_note(kind, class_id) for kind in (*GATE, "lameness")]
    for class_id in CLASSES:
        first, *others = sorted(story.judges_of(class_id))
        # A trainee who signs and thinks better of it before the judges have signed has opened nothing.
        yield "trainee-a", [secret_note("sign", class_id, "trainee-a")]
        yield "trainee-a", [taking_back(last_sign(class_id, "trainee-a"))]
        yield first, [secret_note("sign", class_id, first)]
        yield "trainee-a", [secret_note("mark", class_id, "trainee-a", at=MARKED_FROM + 1)]
        yield first, [taking_back(last_sign(class_id, first))]
        yield first, [secret_note("mark", class_id, first, at=MARKED_FROM + 2), signing_again(story, class_id, first)]
        if others:
            yield "office", [secret_note("sign", class_id, others[0])]
            for judge in others[1:]:
                yield judge, [secret_note("sign", class_id, judge)]
        for trainee in trainees:
            yield trainee, [secret_note("looked", class_id, trainee, at=MARKED_FROM + 1)]
            yield trainee, [signing_again(story, class_id, trainee)]
        # After the release: a card is opened again, marked on and signed anew.
        yield first, [taking_back(last_sign(class_id, first))]
        yield first, [secret_note(kind, class_id, first, at=MARKED_FROM + 3) for kind in KINDS_ON_A_CARD]
        yield "office", [secret_note("lameness", class_id, observer="veterinarian")]
        yield first, [signing_again(story, class_id, first)]


@contextmanager
def arena(data: Path, judges: int) -> Iterator[Ground]:
    """The show of the story, with nothing written yet."""
    if not (data / "catalogue.db").exists():
        opened(data, judges)
    with small_show(data) as ground:
        yield ground


def opened(data: Path, judges: int) -> dict[str, str]:
    """Open the show of the story in a folder; the code of each seat."""
    story = Story(judges)
    seats = open_small_show(data, seats_for(judges), [class_file(each) for each in CLASSES])
    with small_show(data) as ground:
        catalogue = ground.ground.catalogue
        changes = []
        for class_id in CLASSES:
            record = catalogue.get("classes", f"{SHOW}/{class_id}")
            assert record is not None
            record |= {"judges": sorted(story.judges_of(class_id)), "study_office": True, "method": "separate"}
            record["study_judges"] = [card for studied, card in [STUDIED] if studied == class_id]
            changes.append(Change("classes", f"{SHOW}/{class_id}", record))
        for entry in catalogue.all("entries"):
            key = f"{SHOW}/{entry['class']}/{entry['number']}"
            changes.append(Change("entries", key, {**entry, "horse": HORSE, "exhibitor": EXHIBITOR}))
        catalogue.change(changes)
    return {each.seat.id: each.code for each in seats}
