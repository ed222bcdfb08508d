"""What a class comes to: the placing of a card, and the file it travels as."""

from __future__ import annotations

import asyncio
import re

from starlette.requests import Request
from starlette.responses import Response

from nearside.show.cards import class_file_for, placing_for
from nearside.web.answers import JSON, packed
from nearside.web.door import device_of


async def placing(request: Request) -> Response:
    """GET /api/classes/{id}/placing?card="""
    device = device_of(request)
    work = placing_for(device.show, device.seat, request.path_params["id"], request.query_params.get("card"))
    # Off the loop: a large class takes some 30 ms, and notes must not wait for it.
    return packed(request, JSON(await asyncio.to_thread(work)))


async def class_file(request: Request) -> Response:
    """GET /api/classes/{id}/file?card="""
    device = device_of(request)
    answer = class_file_for(device.show, device.seat, request.path_params["id"], request.query_params.get("card"))
    parts = (device.show.title, answer["class"]["id"], answer["card"])
    name = "-".join(re.sub(r"[^A-Za-z0-9]+", "-", part).strip("-").lower()[:40] or "class" for part in parts)
    return packed(request, JSON(answer, headers={"Content-Disposition": f'attachment; filename="{name}.json"'}))
