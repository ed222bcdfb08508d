"""The server in this process: what it leaves behind when it has stopped."""

from __future__ import annotations

import asyncio
import socket
from pathlib import Path

import uvicorn

from nearside.settings import Settings
from nearside.show.showground import Showground
from nearside.web.app import create_app
from nearside.web.server import _Server
from tests.show.ground import open_small_show


def test_a_server_that_has_stopped_has_let_its_folder_go(tmp_path: Path) -> None:
    open_small_show(tmp_path)
    settings = Settings(tmp_path, port=0)
    for _ in range(2):  # the second would meet the lock of the first
        ground = Showground.in_folder(tmp_path)
        stopping = _Server(
            uvicorn.Config(create_app(ground, {}, settings), lifespan="off", log_config=None), ground, ""
        )
        stopping.should_exit = True
        asyncio.run(stopping._serve([socket.create_server(("127.0.0.1", 0))]))
