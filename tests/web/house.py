"""The application over the small show, called in this process; and a real server as a process of its own."""

from __future__ import annotations

import asyncio
import os
import re
import select
import signal
import subprocess
import sys
import time
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import httpx

from nearside.settings import Settings
from nearside.show.showground import Showground
from nearside.web.app import create_app
from nearside.web.assets import Asset
from tests.show.ground import SHOW, open_small_show

BASE = "http://127.0.0.1:8470"


class House:
    """The application, a loop, and a device for each seat that is asked for."""

    def __init__(self, data: Path, assets: Mapping[str, Asset] | None, settings: Settings) -> None:
        opened = open_small_show(data)
        self.codes = {each.seat.id: each.code for each in opened}
        self.runner = asyncio.Runner()
        self.ground = Showground.in_folder(data)
        self.show = self.ground.shows[SHOW]
        self.app = create_app(self.ground, assets or {}, settings)
        self.tokens: dict[str, str] = {}

    def ask(
        self,
        method: str,
        path: str,
        seat: str | None = None,
        *,
        client: str = "127.0.0.1",
        cookies: Mapping[str, str] | None = None,
        **how: Any,
    ) -> httpx.Response:
        """One request, from the device on this seat."""
        sent = dict(cookies or {})
        if seat is not None:
            sent["nearside-device"] = self.token(seat)

        async def one() -> httpx.Response:
            transport = httpx.ASGITransport(self.app, client=(client, 5000))
            async with httpx.AsyncClient(transport=transport, base_url=BASE, cookies=sent) as web:
                return await web.request(method, path, **how)

        return self.runner.run(one())

    def get(self, path: str, seat: str | None = None, **how: Any) -> httpx.Response:
        return self.ask("GET", path, seat, **how)

    def post(self, path: str, seat: str | None = None, **how: Any) -> httpx.Response:
        return self.ask("POST", path, seat, **how)

    def push(self, seat: str, *notes: dict[str, Any]) -> list[dict[str, Any]]:
        answer = self.post("/api/notes", seat, json={"notes": list(notes)})
        assert answer.status_code == 200, answer.text
        receipts: list[dict[str, Any]] = answer.json()["receipts"]
        return receipts

    def token(self, seat: str) -> str:
        if seat not in self.tokens:
            self.tokens[seat] = self.ground.join(self.codes[seat], None, 1)[1]
        return self.tokens[seat]

    def close(self) -> None:
        self.runner.run(self.ground.close())
        self.runner.close()


@contextmanager
def house(data: Path, assets: Mapping[str, Asset] | None = None, **settings: Any) -> Iterator[House]:
    """A house in a folder, closed afterwards."""
    opened = House(data, assets, Settings(data, **settings))
    try:
        yield opened
    finally:
        opened.close()


class Served:
    """A server of its own: the command as people run it."""

    def __init__(self, arguments: Sequence[str]) -> None:
        command = [sys.executable, "-m", "nearside", *arguments, "--port", "0"]
        environment = {**os.environ, "PYTHONUNBUFFERED": "1"}
        self.process = subprocess.Popen(
            command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=environment
        )
        self.said: list[str] = []
        self.url = self._listening()

    def _listening(self) -> str:
        assert self.process.stdout is not None
        end = time.monotonic() + 30
        read = b""  # by hand: what a file object holds back, select does not see
        while time.monotonic() < end and self.process.poll() is None:
            if select.select([self.process.stdout], [], [], 1)[0]:
                read += os.read(self.process.stdout.fileno(), 65536)
                self.said = read.decode(errors="replace").splitlines(keepends=True)
                found = re.search(r"^Nearside listens at (\S+).*\n", "".join(self.said), re.MULTILINE)
                if found:
                    return found[1]
        raise AssertionError(f"the server did not start: {self.said} {self.process.communicate(timeout=5)}")

    def stop(self, how: signal.Signals = signal.SIGTERM) -> tuple[int, str, float]:
        """Exit status, standard error and how long it took, in seconds."""
        began = time.monotonic()
        self.process.send_signal(how)
        _, errors = self.process.communicate(timeout=20)
        return self.process.returncode, errors, time.monotonic() - began


@contextmanager
def served(*arguments: str) -> Iterator[Served]:
    """A running server, gone afterwards whatever happens."""
    server = Served(arguments)
    try:
        yield server
    finally:
        if server.process.poll() is None:
            server.process.kill()
            server.process.communicate(timeout=20)
