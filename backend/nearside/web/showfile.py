"""The whole show as one file, for its office to keep: the cards of the judges sealed in it."""

from __future__ import annotations

import asyncio
import gzip
import re

from starlette.requests import Request
from starlette.responses import Response

from nearside.show.showfile import office_copy, show_file
from nearside.show.strict_json import canonical
from nearside.web.answers import PACKING_LEVEL, takes_gzip
from nearside.web.door import device_in_role, ground_of


async def show_copy(request: Request) -> Response:
    """GET /api/show-file"""
    device = device_in_role(request, "office")
    show, ground, is_packed = device.show, ground_of(request), takes_gzip(request)
    facts = show.facts_now()  # What is open at this moment: the rest is done off the loop.

    def content() -> bytes:
        tables, notes = ground.as_it_stands(show)
        whole = show_file(tables, next(each for each in tables["shows"] if each["id"] == show.id), notes)
        data = canonical(office_copy(whole, device.seat, facts)).encode()
        return gzip.compress(data, PACKING_LEVEL, mtime=0) if is_packed else data

    name = re.sub(r"[^A-Za-z0-9]+", "-", show.title).strip("-").lower()[:40] or "show"
    headers = {"Cache-Control": "no-store", "Content-Disposition": f'attachment; filename="{name}.json"'}
    if is_packed:
        headers |= {"Content-Encoding": "gzip"}
    headers |= {"Vary": "Accept-Encoding"}
    return Response(await asyncio.to_thread(content), headers=headers, media_type="application/json")
