"""Joining and leaving: a code for a cookie, once; no network is needed for anything but this. And opening a show."""

from __future__ import annotations

import asyncio
import math
from collections.abc import Callable
from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from nearside.show.refusals import Refusal
from nearside.web.answers import JSON
from nearside.web.door import COOKIE, COOKIE_AGE_S, ground_of, json_of, now_ms, settings_of, token_of
from nearside.web.errors import STATUS, error


async def join(request: Request) -> Response:
    """POST /api/join"""
    ground = ground_of(request)
    (code,) = _texts_in(await json_of(request), "code")
    waits = _waits(request)
    if waits is not None:
        return waits
    _tried(request, lambda: ground.seat_with(code))
    return await _joined(request, code)


async def open_show(request: Request) -> Response:
    """POST /api/shows"""
    ground = ground_of(request)
    code, title = _texts_in(await json_of(request), "code", "title")
    waits = _waits(request)
    if waits is not None:
        return waits
    _tried(request, lambda: ground.check_opening(code))
    office = await asyncio.to_thread(ground.open_show, title, now_ms())
    return await _joined(request, office.code)


async def leave(request: Request) -> Response:
    """POST /api/leave"""
    token = token_of(request)
    device = await asyncio.to_thread(ground_of(request).leave, token) if token else None
    if device is not None:
        device.show.bell.end(device.id)
    answer = JSON({"left": device is not None})
    _set_cookie(answer, request, "", 0)
    return answer


def _waits(request: Request) -> Response | None:
    """The answer for a client that sent too many wrong codes."""
    wait_s = ground_of(request).throttle.wait_s(_client(request), request.app.state.clock_s())
    if wait_s <= 0:
        return None
    seconds = math.ceil(wait_s)
    sentence = f"Too many wrong codes came from here. Wait {seconds} s and type the code again."
    return error(STATUS["too_many_tries"], "too_many_tries", sentence, **{"Retry-After": str(seconds)})


def _tried(request: Request, code_leads: Callable[[], object]) -> None:
    """Count a wrong code before anything is waited for, so that codes sent all at once are as many tries."""
    try:
        code_leads()
    except Refusal:
        ground_of(request).throttle.wrong(_client(request), request.app.state.clock_s())
        raise


async def _joined(request: Request, code: str) -> Response:
    """The device joined to the seat of this code, with its cookie."""
    device, token, former = await asyncio.to_thread(ground_of(request).join, code, token_of(request), now_ms())
    if former is not None:
        former.show.bell.end(former.id)
    answer = JSON({"show": device.show.on_the_wire(), "seat": device.seat.on_the_wire()})
    _set_cookie(answer, request, token, COOKIE_AGE_S)
    return answer


def _client(request: Request) -> str:
    return request.client.host if request.client else ""


def _set_cookie(answer: Response, request: Request, token: str, age_s: int) -> None:
    is_https = settings_of(request).is_https or request.url.scheme == "https"
    answer.set_cookie(COOKIE, token, max_age=age_s, path="/", secure=is_https, httponly=True, samesite="lax")


def _texts_in(value: Any, *fields: str) -> list[str]:
    """These fields of a body that has them and nothing else, all text. Raises: Refusal."""
    found = [value.get(each) for each in fields] if isinstance(value, dict) and len(value) == len(fields) else []
    texts = [each for each in found if isinstance(each, str)]
    if len(texts) != len(fields):
        shape = ", ".join(f'"{each}": "..."' for each in fields)
        raise Refusal("bad_request", f"The request must be {{{shape}}} and nothing else.", fields[0])
    return texts
