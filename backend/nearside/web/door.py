"""The door: which device a request comes from, and the body it brought.

The cookie is all that names a device. A body is read to its limit and no further, whether or not its length was
given; what a longer one holds is never in memory.
"""

from __future__ import annotations

import time
from typing import Any

from starlette.requests import Request

from nearside.settings import Settings
from nearside.show.asked import as_refusal
from nearside.show.refusals import Refusal
from nearside.show.seats import Role
from nearside.show.showground import Device, Showground
from nearside.show.strict_json import TEXT_AT_MOST, Refused, read_json

COOKIE = "nearside-device"
_COOKIE_NAME = COOKIE.encode()
_JSON = b"application/json"
COOKIE_AGE_S = 60 * 24 * 3600  # longer than any show; the office can end it at any time
MOST_BYTES = 2 * 1024 * 1024  # 500 notes of the longest text fit


def ground_of(request: Request) -> Showground:
    ground: Showground = request.app.state.ground
    return ground


def settings_of(request: Request) -> Settings:
    settings: Settings = request.app.state.settings
    return settings


def now_ms() -> int:
    """The wall clock, in ms: for the office to read, never to decide by."""
    return time.time_ns() // 1_000_000


def token_of(request: Request) -> str | None:
    """The token in the device's cookie. Read by hand, for this is done with every request."""
    token = None
    for name, value in request.scope["headers"]:
        if name == b"cookie":
            for pair in value.split(b";"):
                key, _, content = pair.partition(b"=")
                if key.strip() == _COOKIE_NAME:
                    token = content.strip()
    return None if token is None else token.decode("latin-1")


def device_of(request: Request) -> Device:
    """The device that asks. Raises: Refusal where it has not joined or was revoked."""
    ground = ground_of(request)
    device = ground.device(token_of(request))
    ground.heard_from(device, now_ms())
    return device


def device_in_role(request: Request, role: Role) -> Device:
    """The device that asks, on a seat of this role. Raises: Refusal."""
    device = device_of(request)
    if device.seat.role != role:
        raise Refusal("not_your_task", f"Only the {role} seat of the show does this.")
    return device


async def sent_body(request: Request) -> bytes:
    """The body a device brought, which still has its seat now that all of it is here. Raises: Refusal.

    Who asks is looked up before this, so that nobody else's body is read; but a body may take its time, and the office
    may take the device off its seat meanwhile.
    """
    body = await body_of(request)
    ground_of(request).device(token_of(request))
    return body


async def sent_json(request: Request, text_at_most: int = TEXT_AT_MOST) -> Any:
    """The same read as JSON; no text in it may be longer than so many characters. Raises: Refusal."""
    return _json_in(await sent_body(request), text_at_most)


async def json_of(request: Request) -> Any:
    """The body of a request read as JSON, whoever it is from. Raises: Refusal."""
    return _json_in(await body_of(request), TEXT_AT_MOST)


async def body_of(request: Request) -> bytes:
    """The body of a request that brings JSON. Raises: Refusal where it is too large or says it is something else."""
    kind = length = b""
    for name, value in request.scope["headers"]:
        if name == b"content-type":
            kind = value
        elif name == b"content-length":
            length = value
    if kind != _JSON and kind.partition(b";")[0].strip().lower() != _JSON:
        raise Refusal("bad_request", "Send JSON, with the header Content-Type: application/json.")
    if length.isdigit() and int(length[:12]) > MOST_BYTES:
        raise _too_large()
    parts: list[bytes] = []
    size = 0
    more = True
    while more:
        message = await request.receive()
        if message["type"] != "http.request":
            raise Refusal("bad_request", "The request broke off.")
        part = message.get("body", b"")
        size += len(part)
        if size > MOST_BYTES:
            raise _too_large()
        parts.append(part)
        more = message.get("more_body", False)
    return parts[0] if len(parts) == 1 else b"".join(parts)


def _json_in(body: bytes, text_at_most: int) -> Any:
    try:
        return read_json(body, text_at_most=text_at_most)
    except Refused as refused:
        raise as_refusal(refused) from None


def _too_large() -> Refusal:
    most = MOST_BYTES // 1024 // 1024
    return Refusal("too_large", f"A request may be {most} MiB at most; send fewer notes at a time.")
