"""Notes in and notes out."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import Response

from nearside.show.day import revision_of
from nearside.show.pulling import MOST_NOTES, notes_of_class, pull
from nearside.show.pushing import push
from nearside.show.refusals import Refusal
from nearside.store.protocol import StoreError
from nearside.web.answers import JSON, packed
from nearside.web.door import device_of, ground_of, now_ms, sent_body
from nearside.web.errors import store_refused

NOT_KEPT = (
    "The show office could not keep this just now. Nothing is lost: your notes stay on this device and are sent again. "
    "Tell the office if this goes on, its disk may be full."
)
_INTEGER_AT_MOST = 2**53 - 1


async def push_notes(request: Request) -> Response:
    """POST /api/notes"""
    device = device_of(request)
    body = await sent_body(request)
    seat = device.seat
    try:
        return JSON({"receipts": await push(device.show, seat, body)})
    except StoreError as failure:
        if seat.role == "office":
            raise  # what is written at the show table waits nowhere
        return store_refused(failure, NOT_KEPT)


async def pull_notes(request: Request) -> Response:
    """GET /api/notes?after=&limit=&waiting="""
    device = device_of(request)
    after = _number(request, "after", 0, _INTEGER_AT_MOST) or 0
    limit = _number(request, "limit", 1, MOST_NOTES) or MOST_NOTES
    waiting = _number(request, "waiting", 0, _INTEGER_AT_MOST)
    if waiting is not None:
        ground_of(request).heard_from(device, now_ms(), waiting)
    show, seat = device.show, device.seat
    return packed(request, JSON({**pull(show, seat, after, limit)._asdict(), "day": revision_of(show, seat)}))


async def class_notes(request: Request) -> Response:
    """GET /api/classes/{id}/notes"""
    device = device_of(request)
    return packed(request, JSON({"notes": notes_of_class(device.show, device.seat, request.path_params["id"])}))


def _number(request: Request, name: str, least: int, most: int) -> int | None:
    text = request.query_params.get(name)
    if text is None:
        return None
    if not (text.isascii() and text.isdecimal() and len(text) < 20 and least <= int(text) <= most):
        raise Refusal("bad_request", f"{name} must be a whole number from {least} to {most}.", name)
    return int(text)
