"""What Nearside's server is measured against: Starlette and SQLite, put together as one would who knows both.

`python -m tests.bench.baseline DATABASE` serves one route, `POST /api/notes`, on the loopback. JSON is parsed and its
shape checked; waiting requests are written as one transaction on one writer thread (write-ahead log, synchronous
FULL, `on conflict do nothing`), and each is answered after the commit, with one wake-up of the loop a group. It knows
no seats, no rights and no classes, so it has less to do.
"""

import asyncio
import json
import socket
import sqlite3
import sys
import threading
from queue import SimpleQueue
from typing import Any

import uvicorn
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

Waiter = tuple[list[tuple[str, str, str]], "asyncio.Future[list[str]]"]

SHAPE: dict[str, type | tuple[type, ...]] = {
    "id": str,
    "class": str,
    "kind": str,
    "card": str,
    "at": int,
    "replaces": list,
    "number": str,
    "trait": str,
    "view": str,
    "degree": (int, type(None)),
}
INSERT = "insert into notes (id, class, body) values (?, ?, ?) on conflict do nothing"


class Group:
    """Group commit over one connection, used by one thread."""

    def __init__(self, path: str) -> None:
        self.path = path
        self.waiting: list[Waiter] = []
        self.is_busy = False
        self.groups: SimpleQueue[list[Waiter]] = SimpleQueue()
        self.loop: asyncio.AbstractEventLoop | None = None

    async def append(self, rows: list[tuple[str, str, str]]) -> list[str]:
        if self.loop is None:
            self.loop = asyncio.get_running_loop()
            threading.Thread(target=self._work, daemon=True).start()
        waiter: asyncio.Future[list[str]] = self.loop.create_future()
        self.waiting.append((rows, waiter))
        if not self.is_busy:
            self.is_busy = True
            self.loop.call_soon(self._next)
        return await waiter

    def _next(self) -> None:
        group, self.waiting = self.waiting, []
        if group:
            self.groups.put(group)
        else:
            self.is_busy = False

    def _settled(self, group: list[Waiter], statuses: list[list[str]]) -> None:
        for (_, waiter), answer in zip(group, statuses, strict=True):
            if not waiter.done():
                waiter.set_result(answer)
        self._next()

    def _work(self) -> None:
        assert self.loop is not None
        connection = sqlite3.connect(self.path, isolation_level=None)
        connection.execute("pragma journal_mode=wal")
        connection.execute("pragma synchronous=full")
        connection.execute(
            "create table if not exists notes "
            "(cursor integer primary key, id text unique not null, class text not null, body text not null)"
        )
        while True:
            group = self.groups.get()
            rows = [row for rows, _ in group for row in rows]
            connection.execute("begin immediate")
            before = connection.total_changes
            connection.executemany(INSERT, rows)
            kept = connection.total_changes - before
            connection.execute("commit")
            if kept == len(rows):
                statuses = [["kept"] * len(rows) for rows, _ in group]
            else:  # some were known; which ones does not matter to what is measured
                statuses = [["known"] * len(rows) for rows, _ in group]
            self.loop.call_soon_threadsafe(self._settled, group, statuses)


def shaped(body: bytes) -> list[tuple[str, str, str]]:
    """The rows of a push. Raises `ValueError`."""
    notes: list[dict[str, Any]] = json.loads(body)["notes"]
    if not 0 < len(notes) <= 500:
        raise ValueError("1 to 500 notes")
    for note in notes:
        if note.keys() != SHAPE.keys():
            raise ValueError("fields")
        for field, kind in SHAPE.items():
            if not isinstance(note[field], kind):
                raise ValueError(field)
        note["by"] = "judge-a"
    return [(note["id"], note["class"], json.dumps(note, separators=(",", ":"))) for note in notes]


def app(path: str) -> Starlette:
    group = Group(path)

    async def push(request: Request) -> Response:
        try:
            rows = shaped(await request.body())
        except (ValueError, KeyError, TypeError, AttributeError):
            return JSONResponse({"error": "bad"}, 400)
        statuses = await group.append(rows)
        return JSONResponse(
            {
                "receipts": [
                    {"id": row[0], "status": status, "reason": None} for row, status in zip(rows, statuses, strict=True)
                ]
            }
        )

    return Starlette(routes=[Route("/api/notes", push, methods=["POST"])])


def main() -> None:
    # Named as TCP, or asyncio leaves Nagle's algorithm on and every answer waits 40 ms for the other side's delay.
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP) as listening:
        listening.bind(("127.0.0.1", 0))
        listening.listen(1024)
        print(f"The baseline listens at http://127.0.0.1:{listening.getsockname()[1]}", flush=True)
        # The settings `nearside serve` has.
        config = uvicorn.Config(
            app(sys.argv[1]),
            http="httptools",
            loop="asyncio",
            ws="none",
            lifespan="off",
            log_config=None,
            access_log=False,
            server_header=False,
            proxy_headers=False,
            timeout_keep_alive=30,
        )
        asyncio.run(uvicorn.Server(config).serve(sockets=[listening]))


if __name__ == "__main__":
    main()
