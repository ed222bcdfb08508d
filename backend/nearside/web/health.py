"""Whether the server is up, for whoever watches it; asks nothing of anybody."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import Response

from nearside import __version__
from nearside.web.answers import JSON


async def health(_request: Request) -> Response:
    """GET /health"""
    return JSON({"status": "ok", "version": __version__})
