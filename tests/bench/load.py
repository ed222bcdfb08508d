"""The load: keep-alive connections that push marks as fast as they are acknowledged, in a process of its own.

`python -m tests.bench.load` reads one order a line on standard input, JSON with `address`, `cookie`, `card`, `batch`
and `requests`, and answers each with the seconds from the first byte sent to the last answer. Bodies are made before
the clock starts and answers are only looked at for their length and the count of kept notes, so that the load is not
what is measured.
"""

import asyncio
import json
import sys
import time
from functools import partial
from typing import Any
from urllib.parse import urlsplit

CONNECTIONS = 16


class Connection(asyncio.Protocol):
    """Sends the next request when the answer to the one before is complete."""

    def __init__(self, requests: list[bytes], batch: int, finished: "asyncio.Future[None]") -> None:
        self.requests = requests
        self.batch = batch
        self.finished = finished
        self.received = bytearray()

    def connection_made(self, transport: asyncio.BaseTransport) -> None:
        assert isinstance(transport, asyncio.Transport)
        self.transport = transport

    def begin(self) -> None:
        self._next()

    def data_received(self, data: bytes) -> None:
        self.received += data
        end = self.received.find(b"\r\n\r\n")
        if end < 0:
            return
        head = bytes(self.received[:end]).lower()
        length = int(head.partition(b"content-length:")[2].partition(b"\r\n")[0])
        if len(self.received) < end + 4 + length:
            return
        if not head.startswith(b"http/1.1 200") or self.received.count(b'"kept"') != self.batch:
            self._end(RuntimeError(f"an answer that does not keep all: {bytes(self.received[:300])!r}"))
            return
        self.received.clear()
        self._next()

    def connection_lost(self, error: Exception | None) -> None:
        self._end(error or ConnectionResetError("the server hung up"))

    def _next(self) -> None:
        if self.requests:
            self.transport.write(self.requests.pop())
        else:
            self._end(None)

    def _end(self, error: Exception | None) -> None:
        if not self.finished.done():
            if error:
                self.finished.set_exception(error)
            else:
                self.finished.set_result(None)


def mark(number: int, card: str) -> dict[str, Any]:
    """A mark as a device sends it; another number is another note."""
    return {
        "id": f"01JBENCH{number:018d}",
        "class": "c1",
        "kind": "mark",
        "card": card,
        "at": 1_764_061_200_000 + number,
        "replaces": [],
        "number": str(number % 30 + 1),
        "trait": "topline",
        "view": "profile",
        "degree": number % 3 + 1,
    }


def request(host: str, cookie: str, card: str, first: int, batch: int) -> bytes:
    """A push of marks with ids from `first` on."""
    notes = [mark(number, card) for number in range(first, first + batch)]
    body = json.dumps({"notes": notes}, separators=(",", ":")).encode()
    head = (
        f"POST /api/notes HTTP/1.1\r\nHost: {host}\r\nContent-Type: application/json\r\n"
        f"Cookie: {cookie}\r\nContent-Length: {len(body)}\r\n\r\n"
    )
    return head.encode() + body


async def run(address: str, cookie: str, card: str, batch: int, requests: int, first: int) -> float:
    """Push that many requests over all connections; returns the seconds it took."""
    loop = asyncio.get_running_loop()
    parts = urlsplit(address)
    host, port = parts.hostname or "", parts.port or 0
    bodies = [request(parts.netloc, cookie, card, first + at * batch, batch) for at in range(requests)]
    ends: list[asyncio.Future[None]] = [loop.create_future() for _ in range(CONNECTIONS)]
    connections = []
    for number, end in enumerate(ends):
        share = bodies[number::CONNECTIONS]
        connections.append(await loop.create_connection(partial(Connection, share, batch, end), host, port))
    start = time.perf_counter()
    for _, connection in connections:
        connection.begin()
    await asyncio.gather(*ends)
    seconds = time.perf_counter() - start
    for transport, _ in connections:
        transport.close()
    return seconds


def main() -> None:
    first = 0
    for line in sys.stdin:
        order = json.loads(line)
        print(asyncio.run(run(**order, first=first)), flush=True)
        first += order["batch"] * order["requests"]


if __name__ == "__main__":
    main()
