"""The page's files, read once when the server starts and served from memory.

Nothing on the disk is reached by a request: a path is a key of a table, and what is not in the table is not there,
however it is spelled. The version of the page is a hash over every file's name and content; the service worker is
told it, and the list of what it must hold, by a line put in front of it.

Comments that fill whole lines stay at home: they are a third of what a phone would fetch. Their lines stay as empty
ones, so that a place in an error is the place in the file.
"""

from __future__ import annotations

import gzip
import hashlib
import json
import re
from pathlib import Path
from typing import NamedTuple

import nearside

PACKAGE = Path(nearside.__file__).parent
TYPES = {
    ".html": "text/html; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".json": "application/json",
    ".css": "text/css; charset=utf-8",
    ".webmanifest": "application/manifest+json",
    ".svg": "image/svg+xml",
    ".png": "image/png",
}
PACKED = frozenset((".png",))  # compressed already
WORKER = "/sw.js"

# Only where nothing but the comment stands on its lines; a cast before an expression stays.
_BLOCKS = re.compile(rb"^[ \t]*/\*(?:(?!\*/).)*\*/[ \t]*$", re.MULTILINE | re.DOTALL)
_LINES = re.compile(rb"^[ \t]*//.*$", re.MULTILINE)
INDEX = "/index.html"


class Asset(NamedTuple):
    """One file as it is sent."""

    body: bytes
    packed: bytes | None
    """The body in gzip, where that saves anything."""
    media_type: str
    etag: str


class NoPage(Exception):
    """The page's files are not where they should be; its text is one line."""


def folder(package: Path = PACKAGE) -> Path:
    """Where the page is: within the installed package, or beside `backend/` in the repository. Raises: NoPage."""
    for place in (package / "frontend", package.parents[1] / "frontend"):
        if place.is_dir():
            return place
    raise NoPage(f"The page is missing: there is neither {package / 'frontend'} nor {package.parents[1] / 'frontend'}.")


def read_assets(root: Path) -> dict[str, Asset]:
    """Every file of the page by its path, `/` for the page itself."""
    files: dict[str, bytes] = {}
    for path in sorted(root.rglob("*")):
        parts = path.relative_to(root).parts
        if path.suffix in TYPES and path.is_file() and not any(part.startswith(".") for part in parts):
            files["/" + "/".join(parts)] = without_comments(path.suffix, path.read_bytes())
    if WORKER in files:
        files[WORKER] = shell_line(files) + files[WORKER]
    assets = {path: _asset(path, body) for path, body in files.items()}
    if INDEX in assets:
        assets["/"] = assets.pop(INDEX)
    return assets


def without_comments(suffix: str, body: bytes) -> bytes:
    """A script or a stylesheet without the comments that fill whole lines; line by line as long as before."""
    if suffix not in (".js", ".css"):
        return body
    body = _BLOCKS.sub(lambda found: b"\n" * found[0].count(b"\n"), body)
    return _LINES.sub(b"", body) if suffix == ".js" else body


def shell_line(files: dict[str, bytes]) -> bytes:
    """The line in front of the service worker: version and list of all it must hold to work without a network."""
    whole = hashlib.sha256()
    for path, body in sorted(files.items()):
        whole.update(f"{path} {len(body)}\n".encode() + body)
    paths = sorted("/" if path == INDEX else path for path in files if path != WORKER)
    shell = {"version": whole.hexdigest()[:16], "assets": paths}
    return f"self.NEARSIDE_SHELL = {json.dumps(shell)};\n".encode()


def _asset(path: str, body: bytes) -> Asset:
    suffix = path[path.rindex(".") :]
    packed = None if suffix in PACKED else gzip.compress(body, 9, mtime=0)
    if packed is not None and len(packed) > 0.9 * len(body):
        packed = None
    return Asset(body, packed, TYPES[suffix], f'"{hashlib.sha256(body).hexdigest()[:32]}"')
