"""Notes in and notes out."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import Response

from nearside.show.pulling import MOST_NOTES, pull
from nearside.show.pushing import push
from nearside.show.refusals import Refusal
from nearside.web.answers import JSON, packed
from nearside.web.door import body_of, device_of

_CURSOR_AT_MOST = 2**53 - 1


async def push_notes(request: Request) -> Response:
    """POST /api/notes"""
    device = device_of(request)
    body = await body_of(request)
    return JSON({"receipts": await push(device.show, device.seat, body)})


async def pull_notes(request: Request) -> Response:
    """GET /api/notes?after=&limit="""
    device = device_of(request)
    after = _number(request, "after", 0, 0, _CURSOR_AT_MOST)
    limit = _number(request, "limit", MOST_NOTES, 1, MOST_NOTES)
    return packed(request, JSON(pull(device.show, device.seat, after, limit)._asdict()))


def _number(request: Request, name: str, default: int, least: int, most: int) -> int:
    text = request.query_params.get(name)
    if text is None:
        return default
    if not (text.isascii() and text.isdecimal() and len(text) < 20 and least <= int(text) <= most):
        raise Refusal("bad_request", f"{name} must be a whole number from {least} to {most}.", name)
    return int(text)
