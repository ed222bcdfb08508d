"""What a server is told at start: where its data is, where it listens, under which address people reach it.

Checked once, here; the rest of the program may rely on it. Nothing is read from the environment: what a server does
is all on its command line.
"""

from __future__ import annotations

import ipaddress
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import urlsplit

DEFAULT_PORT = 8470
DEFAULT_DATA = Path("data")


class BadSetting(ValueError):
    """A setting that cannot be served; its text says which and why, in one line."""


@dataclass(frozen=True)
class Settings:
    """`public_url` is the address people type where a server in front takes the requests, or None."""

    data: Path
    host: str = "127.0.0.1"
    port: int = DEFAULT_PORT
    public_url: str | None = None

    def __post_init__(self) -> None:
        if not 0 <= self.port <= 65535:
            raise BadSetting(f"--port must be 0 to 65535, not {self.port}")
        if not self.host or any(character.isspace() or character == "/" for character in self.host):
            raise BadSetting("--host must be a name or an address of this machine, such as 127.0.0.1 or 0.0.0.0")
        if self.public_url is not None:
            self._check_public_url(self.public_url)

    @staticmethod
    def _check_public_url(url: str) -> None:
        try:
            parts = urlsplit(url)
            _ = parts.port
        except ValueError as error:
            raise BadSetting(f"--public-url is not an address: {error}") from None
        if parts.scheme not in ("http", "https") or not parts.hostname:
            raise BadSetting("--public-url must begin with https:// (or http://) and a name")
        if parts.path not in ("", "/") or parts.query or parts.fragment or parts.username:
            raise BadSetting("--public-url must be scheme and name only, such as https://show.example")

    @property
    def base_url(self) -> str:
        """The beginning of every link that is handed out."""
        if self.public_url is not None:
            return self.public_url.rstrip("/")
        host = "127.0.0.1" if self.host in ("0.0.0.0", "") else "[::1]" if self.host == "::" else self.host
        host = f"[{host}]" if ":" in host and not host.startswith("[") else host
        return f"http://{host}:{self.port}"

    @property
    def is_https(self) -> bool:
        return self.base_url.startswith("https://")

    @property
    def hosts(self) -> frozenset[str] | None:
        """The names this server answers to, without port; None where any will do.

        A server on the loopback alone answers only to loopback names, so that a page of another site whose name was
        pointed here is not served. A server on a network cannot know all the names it is reached by.
        """
        if not self.is_loopback:
            return None
        public = urlsplit(self.public_url).hostname if self.public_url else None
        names = {"localhost", "127.0.0.1", "[::1]", self.host.lower()}
        return frozenset(names | {public} if public else names)

    @property
    def is_loopback(self) -> bool:
        try:
            return ipaddress.ip_address(self.host).is_loopback
        except ValueError:
            return self.host.lower() == "localhost"
