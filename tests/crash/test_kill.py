"""A real server under load through HTTP, killed again and again: what it acknowledged is there, once.

Writers send marks in batches, as phones do: each holds a batch until every note in it is named, and sends it again
after a lost answer. The server is killed at random moments; the seed is printed, and `NEARSIDE_SEED` replays it.
"""

import asyncio
import os
import random
from collections import Counter
from collections.abc import Awaitable, Callable
from pathlib import Path
from typing import Any

import httpx

from tests.crash.server import Served, open_show

KILLS = 20
WRITERS = 5
OVER_WITHIN_S = 120


class Show:
    """The server as writers see it: an address that changes, and times when there is none."""

    def __init__(self, data: Path) -> None:
        self.data = data
        self.served: Served | None = None
        self.is_up = asyncio.Event()
        self.is_over = False
        self.kills_under_way = 0
        self.in_flight = 0

    async def start(self) -> None:
        self.served = await Served.start(self.data)
        self.is_up.set()

    async def kill(self) -> None:
        self.is_up.clear()
        if self.served is None:
            return
        self.kills_under_way += self.in_flight > 0
        served, self.served = self.served, None
        await served.kill()


class Writer:
    """One device with an outbox. Its client is kept: making one takes longer than a server is let live."""

    def __init__(self, show: Show, name: str, code: str, seed: str) -> None:
        self.show = show
        self.name = name
        self.code = code
        self.chance = random.Random(seed)
        self.card = ""
        self.client = httpx.AsyncClient()
        self.acknowledged: dict[str, dict[str, Any]] = {}
        self.statuses: Counter[str] = Counter()

    async def write(self) -> None:
        """Send batch after batch until the show is over, and the last one until it is named."""
        await self._until_answered(self._join)
        number = 0
        while not self.show.is_over:
            batch = [self._mark(number + at) for at in range(self.chance.choice([1, 1, 2, 5, 20]))]
            number += len(batch)
            if self.acknowledged and self.chance.random() < 0.3:
                batch.append(self.chance.choice(list(self.acknowledged.values())))
            await self._until_answered(lambda address: self._send(address, batch))  # noqa: B023

    def _mark(self, number: int) -> dict[str, Any]:
        return {
            "id": f"{self.name}-{number}",
            "class": "c1",
            "kind": "mark",
            "card": self.card,
            "at": 1_764_061_200_000 + number,
            "replaces": [],
            "number": str(number % 30 + 1),
            "trait": "topline",
            "view": "profile",
            "degree": number % 3 + 1,
        }

    async def _join(self, address: str) -> None:
        answer = await self.client.post(f"{address}/api/join", json={"code": self.code})
        answer.raise_for_status()
        self.card = answer.json()["seat"]["card"]

    async def _send(self, address: str, batch: list[dict[str, Any]]) -> None:
        self.show.in_flight += 1
        try:
            answer = await self.client.post(f"{address}/api/notes", json={"notes": batch})
        finally:
            self.show.in_flight -= 1
        answer.raise_for_status()
        self._take(batch, answer.json()["receipts"])

    async def _until_answered(self, ask: Callable[[str], Awaitable[None]]) -> None:
        """Ask again, of whatever server there then is, as long as answers are lost."""
        while True:
            await self.show.is_up.wait()
            assert self.show.served is not None
            try:
                return await ask(self.show.served.address)
            except httpx.TransportError:
                self.statuses["lost"] += 1

    def _take(self, batch: list[dict[str, Any]], receipts: list[dict[str, Any]]) -> None:
        assert [receipt["id"] for receipt in receipts] == [note["id"] for note in batch]
        for note, receipt in zip(batch, receipts, strict=True):
            assert receipt["status"] in ("kept", "known"), receipt
            assert receipt["status"] == "known" or note["id"] not in self.acknowledged, "kept a second time"
            self.statuses[receipt["status"]] += 1
            self.acknowledged[note["id"]] = note


def test_what_a_killed_server_acknowledged_is_there_once_and_sending_it_again_gives_none_new(tmp_path: Path) -> None:
    seed = os.environ.get("NEARSIDE_SEED") or str(random.SystemRandom().randrange(10**6))
    print(f"NEARSIDE_SEED={seed}")
    codes = open_show(tmp_path)
    asyncio.run(_scenario(tmp_path, codes, seed))


async def _scenario(data: Path, codes: dict[str, str], seed: str) -> None:
    chance = random.Random(seed)
    show = Show(data)
    writers = [
        Writer(show, f"{role}-{number}", codes[role], f"{seed}/{number}")
        for number, role in zip(range(WRITERS), ["judge", "scribe"] * WRITERS, strict=False)
    ]
    try:
        async with asyncio.timeout(OVER_WITHIN_S), asyncio.TaskGroup() as tasks:
            await show.start()
            for writer in writers:
                tasks.create_task(writer.write())
            for _ in range(KILLS):
                await asyncio.sleep(chance.uniform(0.02, 0.3))  # the moment of the kill is the thing under test
                await show.kill()
                await show.start()
            show.is_over = True
        statuses = sum((writer.statuses for writer in writers), Counter[str]())
        print(f"{KILLS} kills, {show.kills_under_way} with requests under way; {dict(statuses)}")
        assert show.kills_under_way > 0, "no kill met a request: nothing was tested"
        assert show.served is not None
        await _check_log(show.served.address, writers)
    finally:
        await show.kill()
        for writer in writers:
            await writer.client.aclose()


async def _check_log(address: str, writers: list[Writer]) -> None:
    acknowledged = {note_id: note for writer in writers for note_id, note in writer.acknowledged.items()}
    before = await _pulled(address, writers[0])
    ids = [note["id"] for note in before]
    assert [note_id for note_id, count in Counter(ids).items() if count > 1] == [], "a note is there twice"
    assert acknowledged.keys() - set(ids) == set(), "an acknowledged note is missing"
    assert set(ids) - acknowledged.keys() == set(), "every batch was sent until named, so there are no others"
    for note in before:
        assert note == {**acknowledged[note["id"]], "by": note["by"]}
    for writer in writers:
        await _send_all_again(address, writer)
    assert [note["id"] for note in await _pulled(address, writers[0])] == ids, "sending again gave new notes"


async def _send_all_again(address: str, writer: Writer) -> None:
    notes = list(writer.acknowledged.values())
    for start in range(0, len(notes), 500):
        answer = await writer.client.post(f"{address}/api/notes", json={"notes": notes[start : start + 500]})
        assert {receipt["status"] for receipt in answer.json()["receipts"]} == {"known"}


async def _pulled(address: str, writer: Writer) -> list[dict[str, Any]]:
    notes: list[dict[str, Any]] = []
    cursor, more = 0, True
    while more:
        answer = await writer.client.get(f"{address}/api/notes", params={"after": cursor, "limit": 500})
        page = answer.json()
        notes += page["notes"]
        cursor, more = page["cursor"], page["more"]
    return notes
