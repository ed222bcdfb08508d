"""The server itself: the socket it listens on, uvicorn's settings, and a stop in the right order.

One process, one loop. A stop is clean and quick: first the streams are told it is over, then what is being written
is finished, then logs and catalogue are let go.
"""

from __future__ import annotations

import asyncio
import gc
import logging
import socket
import sys
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import replace
from types import FrameType

import uvicorn

from nearside.settings import Settings
from nearside.show.refusals import CannotOpen
from nearside.show.showground import Showground
from nearside.web.app import create_app
from nearside.web.assets import Asset

STOP_WITHIN_S = 3


@contextmanager
def bound(settings: Settings) -> Iterator[tuple[socket.socket, Settings]]:
    """The socket to listen on, and the settings with the port it really has."""
    try:
        family, kind, protocol, _, address = socket.getaddrinfo(
            settings.host, settings.port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE
        )[0]
        listening = socket.socket(family, kind, protocol)
    except OSError as failure:
        raise CannotOpen(f"{settings.host} is no address of this machine: {failure.strerror}") from None
    with listening:
        try:
            listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            listening.bind(address)
            listening.listen(1024)
        except OSError as failure:
            where = f"{settings.host} port {settings.port}"
            raise CannotOpen(
                f"cannot listen on {where}: {failure.strerror}; is it running already? Choose another with --port"
            ) from None
        listening.setblocking(False)
        yield listening, replace(settings, port=listening.getsockname()[1])


def calm_collector() -> None:
    """Let the collector of cycles look less often; to be called before the logs are read.

    Notes live as long as the server and hold no cycles, yet each new one brings the next look at all of them nearer:
    measured, half the time of a push of 200, and a third of the time of reading a log of 36,000.
    """
    gc.set_threshold(50_000, 20, 50)


def run_server(
    ground: Showground, assets: Mapping[str, Asset], settings: Settings, listening: socket.socket, says: str
) -> None:
    """Serve until told to stop; closes the showground."""
    gc.collect()
    gc.freeze()  # what is there at the start stays: the collector need never look at it again
    logging.basicConfig(level=logging.WARNING, format="%(asctime)s %(levelname)s %(message)s", stream=sys.stderr)
    logging.getLogger("uvicorn.error").setLevel(logging.ERROR)  # what strangers send wrongly is no news
    config = uvicorn.Config(
        create_app(ground, assets, settings),
        http="httptools",
        loop="asyncio",
        ws="none",
        lifespan="off",
        log_config=None,
        access_log=False,
        server_header=False,
        proxy_headers=settings.public_url is not None,  # believed from this machine only, uvicorn's own default
        timeout_keep_alive=30,
        timeout_graceful_shutdown=STOP_WITHIN_S,
    )
    asyncio.run(_Server(config, ground, says).serve(sockets=[listening]))


class _Server(uvicorn.Server):
    """uvicorn, stopping in our order; a signal ends it with status 0 rather than by the signal."""

    def __init__(self, config: uvicorn.Config, ground: Showground, says: str) -> None:
        super().__init__(config)
        self._ground = ground
        self._says = says

    def handle_exit(self, sig: int, frame: FrameType | None) -> None:  # noqa: ARG002  # uvicorn gives the frame
        self.force_exit = self.should_exit
        self.should_exit = True

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        await super().startup(sockets)
        print(self._says, flush=True)

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        self._ground.end_streams()
        try:
            await super().shutdown(sockets)
        finally:
            await self._ground.close()
