"""Joining and leaving: a code for a cookie, once; no network is needed for anything but this."""

from __future__ import annotations

import asyncio
import math
import time

from starlette.requests import Request
from starlette.responses import Response

from nearside.show.refusals import Refusal
from nearside.show.strict_json import Refused, read_json
from nearside.web.answers import JSON
from nearside.web.door import COOKIE, COOKIE_AGE_S, body_of, ground_of, settings_of, token_of
from nearside.web.errors import STATUS, error


async def join(request: Request) -> Response:
    """POST /api/join"""
    ground = ground_of(request)
    code = _code_in(await body_of(request))
    client = request.client.host if request.client else ""
    wait_s = ground.throttle.wait_s(client, request.app.state.clock_s())
    if wait_s > 0:
        seconds = math.ceil(wait_s)
        sentence = f"Too many wrong codes came from here. Wait {seconds} s and type the code again."
        return error(STATUS["too_many_tries"], "too_many_tries", sentence, **{"Retry-After": str(seconds)})
    try:
        ground.seat_with(code)
    except Refusal:
        # Counted before anything is waited for, so that codes sent all at once are as many tries.
        ground.throttle.wrong(client, request.app.state.clock_s())
        raise
    device, token, former = await asyncio.to_thread(ground.join, code, token_of(request), time.time_ns() // 1_000_000)
    if former is not None:
        former.show.bell.end(former.id)
    answer = JSON({"show": device.show.on_the_wire(), "seat": device.seat.on_the_wire()})
    _set_cookie(answer, request, token, COOKIE_AGE_S)
    return answer


async def leave(request: Request) -> Response:
    """POST /api/leave"""
    token = token_of(request)
    device = await asyncio.to_thread(ground_of(request).leave, token) if token else None
    if device is not None:
        device.show.bell.end(device.id)
    answer = JSON({"left": device is not None})
    _set_cookie(answer, request, "", 0)
    return answer


def _set_cookie(answer: Response, request: Request, token: str, age_s: int) -> None:
    is_https = settings_of(request).is_https or request.url.scheme == "https"
    answer.set_cookie(COOKIE, token, max_age=age_s, path="/", secure=is_https, httponly=True, samesite="lax")


def _code_in(body: bytes) -> str:
    try:
        value = read_json(body)
    except Refused as refused:
        raise Refusal("bad_request", f"The request {refused.problem}.", refused.where or None) from None
    code = value.get("code") if isinstance(value, dict) and len(value) == 1 else None
    if not isinstance(code, str):
        raise Refusal("bad_request", 'The request must be {"code": "..."} and nothing else.', "code")
    return code
