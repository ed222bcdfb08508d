"""The page and its files."""

from __future__ import annotations

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from nearside.web.answers import codings_taken
from nearside.web.assets import Asset


async def asset(request: Request) -> Response:
    """GET / and every file of the page.

    Kept by the browser but asked after each time (`no-cache` with an ETag): offline it is the service worker that
    answers, and it goes by the version of the whole.
    """
    assets: dict[str, Asset] = request.app.state.assets
    found = assets.get(request.scope["path"])
    if found is None:
        raise HTTPException(404)
    headers = {"ETag": found.etag, "Cache-Control": "no-cache", "Vary": "Accept-Encoding"}
    known = request.headers.get("if-none-match", "")
    if found.etag in [each.strip().removeprefix("W/") for each in known.split(",")]:
        return Response(status_code=304, headers=headers)
    body = found.body
    packed = await run_in_threadpool(lambda: found.packed)
    for coding in codings_taken(request, packed)[:1]:
        body = packed[coding]
        headers["Content-Encoding"] = coding
    return Response(body, headers={**headers, "Content-Type": found.media_type})
