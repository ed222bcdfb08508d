"""The attack on sealing, from outside: everybody, at every address, before and after signing.

Who attacks: a device on each seat of the show, one without a seat, one that was taken off its seat and one that left,
and the same seats of another show in the same house. While the day of `arena` is played, each of them asks every
address for everything it can name, over and over. Of what comes back

- no secret may be in it that the contract has not opened to this seat: every note carries one that is nowhere else;
- nothing may change, in status, words, counts, cursors or length, while only such notes are written as this seat may
  not read; and its stream may not ring.

`ADDRESSES` has a row for every route. A route added without one fails the suite, so whoever adds it has to say how it
is attacked. Then holes are opened on purpose, and each is found.
"""

from __future__ import annotations

import asyncio
import json
import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, NamedTuple

import pytest
from starlette.requests import Request

from nearside.settings import Settings
from nearside.show import cards, office_commands, pushing, resultlist, seats
from nearside.show.bell import Listener
from nearside.show.classfile import checked_class_file
from nearside.show.folder import open_in_folder
from nearside.show.opening import seats_asked
from nearside.show.pulling import Pulled
from nearside.show.running import RunningShow
from nearside.show.seats import READS, ROLES, Role, Seat
from nearside.show.showground import Device, Showground
from nearside.store.protocol import Change, as_sent
from nearside.web import devices as devices_module
from nearside.web import door
from nearside.web import notes as notes_module
from nearside.web import office as office_module
from nearside.web import showfile as showfile_module
from nearside.web.app import ROUTES, create_app
from nearside.web.door import device_of
from tests.show.arena import (
    CLASSES,
    EXHIBITOR,
    HORSE,
    PANELS,
    STUDIED,
    Member,
    Story,
    Written,
    opened,
    seats_for,
    secret_note,
    story_of,
)
from tests.show.ground import SHOW, class_file, note

SECRET = re.compile(rb"Q[0-9]{5}")
NAMES = re.compile(HORSE.encode() + b"|" + EXHIBITOR.encode())
HOST = "127.0.0.1:8470"
NOW_MS = 1_764_061_200_000
_WHY_REFUSED = pushing._why_refused


class Ask(NamedTuple):
    """A request: what is compared with what the same request was answered before."""

    method: str
    path: str
    query: str = ""
    body: str = ""


class Answer(NamedTuple):
    status: int
    body: bytes


@dataclass
class Attacker:
    """A device and what it was told so far. `member` is None where it has no seat of the attacked show."""

    name: str
    member: Member | None
    role: Role | None
    card: str | None
    token: str | None
    listener: Listener | None = None
    cursors: list[int] = field(default_factory=lambda: [0])
    told: dict[Ask, tuple[float, Answer]] = field(default_factory=dict)
    """When it last asked each thing, counted in steps, and what it was told."""
    changed: dict[str, float] = field(default_factory=dict)
    """By address: the step since which what it is told may have changed."""


Asks = Callable[["Siege", Attacker], list[Ask]]


