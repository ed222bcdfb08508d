"""The devices of a show, for its office: which have joined, and taking one off its seat."""

from __future__ import annotations

import asyncio

from starlette.requests import Request
from starlette.responses import Response

from nearside.web.answers import JSON
from nearside.web.door import device_in_role, ground_of


async def devices(request: Request) -> Response:
    """GET /api/devices"""
    device = device_in_role(request, "office")
    return JSON({"devices": ground_of(request).devices_of(device.show)})


async def revoke(request: Request) -> Response:
    """POST /api/devices/{id}/revoke"""
    device = device_in_role(request, "office")
    revoked = await asyncio.to_thread(ground_of(request).revoke, device.show, request.path_params["id"])
    revoked.show.bell.end(revoked.id)
    return JSON({"revoked": revoked.id})
