"""Who comes back, and who is named."""

from __future__ import annotations

import asyncio
from functools import partial

from starlette.requests import Request
from starlette.responses import Response

from nearside.show.championships import championships_for, checked_naming, plan_naming, read_back
from nearside.show.records import Asking
from nearside.show.showground import Device
from nearside.web.answers import JSON, packed
from nearside.web.door import device_of, ground_of, now_ms, sent_json


async def championships(request: Request) -> Response:
    """GET /api/championships"""
    return await _told(request, device_of(request))


async def name_champion(request: Request) -> Response:
    """POST /api/championships/{id}"""
    device = device_of(request)
    asked = checked_naming(await sent_json(request))
    asking = Asking(device.seat.id, device.id, now_ms())
    plan = partial(plan_naming, seat=device.seat, asking=asking, championship_id=request.path_params["id"], asked=asked)
    await ground_of(request).change(device.show, plan)
    return await _told(request, device)


async def read_back_naming(request: Request) -> Response:
    """POST /api/championships/{id}/read-back"""
    device = device_of(request)
    asked = checked_naming(await sent_json(request))
    records = ground_of(request).records_of_results(device.show)
    told = await asyncio.to_thread(read_back, records, device.seat, request.path_params["id"], asked)
    return packed(request, JSON({"championship": told}))


async def _told(request: Request, device: Device) -> Response:
    records = ground_of(request).records_of_results(device.show)
    # Off the loop, as the results are.
    return packed(request, JSON(await asyncio.to_thread(championships_for, records, device.seat)))
