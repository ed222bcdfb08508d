"""Slips for the exhibitors, and what the judge agrees to."""

from __future__ import annotations

import asyncio
from functools import partial

from starlette.requests import Request
from starlette.responses import Response

from nearside.show.slips import agreed, checked_agreed, plan_agreeing, slips_for
from nearside.web.answers import JSON, packed
from nearside.web.door import device_of, ground_of, sent_json


async def slips(request: Request) -> Response:
    """GET /api/classes/{id}/slips"""
    device, ground = device_of(request), ground_of(request)
    class_id = request.path_params["id"]
    # Off the loop: the card of a large class takes some 10 ms, and notes must not wait for it.
    answer = await asyncio.to_thread(lambda: slips_for(ground.records(device.show), device.seat, class_id))
    return packed(request, JSON(answer))


async def agree(request: Request) -> Response:
    """POST /api/classes/{id}/agree"""
    device, ground = device_of(request), ground_of(request)
    class_id = request.path_params["id"]
    asked = checked_agreed(await sent_json(request))
    await ground.change(device.show, partial(plan_agreeing, seat=device.seat, class_id=class_id, asked=asked))
    return JSON(await asyncio.to_thread(lambda: agreed(ground.records(device.show), device.seat, class_id)))
