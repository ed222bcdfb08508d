"""Answers of the API: compact JSON that nobody in between keeps, in gzip where the device has little signal."""

from __future__ import annotations

import gzip
import json
import re
from collections.abc import Iterable, Mapping
from typing import Any

from starlette.requests import Request
from starlette.responses import Response

# Below this the headers weigh as much as what is saved; level 5 takes a third of the time of 9 for nearly as much.
WORTH_PACKING_BYTES = 2_000
PACKING_LEVEL = 5

_ZERO = re.compile(r"q=0(\.0{0,3})?")
_encoder = json.JSONEncoder(ensure_ascii=False, separators=(",", ":"), allow_nan=False)
_HEADERS = [(b"content-type", b"application/json"), (b"cache-control", b"no-store")]


class JSON(Response):
    """A JSON answer. Its headers are put together by hand: most answers are receipts, and have no others."""

    def __init__(self, content: Any, status: int = 200, headers: Mapping[str, str] | None = None) -> None:
        self.status_code = status
        self.background = None
        self.body = _encoder.encode(content).encode()
        self.raw_headers = [(b"content-length", b"%d" % len(self.body)), *_HEADERS]
        for name, value in (headers or {}).items():
            self.headers[name] = value


def packed(request: Request, answer: JSON) -> JSON:
    """The answer in gzip where that pays and the device takes it. Not for answers that hold a secret."""
    body = bytes(answer.body)
    if len(body) >= WORTH_PACKING_BYTES and takes_gzip(request):
        answer.body = gzip.compress(body, PACKING_LEVEL, mtime=0)
        answer.headers["Content-Encoding"] = "gzip"
        answer.headers["Content-Length"] = str(len(answer.body))
    answer.headers["Vary"] = "Accept-Encoding"
    return answer


def takes_gzip(request: Request) -> bool:
    """Whether the device takes gzip."""
    return "gzip" in codings_taken(request, ["gzip"])


def codings_taken(request: Request, known: Iterable[str]) -> list[str]:
    """Of the known content codings those the device takes: by name, or else by `*` (RFC 9110, 12.5.3)."""
    takes: dict[str, bool] = {}
    for each in request.headers.get("accept-encoding", "").lower().split(","):
        name, _, weight = each.partition(";")
        takes[name.strip()] = not _ZERO.fullmatch(weight.strip())
    return [name for name in known if takes.get(name, takes.get("*", False))]
