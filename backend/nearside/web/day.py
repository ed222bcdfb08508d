"""The day of the device that asks."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import Response

from nearside.show.day import day_for
from nearside.web.answers import JSON, packed
from nearside.web.door import device_of


async def day(request: Request) -> Response:
    """GET /api/day"""
    device = device_of(request)
    return packed(request, JSON(day_for(device.show, device.seat)))
