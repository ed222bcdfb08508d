"""The bell of a show: wakes the devices that listen when something they may read has arrived.

It says "pull now" and nothing else, so however much arrives, one waiting ring a device is enough. A device is not
woken for what its seat may not read: that something was written at all is not its business.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Mapping

from nearside.show.seats import Seat

# A page holds one stream; a seat's tabs and a stale connection or two are forgiven, more is a leak.
MOST_A_DEVICE = 4


class Listener:
    """One open stream. `wake` is set when there is something to say: a ring, or that it is over."""

    def __init__(self, device: str, seat: Seat) -> None:
        self.device = device
        self.seat = seat
        self.wake = asyncio.Event()
        self.is_over = False

    def end(self) -> None:
        """Close the stream: the device left or was revoked, or the server stops."""
        self.is_over = True
        self.wake.set()


class Bell:
    """The listeners of one show."""

    def __init__(self) -> None:
        self._listeners: list[Listener] = []
        self._is_over = False

    def __len__(self) -> int:
        return len(self._listeners)

    def listen(self, device: str, seat: Seat) -> Listener:
        """A new listener; the oldest of a device that has too many is ended."""
        mine = [each for each in self._listeners if each.device == device and not each.is_over]
        if len(mine) >= MOST_A_DEVICE:
            mine[0].end()
        listener = Listener(device, seat)
        if self._is_over:
            listener.end()
        self._listeners.append(listener)
        return listener

    def forget(self, listener: Listener) -> None:
        """Wake a listener no more: its stream is closed."""
        if listener in self._listeners:
            self._listeners.remove(listener)

    def reseat(self, seats: Mapping[str, Seat]) -> None:
        """Who sits where has changed: each listener goes by its seat as it is now."""
        for listener in self._listeners:
            listener.seat = seats.get(listener.seat.id, listener.seat)

    def ring(self, concerns: Callable[[Seat], bool]) -> None:
        """Wake those whose seat it concerns and who are not awake yet."""
        for listener in self._listeners:
            if not listener.wake.is_set() and concerns(listener.seat):
                listener.wake.set()

    def end(self, device: str | None = None) -> None:
        """Close the streams of one device, or all of them and every later one: the server stops."""
        self._is_over = self._is_over or device is None
        for listener in list(self._listeners):
            if device is None or listener.device == device:
                listener.end()
