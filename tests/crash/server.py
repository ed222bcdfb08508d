"""A real `nearside serve` on the loopback, started and ended from outside as an operator or a power cut would."""

import asyncio
import json
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

START_WITHIN_S = 20

CLASS_FILE: dict[str, Any] = {
    "format": "nearside-class/1",
    "class": {
        "id": "c1",
        "title": "Stock type mares, aged",
        "standard": "stock-type",
        "sexes": ["mare"],
        "ages": ["aged"],
        "places": 6,
    },
    "entries": [{"number": str(number)} for number in range(1, 31)],
    "card": "judge-a",
    "notes": [],
}


def open_show(data: Path) -> dict[str, str]:
    """A show with a judge and a scribe in a new data folder; returns the join code of each role."""
    data.mkdir(parents=True, exist_ok=True)
    class_file = data / "class.json"
    class_file.write_text(json.dumps(CLASS_FILE))
    command = ["open", str(class_file), "--title", "A show", "--data", str(data), "--seat", "judge", "--seat", "scribe"]
    told = subprocess.run(
        [sys.executable, "-m", "nearside", *command], capture_output=True, text=True, check=True
    ).stdout
    codes = re.findall(r"\((\w+)\)\s+\S+/#join=(\w{8})", told)
    return dict(codes)


class Served:
    """One server process. Ended only by its own id."""

    def __init__(self, process: asyncio.subprocess.Process, address: str) -> None:
        self.process = process
        self.address = address

    @classmethod
    async def start(cls, data: Path) -> "Served":
        """Start Nearside on a data folder and wait until it says where it listens."""
        return await cls.run("nearside", "serve", "--data", str(data), "--port", "0")

    @classmethod
    async def run(cls, module: str, *arguments: str) -> "Served":
        """Start a module that says on a line where it listens."""
        process = await asyncio.create_subprocess_exec(
            sys.executable, "-m", module, *arguments, stdout=asyncio.subprocess.PIPE
        )
        assert process.stdout is not None
        said, found = b"", None
        while found is None:
            line = await asyncio.wait_for(process.stdout.readline(), START_WITHIN_S)
            said += line
            assert line, f"the server did not say where it listens: {said!r}"
            found = re.search(rb"listens at (http://\S+)", line)
        return cls(process, found[1].decode())

    async def kill(self) -> None:
        """End it with no chance to finish anything."""
        self.process.kill()
        await self.process.wait()
