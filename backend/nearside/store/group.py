"""Group commit for an asyncio server: many requests, one sync.

Requests that arrive while a group is being written wait together and go as the next one. The store is
called on one thread of its own; each group costs the loop one wake-up, however many wait for it. A group
that fails fails exactly its own requests, with the store's error. Nothing is tried again here: the sender
holds its notes until they are named.
"""

import asyncio
import threading
from collections import deque
from collections.abc import Sequence
from queue import SimpleQueue

from nearside.store.protocol import Note, NoteStore, NoteUnfit, Receipt, StoreClosed

MOST_NOTES = 2_000  # in one group, about 0.5 MB: bounds how long the first of a group waits for the last

_Waiter = tuple[Sequence[Note], "asyncio.Future[list[Receipt]]"]
_Outcome = list[Receipt] | BaseException


class GroupCommit:
    """Appends for one store, from one event loop. Owns its thread, not the store."""

    def __init__(self, store: NoteStore, *, most_notes: int = MOST_NOTES) -> None:
        self._store = store
        self._most_notes = most_notes
        self._waiting: deque[_Waiter] = deque()
        self._groups: SimpleQueue[list[_Waiter] | None] = SimpleQueue()
        self._thread: threading.Thread | None = None
        self._is_busy = False
        self._is_closed = False
        self._idle = asyncio.Event()
        self._idle.set()

    async def append(self, notes: Sequence[Note]) -> list[Receipt]:
        """What the store's `append` returns for these notes, after the sync; raises what it raises.

        If the caller is canceled while it waits, its notes may be kept all the same: sending them again
        is answered `known`. Raises `StoreClosed` after `close`.
        """
        if self._is_closed:
            raise StoreClosed("The server is stopping. Send the notes again when it is back.")
        self._loop = asyncio.get_running_loop()
        waiter: asyncio.Future[list[Receipt]] = self._loop.create_future()
        self._waiting.append((notes, waiter))
        if not self._is_busy:
            self._is_busy = True
            self._idle.clear()
            self._loop.call_soon(self._next_group)  # soon, so that requests of this same turn come along
        return await waiter

    async def close(self) -> None:
        """Refuse further notes, write those that wait, end the thread."""
        self._is_closed = True
        await self._idle.wait()
        if self._thread is not None:
            thread, self._thread = self._thread, None
            self._groups.put(None)
            thread.join()

    def _next_group(self) -> None:
        if not self._waiting:
            self._is_busy = False
            self._idle.set()
            return
        group, room = [self._waiting.popleft()], self._most_notes
        room -= len(group[0][0])
        while self._waiting and len(self._waiting[0][0]) <= room:
            room -= len(self._waiting[0][0])
            group.append(self._waiting.popleft())
        if self._thread is None:
            self._thread = threading.Thread(target=self._work, name="group commit", daemon=True)
            self._thread.start()
        self._groups.put(group)

    def _settled(self, group: list[_Waiter], outcomes: list[_Outcome]) -> None:
        for (_, waiter), outcome in zip(group, outcomes, strict=True):
            if waiter.done():
                continue  # its caller went away
            if isinstance(outcome, BaseException):
                waiter.set_exception(outcome)
            else:
                waiter.set_result(outcome)
        self._next_group()

    def _work(self) -> None:
        while (group := self._groups.get()) is not None:
            self._loop.call_soon_threadsafe(self._settled, group, self._outcomes(group))

    def _outcomes(self, group: list[_Waiter]) -> list[_Outcome]:
        try:
            receipts = self._store.append([note for notes, _ in group for note in notes])
        except NoteUnfit as error:
            if len(group) == 1:
                return [error]
            # One unfit request must not fail the others.
            return [self._outcomes([waiter])[0] for waiter in group]
        except BaseException as error:
            return [error] * len(group)
        outcomes: list[_Outcome] = []
        at = 0
        for notes, _ in group:
            outcomes.append(receipts[at : at + len(notes)])
            at += len(notes)
        return outcomes
