"""The stream: says "pull now" when something the seat may read has arrived, and nothing else.

It rings once at the beginning, so that what arrived between the last pull and this connection is not missed. A
comment every 15 s keeps servers in between from closing it. It ends by itself when the device leaves or is revoked
and when the server stops; the page comes back by its own rules, and is turned away if it must be.
"""

from __future__ import annotations

import asyncio
from collections.abc import AsyncGenerator

from starlette.requests import Request
from starlette.responses import Response, StreamingResponse

from nearside.show.showground import Device, Showground
from nearside.web.door import device_of, ground_of, now_ms

COMMENT_EVERY_S = 15.0
PULL = b"event: pull\ndata: now\n\n"
COMMENT = b": still here\n\n"

# After a break the page waits this long, so that a server that comes back is not met by everybody at once.
RETRY = b"retry: 3000\n\n"


async def stream(request: Request) -> Response:
    """GET /api/stream"""
    device = device_of(request)
    headers = {"Cache-Control": "no-store", "X-Accel-Buffering": "no"}
    return StreamingResponse(_rings(ground_of(request), device), media_type="text/event-stream", headers=headers)


async def _rings(ground: Showground, device: Device) -> AsyncGenerator[bytes]:
    # Listening begins with the first byte: a request given up before leaves nothing behind.
    bell = device.show.bell
    listener = bell.listen(device.id, device.seat)
    try:
        yield RETRY + PULL
        while not listener.is_over:
            try:
                async with asyncio.timeout(COMMENT_EVERY_S):
                    await listener.wake.wait()
            except TimeoutError:
                yield COMMENT
                ground.heard_from(device, now_ms())
                continue
            if listener.is_over:
                return
            listener.wake.clear()
            yield PULL
    finally:
        bell.forget(listener)
