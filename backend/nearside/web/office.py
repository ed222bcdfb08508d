"""The office: the whole show for its own page, and every change of it."""

from __future__ import annotations

import asyncio
from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from nearside.show.horses import LOOKING
from nearside.show.office import office_for
from nearside.show.office_commands import list_read, planned
from nearside.show.office_lists import MOST_CHARACTERS
from nearside.show.records import Asking
from nearside.show.showground import Device
from nearside.show.strict_json import TEXT_AT_MOST
from nearside.web.answers import JSON
from nearside.web.door import device_in_role, ground_of, now_ms, sent_json, settings_of

_WITH_A_LIST = ("entries-read", "entries-take")


async def office(request: Request) -> Response:
    """GET /api/office"""
    return await _state(request, device_in_role(request, "office"))


async def entries_read(request: Request) -> Response:
    """POST /api/office/entries-read"""
    device = device_in_role(request, "office")
    value = await _sent(request, "entries-read")
    records = ground_of(request).records

    def read() -> JSON:
        return JSON(list_read(records(device.show), value))

    return await asyncio.to_thread(read)


async def command(request: Request) -> Response:
    """POST /api/office/{command}"""
    device = device_in_role(request, "office")
    name = request.path_params["command"]
    value = await _sent(request, name)
    asking = Asking(device.seat.id, device.id, now_ms())
    await ground_of(request).change(device.show, planned(name, value, asking))
    return await _state(request, device)


async def _sent(request: Request, command: str) -> Any:
    """The JSON of a command; a list of entries is one text, and longer than any other may be."""
    return await sent_json(request, MOST_CHARACTERS if command in _WITH_A_LIST else TEXT_AT_MOST)


async def _state(request: Request, device: Device) -> Response:
    """The whole state; never packed, for it holds codes and what people typed side by side."""
    ground = ground_of(request)
    base = (settings_of(request).public_url or str(request.base_url)).rstrip("/")

    records = ground.records_of_results(device.show)
    looked_at = device.show.log.classes_with(LOOKING)

    def read() -> JSON:
        devices = ground.devices_of(device.show)
        return JSON(office_for(records, looked_at, devices, lambda code: f"{base}/#join={code}"))

    return await asyncio.to_thread(read)
