"""The record of lameness calls, for whoever may read one."""

from __future__ import annotations

import asyncio

from starlette.requests import Request
from starlette.responses import Response

from nearside.show.calls import calls_for
from nearside.web.answers import JSON, packed
from nearside.web.door import device_of, ground_of


async def calls(request: Request) -> Response:
    """GET /api/calls"""
    device = device_of(request)
    show = device.show
    # Off the loop: every class's notes are read for it, and new ones must not wait.
    work = asyncio.to_thread(calls_for, ground_of(request).records(show), show.facts_now(), device.seat)
    return packed(request, JSON(await work))
