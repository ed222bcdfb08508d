"""A real server for the browser tests: opened, killed, and started again on the same port, as a show's would be."""

from __future__ import annotations

import json
import re
import select
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import httpx

START_WITHIN_S = 20.0

Classes = list[tuple[str, str, str, list[str], list[tuple[str, str]]]]
"""Of each class: id, title, standard, sexes, and the entries with what they are known by."""

CLASSES: Classes = [
    (
        "c4",
        "Stock type mares, aged",
        "stock-type",
        ["mare"],
        [
            ("7", "sorrel, blaze"),
            ("12", "bay, star"),
            ("31", "grey"),
            ("40", "brown"),
            ("58", "buckskin, black points"),
            ("103", "bay roan, left hind sock"),
        ],
    ),
    ("c5", "Hunter type geldings, three and over", "hunter-type", ["gelding"], [("21", "bay"), ("22", "chestnut")]),
]


class Served:
    """A show in a data folder, served on a port of the loopback that stays the same over restarts."""

    def __init__(self, data: Path, codes: dict[str, str]) -> None:
        self.data = data
        self.codes = codes
        self.port = 0
        self.opening_code = ""
        self._process: subprocess.Popen[bytes] | None = None
        self.start()

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def start(self, page: Path | None = None) -> None:
        """Serve, and return when it listens; with the page's files of another folder where one is given."""
        words = ["serve", "--data", str(self.data), "--port", str(self.port)]
        program = "import sys; from pathlib import Path; import nearside.web.serve as serve; "
        # The script as it is served, only that its modules can be reached from outside: see phone.linked().
        program += "import functools; import nearside.web.assets as assets; "
        for joins in ("linked_script", "linked_chunk"):
            program += f"assets.{joins} = functools.partial(assets.{joins}, exports_all=True); "
        program += f"serve.folder = lambda: Path({str(page)!r}); " if page is not None else ""
        program += "from nearside.cli import main; sys.exit(main(sys.argv[1:]))"
        self._process = subprocess.Popen([sys.executable, "-c", program, *words], stdout=subprocess.PIPE, bufsize=0)
        opening = re.search(rb"#open=(\w{8})", _next_line(self._process))
        assert opening, "the server did not say how a show is opened"
        self.opening_code = opening[1].decode()
        found = re.search(rb"listens at http://127\.0\.0\.1:(\d+)", _next_line(self._process))
        assert found, "the server did not say where it listens"
        self.port = int(found[1])

    def kill(self) -> None:
        """End it as a power cut would."""
        if self._process is None:
            return
        self._process.send_signal(signal.SIGKILL)
        self._process.wait()
        if self._process.stdout is not None:
            self._process.stdout.close()
        self._process = None

    def notes_of(self, role: str) -> list[dict[str, Any]]:
        """Everything the seat may read, asked for page by page on a device of its own."""
        with self.device(role) as device:
            notes: list[dict[str, Any]] = []
            cursor, more = 0, True
            while more:
                page = device.get("/api/notes", params={"after": cursor, "limit": 500}).json()
                notes += page["notes"]
                cursor, more = page["cursor"], page["more"]
            return notes

    @contextmanager
    def device(self, role: str) -> Iterator[httpx.Client]:
        """Another device, joined as the seat."""
        with httpx.Client(base_url=self.address, timeout=10) as client:
            client.post("/api/join", json={"code": self.codes[role]}).raise_for_status()
            yield client

    def write(self, role: str, *notes: dict[str, Any]) -> None:
        """Notes written on another device of the seat."""
        with self.device(role) as device:
            receipts = device.post("/api/notes", json={"notes": list(notes)}).json()["receipts"]
        assert [each["status"] for each in receipts] == ["kept"] * len(notes), receipts


def note(note_id: str, **fields: Any) -> dict[str, Any]:
    """A note as another device would write it, in class c4 on the judge's card unless it says otherwise."""
    base: dict[str, Any] = {"id": note_id, "class": "c4", "by": "judge", "at": 1764061200000, "replaces": []}
    if fields["kind"] not in ("presence", "entry"):
        base["card"] = "judge-a"
    return base | fields


def open_show(data: Path, classes: Classes = CLASSES) -> dict[str, str]:
    """A show in a new data folder, of two classes unless told otherwise; returns the join code of each role."""
    data.mkdir(parents=True, exist_ok=True)
    files = []
    for class_id, title, standard, sexes, entries in classes:
        file = data / f"{class_id}.json"
        file.write_text(
            json.dumps(
                {
                    "format": "nearside-class/1",
                    "class": {
                        "id": class_id,
                        "title": title,
                        "standard": standard,
                        "sexes": sexes,
                        "ages": ["aged"],
                        "places": 4,
                    },
                    "entries": [{"number": number, "identification": marks} for number, marks in entries],
                    "card": "judge-a",
                    "notes": [],
                }
            )
        )
        files.append(str(file))
    seats = ["--seat", "steward", "--seat", "judge", "--seat", "scribe"]
    command = [sys.executable, "-m", "nearside", "open", *files, "--title", "Mill Meadow Open Show", *seats]
    told = subprocess.run([*command, "--data", str(data)], capture_output=True, text=True, check=True).stdout
    return dict(re.findall(r"\((\w+)\)\s+\S+/#join=(\w{8})", told))


def _next_line(process: subprocess.Popen[bytes]) -> bytes:
    assert process.stdout is not None
    until = time.monotonic() + START_WITHIN_S
    while time.monotonic() < until:
        if select.select([process.stdout], [], [], 0.2)[0]:
            return process.stdout.readline()
        assert process.poll() is None, "the server ended before it listened"
    raise AssertionError("the server did not start in time")
