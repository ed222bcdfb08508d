"""What goes round every request, as one pure ASGI layer: is the host ours, is a write from our own page, and the
headers that hold the page to itself.

A POST is taken from our own page or from a program, never from another site's page: browsers say where a request
comes from (Origin, Sec-Fetch-Site) and a page cannot change it. Behind a server that speaks HTTPS for us only the
host of the origin is compared, for the scheme seen here is that of the inner leg.
"""

from __future__ import annotations

import re
from urllib.parse import urlsplit

from starlette.types import ASGIApp, Message, Receive, Scope, Send

from nearside.settings import Settings
from nearside.web.errors import error, unforeseen

# No inline script or style, no frame, nothing from elsewhere, nothing in data: or blob:.
PAGE_POLICY = (
    "default-src 'self'; object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'; "
    "frame-src 'none'"
)
API_POLICY = "default-src 'none'; frame-ancestors 'none'"

_COMMON = (
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"no-referrer"),
    (b"cross-origin-resource-policy", b"same-origin"),
)
_PAGE_HEADERS = (
    *_COMMON,
    (b"content-security-policy", PAGE_POLICY.encode()),
    (b"cross-origin-opener-policy", b"same-origin"),
    (b"permissions-policy", b"camera=(self), geolocation=(), microphone=(), payment=(), usb=()"),
    (b"x-frame-options", b"DENY"),
)
_API_HEADERS = (*_COMMON, (b"content-security-policy", API_POLICY.encode()))

_HOST = re.compile(r"(?P<name>[A-Za-z0-9.-]{1,253}|\[[0-9A-Fa-f:.]{2,45}\])(:[0-9]{1,5})?")

_MOST_KNOWN_HOSTS = 100


class Shell:
    """The outermost layer of the application."""

    def __init__(self, app: ASGIApp, settings: Settings) -> None:
        self.app = app
        self.hosts = settings.hosts
        self.known_hosts: set[str | None] = set()
        self.public = urlsplit(settings.base_url).netloc.lower()

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        extra = _API_HEADERS if scope["path"].startswith("/api/") else _PAGE_HEADERS
        has_begun = False

        async def send_with_headers(message: Message) -> None:
            nonlocal has_begun
            if message["type"] == "http.response.start":
                has_begun = True
                message["headers"] = [*message["headers"], *extra]
            await send(message)

        answer = self._refused(scope)
        if answer is not None:
            await answer(scope, receive, send_with_headers)
            return
        try:
            await self.app(scope, receive, send_with_headers)
        except Exception as failure:
            answer = unforeseen(failure)
            if has_begun:
                raise ConnectionAbortedError("the answer broke off") from None
            await answer(scope, receive, send_with_headers)

    def _refused(self, scope: Scope) -> ASGIApp | None:
        host: str | None = None
        origin = site = None
        for name, value in scope["headers"]:
            if name == b"host":
                if host is not None:
                    return error(400, "bad_host", "The request names two hosts.")
                host = value.decode("latin-1").lower()
            elif name == b"origin":
                origin = value.decode("latin-1").lower()
            elif name == b"sec-fetch-site":
                site = value
        if host not in self.known_hosts:
            refusal = self._refused_host(host)
            if refusal is not None:
                return refusal
        if scope["method"] in ("GET", "HEAD", "OPTIONS"):
            return None
        if site not in (None, b"same-origin", b"none") or (origin is not None and not self._is_ours(origin, host)):
            return error(403, "other_site", "Only Nearside's own page may send this; open the page and try again.")
        return None

    def _refused_host(self, host: str | None) -> ASGIApp | None:
        match = _HOST.fullmatch(host) if host else None
        if host is None or match is None:
            return error(400, "bad_host", "The request names no proper host.")
        if self.hosts is not None and match["name"] not in self.hosts:
            return error(
                421, "bad_host", "This server does not go by that name; start it with --public-url if it should."
            )
        if len(self.known_hosts) < _MOST_KNOWN_HOSTS:
            self.known_hosts.add(host)
        return None

    def _is_ours(self, origin: str, host: str | None) -> bool:
        scheme, separator, netloc = origin.partition("://")
        return bool(separator) and scheme in ("http", "https") and netloc in (host, self.public)
