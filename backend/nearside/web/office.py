"""The office: the whole show for its own page, and every change of it."""

from __future__ import annotations

import asyncio
import time

from starlette.requests import Request
from starlette.responses import Response

from nearside.show.asked import as_refusal
from nearside.show.office import office_for
from nearside.show.office_commands import planned
from nearside.show.records import Asking
from nearside.show.showground import Device
from nearside.show.strict_json import Refused, read_json
from nearside.web.answers import JSON
from nearside.web.door import body_of, device_in_role, ground_of, settings_of


async def office(request: Request) -> Response:
    """GET /api/office"""
    return await _state(request, device_in_role(request, "office"))


async def command(request: Request) -> Response:
    """POST /api/office/{command}"""
    device = device_in_role(request, "office")
    body = await body_of(request)
    try:
        value = read_json(body)
    except Refused as refused:
        raise as_refusal(refused) from None
    asking = Asking(device.seat.id, device.id, time.time_ns() // 1_000_000)
    await ground_of(request).change(device.show, planned(request.path_params["command"], value, asking))
    return await _state(request, device)


async def _state(request: Request, device: Device) -> Response:
    """The whole state; never packed, for it holds codes and what people typed side by side."""
    ground = ground_of(request)
    base = (settings_of(request).public_url or str(request.base_url)).rstrip("/")

    def read() -> JSON:
        records = ground.records(device.show)
        return JSON(office_for(records, ground.devices_of(device.show), lambda code: f"{base}/#join={code}"))

    return await asyncio.to_thread(read)