def _pulling(siege: Siege, by: Attacker) -> list[Ask]:
    foreign = siege.cursor_of_somebody_else(by)
    afters = [(0, 500), (0, 2), (by.cursors[-1], 500), (by.cursors[len(by.cursors) // 2], 500), (foreign, 3)]
    return [Ask("GET", "/api/notes", f"after={after}&limit={limit}") for after, limit in afters]


def _writing(_siege: Siege, by: Attacker) -> list[Ask]:
    """Notes on cards of others, and of nobody: refused, in the same words whatever is on the card."""
    sent = []
    for card in ("judge-a", "trainee-a", "judge-q"):
        for kind in ("mark", "remark", "order", "sign"):
            if card != by.card and not (kind == "sign" and by.role == "office"):
                sent.append(note(kind, card, id=f"{by.name} {kind} {card}"))
        if by.role == "office":
            sent.append(note("sign", card, id=f"office back {card}", numbers=None, reason="mine", replaces=["x"]))
    return [Ask("POST", "/api/notes", body=json.dumps({"notes": sent}))]


def _cards(what: str) -> Asks:
    def asks(_siege: Siege, _by: Attacker) -> list[Ask]:
        named = ("", "card=judge-a", "card=trainee-a", "card=nobody")
        return [Ask("GET", f"/api/classes/{class_id}/{what}", card) for class_id in (*CLASSES, "c9") for card in named]

    return asks


def _of_each_class(method: str, what: str, body: str = "") -> Asks:
    return lambda _siege, _by: [Ask(method, f"/api/classes/{each}/{what}", body=body) for each in (*CLASSES, "c9")]


def _commanding(siege: Siege, by: Attacker) -> list[Ask]:
    """Commands no office may give, and such as come too late: whoever of a panel has begun, in the same words."""
    names = ("show", "class", "entry", "seat-code", "no-such-command")
    asks: list[tuple[str, dict[str, Any]]] = [(each, {"title": 7}) for each in names]
    judges = sorted(siege.story.judges_of("c1")) if by.member is not None else []
    same = {"id": "c1", "title": "T", "standard": "stock-type", "sexes": ["mare"], "ages": ["aged"], "places": 6}
    for judge in judges:
        asks.append(("class", {**same, "judges": [each for each in judges if each != judge]}))
        scribe = {"id": judge.replace("judge", "scribe"), "role": "scribe", "name": "S"}
        asks += [("seat", {**scribe, "judge": each}) for each in judges if each != judge]
        asks.append(("seat-gone", {"id": judge}))
    return [Ask("POST", f"/api/office/{name}", body=json.dumps(body)) for name, body in asks]


def _only(*asks: Ask) -> Asks:
    return lambda _siege, _by: list(asks)


RUNG, ELSEWHERE = "rung", "elsewhere"

ADDRESSES: dict[tuple[str, str], Asks | str] = {
    ("GET", "/api/notes"): _pulling,
    ("POST", "/api/notes"): _writing,
    ("GET", "/api/stream"): RUNG,  # it says "pull now" and nothing else: who is rung is seen at the bell
    ("POST", "/api/join"): ELSEWHERE,  # it takes a code and gives a seat: tests/web/test_joining.py
    ("POST", "/api/leave"): ELSEWHERE,
    ("POST", "/api/shows"): ELSEWHERE,  # it takes the opening code: tests/web/test_joining.py
    ("GET", "/api/day"): _only(Ask("GET", "/api/day")),
    ("GET", "/api/classes/{id}/placing"): _cards("placing"),
    ("GET", "/api/classes/{id}/file"): _cards("file"),
    ("GET", "/api/classes/{id}/notes"): _of_each_class("GET", "notes"),
    ("GET", "/api/classes/{id}/slips"): _of_each_class("GET", "slips"),
    ("POST", "/api/classes/{id}/agree"): _of_each_class("POST", "agree", '{"study": null, "slips": null}'),
    ("GET", "/api/championships"): _only(Ask("GET", "/api/championships")),
    ("POST", "/api/championships/{id}"): _only(
        Ask("POST", "/api/championships/x1", body='{"champion": null}'),
        Ask("POST", "/api/championships/x9", body='{"champion": null, "reserve": null, "reason": null}'),
    ),
    ("POST", "/api/championships/{id}/read-back"): _only(
        *(
            Ask(
                "POST",
                f"/api/championships/{each}/read-back",
                body='{"champion": null, "reserve": null, "reason": null}',
            )
            for each in ("x1", "x9")
        )
    ),
    ("GET", "/api/results"): _only(
        Ask("GET", "/api/results"), *(Ask("GET", "/api/results", f"class={each}") for each in (*CLASSES, "c9"))
    ),
    ("GET", "/api/results.csv"): _only(Ask("GET", "/api/results.csv")),
    ("GET", "/api/devices"): _only(Ask("GET", "/api/devices")),
    ("POST", "/api/devices/{id}/revoke"): _only(Ask("POST", "/api/devices/nobody/revoke", body="{}")),
    ("GET", "/api/office"): _only(Ask("GET", "/api/office")),
    ("POST", "/api/office/entries-read"): _only(
        Ask("POST", "/api/office/entries-read", body='{"text": "7\\n12", "class": "c1"}')
    ),
    ("POST", "/api/office/{command}"): _commanding,
    ("GET", "/api/calls"): _only(Ask("GET", "/api/calls")),
    ("GET", "/api/show-file"): _only(Ask("GET", "/api/show-file")),
    ("GET", "/health"): _only(Ask("GET", "/health")),
    ("GET", "/{path:path}"): _only(Ask("GET", "/"), Ask("GET", "/api/no-such-thing"), Ask("GET", "/shows/s1.notes")),
}

COUNTS_NOTES = ("/api/show-file",)
"""For the office alone, and of released classes only: a digest of every note, so that the chains can be checked. What
is in it is searched like everything else."""

OFFICE_ALONE = (
    *("/api/devices", "/api/devices/{id}/revoke", "/api/office", "/api/office/{command}"),
    *("/api/office/entries-read", "/api/show-file"),
)

# What follows from the signed orders of a released class, for those whose task it is, whoever's order it is.
FROM_ORDERS: dict[str, tuple[Role, ...]] = {
    "/api/results": ROLES,
    "/api/results.csv": ROLES,
    "/api/championships": ("office", "steward", "announcer", "judge"),
    "/api/championships/{id}": ("office", "judge"),
    "/api/championships/{id}/read-back": ("office", "judge"),
    "/api/office": ("office",),
    "/api/office/entries-read": ("office",),
    "/api/show-file": ("office",),
    "/api/classes/{id}/slips": ("office",),
}


class Siege:
    """A house with two shows, and everybody at its doors."""

    def __init__(self, data: Path, judges: int) -> None:
        codes = opened(data, judges)
        self.story = Story(judges)
        self.agreed = {STUDIED[::-1]: (True, False)}
        """What a judge agreed to in a class: study, slips."""
        files = [checked_class_file(class_file(each)) for each in CLASSES]
        others = open_in_folder(data, "s2", "Another show", files, seats_asked(seats_for(judges), "s2"), [])
        self.runner = asyncio.Runner()
        self.ground = Showground.in_folder(data)
        self.show = self.ground.shows[SHOW]
        self.app = create_app(self.ground, {}, Settings(data))
        championship = {"id": "x1", "show": SHOW, "position": 0, "title": "Champion", "classes": list(CLASSES)}
        championship |= {"feeds": [], "judge": "judge-a", "named": []}
        self.ground.catalogue.change([Change("championships", f"{SHOW}/x1", championship)])
        self.show.take(self.ground.records(self.show))
        self.attackers = [
            Attacker(member.id, member, self.show.seats[member.id].role, member.card, self._joined(codes[member.id]))
            for member in self.story.members.values()
        ]
        self.tokens = {each.name: each.token for each in self.attackers}
        for by in self.attackers:
            by.listener = self.show.bell.listen(f"attacker {by.name}", self.show.seats[by.name])
        for each in {each.seat.role: each for each in others}.values():
            seat = each.seat
            other = Attacker(f"{seat.role} of another show", None, seat.role, seat.card, self._joined(each.code))
            other.listener = self.ground.shows["s2"].bell.listen(other.name, seat)
            self.attackers.append(other)
        self.outsiders = [
            Attacker("nobody", None, None, None, None),
            Attacker("with a made-up cookie", None, None, None, "x" * 43),
            Attacker("off its seat", None, None, None, self._joined(codes["judge-a"])),
            Attacker("gone", None, None, None, self._joined(codes["judge-a"])),
        ]
        self.ground.revoke(self.show, self.ground.device(self.outsiders[2].token).id)
        assert self.outsiders[3].token is not None
        self.ground.leave(self.outsiders[3].token)
        self.attackers += self.outsiders

    def _joined(self, code: str) -> str:
        return self.ground.join(code, None, NOW_MS)[1]

    def cursor_of_somebody_else(self, than: Attacker) -> int:
        """The first cursor some other device was given."""
        return next((each.cursors[1] for each in self.attackers if each is not than and len(each.cursors) > 1), 5)

    def ask(self, ask: Ask, token: str | None) -> Answer:
        headers = [(b"host", HOST.encode()), (b"content-type", b"application/json")]
        if token is not None:
            headers.append((b"cookie", f"nearside-device={token}".encode()))
        scope = {
            "type": "http",
            "asgi": {"version": "3.0"},
            "http_version": "1.1",
            "method": ask.method,
            "scheme": "http",
            "path": ask.path,
            "raw_path": ask.path.encode(),
            "root_path": "",
            "query_string": ask.query.encode(),
            "headers": headers,
            "client": ("127.0.0.1", 5000),
            "server": ("127.0.0.1", 8470),
        }
        sent = iter([{"type": "http.request", "body": ask.body.encode()}])
        got: list[Any] = []

        async def receive() -> Any:
            return next(sent, {"type": "http.disconnect"})

        async def send(message: Any) -> None:
            got.append(message)

        async def call() -> None:
            await self.app(scope, receive, send)

        self.runner.run(call())
        return Answer(got[0]["status"], b"".join(each.get("body", b"") for each in got[1:]))

    def write(self, seat: str, sent: list[dict[str, Any]]) -> None:
        answer = self.ask(Ask("POST", "/api/notes", body=json.dumps({"notes": sent})), self.tokens[seat])
        receipts = json.loads(answer.body)["receipts"]
        assert [(each["status"], each["reason"]) for each in receipts] == [("kept", None)] * len(sent), receipts
        for one in sent:
            self.story.add(one, seat)

    def agree(self, step: float, judge: str, class_id: str, study: bool, slips: bool) -> None:
        """The judge's word on a signed card: before all have signed nobody else hears of it."""
        before = self.classes_copied()
        body = json.dumps({"study": study, "slips": slips})
        answer = self.ask(Ask("POST", f"/api/classes/{class_id}/agree", body=body), self.tokens[judge])
        assert json.loads(answer.body) == {"class": class_id, "study": study, "slips": slips}
        is_news = self.agreed.get((judge, class_id), (False, False)) != (study, slips)
        self.agreed[judge, class_id] = study, slips
        is_out = self.story.is_released(class_id)
        assert is_out or self.classes_copied() == before, f"step {step}: the office's copy is told of {judge}"
        for by in self.attackers:
            told = is_out and is_news and by.role == "office" and by.member is not None
            if by.listener is not None:
                assert by.listener.wake.is_set() == told, f"step {step}: the stream of {by.name}"
                by.listener.wake.clear()
            own = ("/api/classes/{id}/agree", "/api/classes/{id}/slips") if by.name == judge else ()
            by.changed |= dict.fromkeys((*own, *(FROM_ORDERS if told else ())), step)

    def classes_copied(self) -> Any:
        """The classes as the office's copy of the show has them."""
        return json.loads(self.ask(Ask("GET", "/api/show-file"), self.tokens["office"]).body)["classes"]

    def close(self) -> None:
        self.runner.run(self.ground.close())
        self.runner.close()

    def may_tell(self, by: Attacker, path: str) -> set[str]:
        """The secrets that an answer of this address may hold for this attacker now."""
        if by.member is None:
            return set()
        member, story = by.member, self.story
        followed = by.role in FROM_ORDERS.get(path, ())
        return {
            each.secret
            for each in story.written
            if story.reads(member, each) or (followed and self._is_out(member, each))
        }

    def _is_out(self, member: Member, of: Written) -> bool:
        """Whether a note is a signed order of a judge that all who have to do with the class may know."""
        judges = self.story.judges_of(of.class_id)
        concerned = member.role not in ("judge", "scribe") or member.card in judges
        if member.role == "trainee":
            concerned = any(member.card in each and judges <= each for each in self.story.moments[of.class_id])
        return of.kind == "sign" and of.card in judges and self.story.is_released(of.class_id) and concerned

    def check(self, step: float, turns: int = 1, only: str | None = None) -> None:
        """Everybody asks, in each step a part of it; what is answered may hold and change no more than was opened."""
        for by in self.attackers:
            rows = [(path, asks) for (_, path), asks in ADDRESSES.items() if only in (None, path)]
            asked = [(path, ask) for path, asks in rows if not isinstance(asks, str) for ask in asks(self, by)]
            for number, (path, ask) in enumerate(asked):
                if number % turns == int(step) % turns:
                    self._judge(step, by, path, ask)

    def _judge(self, step: float, by: Attacker, path: str, ask: Ask) -> None:
        answer = self.ask(ask, by.token)
        where = f"step {step}: {by.name} asks {ask.method} {ask.path}?{ask.query}"
        leaked = _secrets_in(answer.body) - _secrets_in(ask.body.encode()) - self.may_tell(by, path)
        assert not leaked, f"{where} and is told {sorted(leaked)}"
        assert answer.status < 500, where
        if by in self.outsiders and path.startswith("/api/"):
            assert answer.status == 401, where
        elif path in OFFICE_ALONE and by.role != "office":
            assert answer.status == 403, f"{where} and is told what is the office's"
        if by.role not in ("office", "announcer") or by.member is None:
            assert not NAMES.search(answer.body), f"{where} and is told a name"
        asked_at, before = by.told.get(ask, (step, answer))
        if by.changed.get(path, 0) <= asked_at and path not in COUNTS_NOTES:
            assert answer == before, f"{where} and sees a change: {_first_change(before, answer)}"
        by.told[ask] = step, answer
        if ask.path == "/api/notes" and ask.method == "GET" and answer.status == 200:
            cursor = json.loads(answer.body)["cursor"]
            by.cursors += [cursor] if cursor not in by.cursors else []

    def passed(self, step: float, sent: list[dict[str, Any]], readable: dict[str, set[str]]) -> None:
        """Who may see a change after these notes; whose streams rang is seen at once."""
        orders = any(
            each["kind"] == "sign"
            and each["card"] in self.story.judges_of(each["class"])
            and self.story.is_released(each["class"])
            for each in sent
        )
        for by in self.attackers:
            news = by.member is not None and bool(self.story.readable(by.member) - readable[by.name])
            if by.listener is not None:
                assert by.listener.wake.is_set() == news, f"step {step}: the stream of {by.name}"
                by.listener.wake.clear()
            paths = {path for _, path in ADDRESSES} if news else set()
            if orders and by.member is not None:
                paths |= {path for path, roles in FROM_ORDERS.items() if by.role in roles}
            by.changed |= dict.fromkeys(paths, step)


def _first_change(before: Answer, after: Answer) -> str:
    pairs = enumerate(zip(before.body, after.body, strict=False))
    at = next((at for at, (was, is_now) in pairs if was != is_now), 0)
    was, is_now = (each.body[max(0, at - 60) :][:120] for each in (before, after))
    return f"{before.status} {was!r}, then {after.status} {is_now!r}"


def _secrets_in(body: bytes) -> set[str]:
    return {each.decode() for each in SECRET.findall(body)}


@contextmanager
def siege(data: Path, judges: int) -> Iterator[Siege]:
    laid = Siege(data, judges)
    try:
        yield laid
    finally:
        laid.close()


def attack(data: Path, judges: int, turns: int = 5, only: str | None = None) -> None:
    """Play the day; everybody asks after every step, and at the end for everything, or at one address only."""
    with siege(data, judges) as laid:
        # That somebody looked at a horse fixes the standard of its class, and that a judge did its judges; the office
        # sees that, and not who it was.
        for class_id in CLASSES:
            laid.write("trainee-a", [secret_note("mark", class_id, "trainee-a")])
            laid.write("judge-a", [secret_note("mark", class_id, "judge-a")])
        laid.check(0, 1, only)
        for by in laid.attackers:  # from here on each device has been heard from, which the office sees
            by.told.clear()
        laid.check(0, 1, only)
        for step, (seat, sent) in enumerate(story_of(laid.story), 1):
            readable = {by.name: laid.story.readable(by.member) for by in laid.attackers if by.member is not None}
            laid.write(seat, sent)
            laid.passed(step, sent, readable)
            laid.check(step, turns, only)
            for at, word in enumerate(laid.story.words_after(sent), 1):
                laid.agree(step + at / 10, *word)
                for path in ("/api/office", "/api/day") if only is None else (only,):
                    laid.check(step + at / 10, 1, path)
        laid.check(step, 1, only)


@pytest.fixture(autouse=True)
def a_clock_that_stands(monkeypatch: pytest.MonkeyPatch) -> None:
    """When a device was heard from last is told to the office, and no secret."""
    for module in (door, notes_module):
        monkeypatch.setattr(module, "now_ms", lambda: NOW_MS)


def test_every_route_has_a_row_that_says_how_it_is_attacked() -> None:
    routes = {(method, route.path) for route in ROUTES for method in route.methods or () if method != "HEAD"}
    assert set(ADDRESSES) == routes


@pytest.mark.parametrize("judges", PANELS)
def test_nobody_learns_anything_the_contract_has_not_opened_to_them(tmp_path: Path, judges: int) -> None:
    attack(tmp_path, judges)


COMMANDS: dict[str, dict[str, Any]] = {
    "class": {
        "id": "c1",
        "title": "Mares",
        "standard": "stock-type",
        "sexes": ["mare"],
        "ages": ["aged"],
        "places": 4,
        "lameness": {"from_grade": 3, "outcome": "last"},
        "judges": ["judge-a", "judge-b", "judge-c"],
        "method": "separate",
        "call_judges": [],
        "study_office": False,
    },
    "class-gone": {"id": "c2"},
    "stage": {"class": "c1", "stage": "announced"},
    "entry": {"class": "c1", "number": "8", "identification": None, "horse": None, "exhibitor": None, "division": None},
    "entry-gone": {"class": "c1", "number": "7", "reason": "lame"},
    "entries-take": {"text": "7\n88", "class": "c1"},
    "move": {"class": "c1", "numbers": ["7"], "to": "c2"},
    "strike": {"class": "c1", "number": "7", "reason": "not shown"},
    "split": {"class": "c1", "title": "Colts", "numbers": ["7"]},
    "merge": {"class": "c1", "into": "c2"},
    "combine": {"classes": ["c1", "c2"], "title": "Both"},
    "seat-gone": {"id": "scribe-b"},
}
ASK_NO_NOTES = {"show", "classes-order", "seat", "seat-code", "championship", "championship-gone"}
SIGNED = "is signed, so"


def test_every_command_of_the_office_is_attacked_or_asks_no_notes() -> None:
    assert set(office_commands.COMMANDS) == {*COMMANDS, *ASK_NO_NOTES}


@pytest.mark.parametrize("command", COMMANDS)
def test_the_office_s_commands_say_no_more_than_that_a_class_is_judged_or_signed(tmp_path: Path, command: str) -> None:
    """How much is on the cards changes no answer; a signature refuses what would harm it, and says not whose it is."""

    def answered(world: str) -> tuple[int, str]:
        with siege(tmp_path / world, 3) as laid:
            for class_id in CLASSES:
                laid.write("trainee-a", [secret_note("mark", class_id, "trainee-a", number="12")])
                for judge in sorted(laid.story.judges_of(class_id)) if world != "begun" else ():
                    laid.write(
                        judge, [note(kind, judge, **{"class": class_id}) for kind in ("mark", "ruling", "order")]
                    )
            if world.startswith("signed"):
                laid.write(world[7:], [note("sign", world[7:])])
            ask = Ask("POST", f"/api/office/{command}", body=json.dumps(COMMANDS[command]))
            answer = laid.ask(ask, laid.tokens["office"])
            return answer.status, json.loads(answer.body).get("error", {}).get("sentence", "")

    begun = answered("begun")
    assert answered("marked") == begun
    signed = answered("signed judge-a")
    assert signed == begun or (signed[0] in (400, 409) and SIGNED in signed[1])
    assert answered("signed judge-b") == signed


FOUND = r"is told|sees a change|the stream of"


@pytest.mark.parametrize("role", ROLES)
def test_a_hole_opened_for_role_is_found(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, role: Role) -> None:
    row = "mark" if role != "judge" else "order"
    monkeypatch.setitem(seats.READS, row, {**READS[row], role: (lambda *_: True,)})
    with pytest.raises(AssertionError, match=FOUND):
        attack(tmp_path, 3)


def _looked_through(show: RunningShow, seat: Seat, after: int, limit: int) -> Pulled:
    """A pull that filters a page of the log and gives the place it reached: its cursor counts what others wrote."""
    page = show.store.since(after, limit)
    notes = [as_sent(each) for each in page.notes if seats.may_read(seat, each, show.facts)]
    return Pulled(notes, page.cursor, page.more)


def _rung_for_everything(show: RunningShow) -> None:
    show.bell.ring(lambda _seat: True)


def _whole_class(show: RunningShow, _seat: Seat, class_id: str) -> list[dict[str, Any]]:
    return [as_sent(each) for each in show.notes_of(class_id)]


def _counted(show: RunningShow, seat: Seat, note: dict[str, Any]) -> str | None:
    reason = _WHY_REFUSED(show, seat, note)
    return reason and f"{reason} ({len(show.notes_of(note['class']))} notes)"


def _yes(*_: object) -> bool:
    return True


def _any_device(request: Request, _role: Role) -> Device:
    return device_of(request)


HOLES: dict[str, tuple[str, Any, dict[str, Any]]] = {
    "a cursor that counts": ("/api/notes", notes_module, {"pull": _looked_through}),
    "a bell for everybody": ("/api/stream", pushing, {"ring": _rung_for_everything}),
    "a refusal that says how much is there": ("/api/notes", pushing, {"_why_refused": _counted}),
    "a class given whole": ("/api/classes/{id}/notes", notes_module, {"notes_of_class": _whole_class}),
    "an export of all notes": ("/api/classes/{id}/file", cards, {"may_read": _yes}),
    "a placing for whoever asks": ("/api/classes/{id}/placing", cards, {"may_read": _yes, "may_read_card": _yes}),
    "results before all have signed": ("/api/results", resultlist, {"_sees": _yes}),
    "a table before all have signed": ("/api/results.csv", resultlist, {"_sees": _yes}),
    "names for whoever asks": ("/api/results", resultlist, {"WITH_NAMES": ROLES}),
    "the show's file for whoever asks": ("/api/show-file", showfile_module, {"device_in_role": _any_device}),
    "the office's state for whoever asks": ("/api/office", office_module, {"device_in_role": _any_device}),
    "commands from whoever asks": ("/api/office/{command}", office_module, {"device_in_role": _any_device}),
    "the devices for whoever asks": ("/api/devices", devices_module, {"device_in_role": _any_device}),
}


@pytest.mark.parametrize("hole", HOLES)
def test_a_hole_opened_at_an_address_is_found(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, hole: str) -> None:
    address, where, patches = HOLES[hole]
    for name, by in patches.items():
        monkeypatch.setattr(where, name, by)
    with pytest.raises(AssertionError, match=FOUND):
        attack(tmp_path, 3, turns=2, only=address)
