"""Group commit: many requests, one append; a failure reaches exactly those it concerns."""

import asyncio
import threading
from collections.abc import Sequence
from typing import Any

import pytest

from nearside.store.group import GroupCommit
from nearside.store.protocol import Note, NoteUnfit, Page, Receipt, StoreClosed, StoreFull
from tests.contracts.reference import MemoryNoteStore


def note(note_id: str, **more: Any) -> Note:
    return {"id": note_id, "class": "c1", **more}


class Gated(MemoryNoteStore):
    """A store that waits at a gate, and remembers what it was asked and on which thread."""

    def __init__(self) -> None:
        super().__init__([])
        self.asked: list[list[str]] = []
        self.threads: set[str] = set()
        self.gate = threading.Event()
        self.gate.set()
        self.entered = threading.Event()
        self.fails: Exception | None = None

    def append(self, notes: Sequence[Note]) -> list[Receipt]:
        self.threads.add(threading.current_thread().name)
        self.asked.append([str(note.get("id")) for note in notes])
        self.entered.set()
        assert self.gate.wait(10)
        if self.fails:
            raise self.fails
        return super().append(notes)


async def entered(store: Gated) -> None:
    assert await asyncio.to_thread(store.entered.wait, 10)


def test_requests_of_one_turn_go_as_one_group_and_each_gets_its_own_receipts() -> None:
    store = Gated()

    async def scenario() -> None:
        group = GroupCommit(store)
        answers = await asyncio.gather(
            group.append([note("a"), note("b")]), group.append([]), group.append([note("c"), note("a")])
        )
        assert list(answers) == [
            [Receipt("a", "kept"), Receipt("b", "kept")],
            [],
            [Receipt("c", "kept"), Receipt("a", "known")],
        ]
        await group.close()

    asyncio.run(scenario())
    assert store.asked == [["a", "b", "c", "a"]]
    assert "MainThread" not in store.threads


def test_requests_that_come_while_a_group_is_written_go_together_as_the_next() -> None:
    store = Gated()

    async def scenario() -> None:
        group = GroupCommit(store)
        store.gate.clear()
        first = asyncio.create_task(group.append([note("a")]))
        await entered(store)
        others = [asyncio.create_task(group.append([note(name)])) for name in "bcd"]
        await asyncio.sleep(0)
        assert not first.done()
        store.gate.set()
        await asyncio.gather(first, *others)
        await group.close()

    asyncio.run(scenario())
    assert store.asked == [["a"], ["b", "c", "d"]]
    assert len(store.threads) == 1


def test_a_group_is_bounded_and_a_request_is_never_split() -> None:
    store = Gated()

    async def scenario() -> None:
        group = GroupCommit(store, most_notes=4)
        sizes = (3, 1, 1, 9, 2)
        asked = [[note(f"{number}-{at}") for at in range(size)] for number, size in enumerate(sizes)]
        await asyncio.gather(*(group.append(notes) for notes in asked))
        await group.close()

    asyncio.run(scenario())
    assert [len(ids) for ids in store.asked] == [4, 1, 9, 2]


def test_a_failed_group_fails_all_its_requests_and_no_others() -> None:
    store = Gated()

    async def scenario() -> None:
        group = GroupCommit(store)
        store.fails = StoreFull("full")
        results = await asyncio.gather(group.append([note("a")]), group.append([note("b")]), return_exceptions=True)
        assert [str(result) for result in results] == ["full", "full"]
        store.fails = None
        assert await group.append([note("a")]) == [Receipt("a", "kept")]
        await group.close()

    asyncio.run(scenario())
    assert store.head() == 1


def test_an_unfit_request_fails_alone() -> None:
    store = Gated()

    async def scenario() -> None:
        group = GroupCommit(store)
        good, bad, also_good = await asyncio.gather(
            group.append([note("a")]),
            group.append([note("b", at=float("nan"))]),
            group.append([note("c")]),
            return_exceptions=True,
        )
        assert good == [Receipt("a", "kept")]
        assert isinstance(bad, NoteUnfit)
        assert also_good == [Receipt("c", "kept")]
        await group.close()

    asyncio.run(scenario())
    assert [stored["id"] for stored in store.since(0, 9).notes] == ["a", "c"]


def test_a_caller_that_goes_away_holds_nobody_up_and_its_notes_are_kept_once() -> None:
    store = Gated()

    async def scenario() -> None:
        group = GroupCommit(store)
        store.gate.clear()
        gone = asyncio.create_task(group.append([note("a")]))
        stays = asyncio.create_task(group.append([note("b")]))
        await entered(store)
        gone.cancel()
        store.gate.set()
        assert await stays == [Receipt("b", "kept")]
        assert await group.append([note("a")]) == [Receipt("a", "known")]
        await group.close()

    asyncio.run(scenario())


def test_closing_writes_what_waits_refuses_what_comes_and_ends_the_thread() -> None:
    store = Gated()
    before = threading.active_count()

    async def scenario() -> None:
        group = GroupCommit(store)
        store.gate.clear()
        first = asyncio.create_task(group.append([note("a")]))
        await entered(store)
        waiting = asyncio.create_task(group.append([note("b")]))
        await asyncio.sleep(0)
        closing = asyncio.create_task(group.close())
        await asyncio.sleep(0)
        with pytest.raises(StoreClosed):
            await group.append([note("c")])
        store.gate.set()
        await closing
        assert await first == [Receipt("a", "kept")]
        assert await waiting == [Receipt("b", "kept")]
        await group.close()

    asyncio.run(scenario())
    assert threading.active_count() <= before + 1  # asyncio's own helper may still be winding down
    assert not [thread for thread in threading.enumerate() if thread.name == "group commit"]


def test_closing_one_that_was_never_used_is_no_error() -> None:
    async def scenario() -> None:
        group = GroupCommit(Gated())
        await group.close()

    asyncio.run(scenario())


def test_a_group_costs_the_loop_one_wake_up_however_many_wait(monkeypatch: pytest.MonkeyPatch) -> None:
    store = Gated()
    wake_ups: list[object] = []

    async def scenario() -> Page:
        loop = asyncio.get_running_loop()
        whole = loop.call_soon_threadsafe

        def counted(callback: Any, *args: Any) -> object:
            wake_ups.append(callback)
            return whole(callback, *args)

        monkeypatch.setattr(loop, "call_soon_threadsafe", counted)
        group = GroupCommit(store)
        await asyncio.gather(*(group.append([note(str(number))]) for number in range(200)))
        await group.close()
        return store.since(0, 500)

    assert len(asyncio.run(scenario()).notes) == 200
    assert len(wake_ups) == 1
