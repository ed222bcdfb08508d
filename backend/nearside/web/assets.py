"""The page's files, read and joined once when the server starts and served from memory.

Nothing on the disk is reached by a request: a path is a key of a table, and what is not in the table is not there,
however it is spelled. A document (`index.html`, `office.html`) names one script and its stylesheets: all that the
script reaches is joined into it and its chunk, the stylesheets into one sheet (`linking.py`). `index.html` is served as
`/`, another as its name. The version of the page is a hash over the name and content of every file it needs; the
service worker is told it, and the list of what it must hold, by a line put in front of it. What belongs to another
document alone is not among them: such a page needs the server.
"""

from __future__ import annotations

import gzip
import hashlib
import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

import brotli

import nearside
from nearside.web.linking import NotLinked, linked_chunk, linked_script, linked_sheet, slim_script

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
PACKED = frozenset((TYPES[".png"],))  # compressed already
DOCUMENT = ".html"
INDEX = "/index.html"
CHUNK = "/more.js"  # beside the script of the page, loaded when it is at work
WORKER = "/sw.js"

_SCRIPT = re.compile(r'<script type="module" src="([^"]+)"></script>')
_SHEETS = re.compile(r'(?:<link rel="stylesheet" href="[^"]+">\n)+')
_NAMED = re.compile(r'href="([^"]+)"')
_WORTH_PACKING = 0.9


@dataclass(frozen=True)
class Asset:
    """One file as it is sent."""

    body: bytes
    media_type: str
    etag: str

    @cached_property
    def packed(self) -> dict[str, bytes]:
        """The body by content coding, Brotli first, in those that save anything. Takes a moment the first time."""
        if self.media_type in PACKED:
            return {}
        codings = {"br": brotli.compress(self.body), "gzip": gzip.compress(self.body, 9, mtime=0)}
        return {name: body for name, body in codings.items() if len(body) < _WORTH_PACKING * len(self.body)}

    @property
    def travels(self) -> int:
        """The bytes a browser fetches that takes every coding."""
        return min([len(self.body), *map(len, self.packed.values())])


class NoPage(Exception):
    """The page's files are not where or what they should be; its text is one line."""


def folder(package: Path = PACKAGE) -> Path:
    """Where the page is: within the installed package, or beside `backend/` in the repository. Raises: NoPage."""
    for place in (package / "frontend", package.parents[1] / "frontend"):
        if place.is_dir():
            return place
    raise NoPage(f"The page is missing: there is neither {package / 'frontend'} nor {package.parents[1] / 'frontend'}.")


def read_assets(root: Path, made: Mapping[str, bytes] | None = None) -> dict[str, Asset]:
    """Every file the page fetches by its path, `/` for the page itself; `made` are those that are no files.

    Raises: NoPage where a script or a stylesheet can't be joined, saying which and why.
    """
    files: dict[str, bytes] = {}
    for path in sorted(root.rglob("*")):
        parts = path.relative_to(root).parts
        if path.suffix in TYPES and path.is_file() and not any(part.startswith(".") for part in parts):
            files["/" + "/".join(parts)] = path.read_bytes()
    scripts = {path: body.decode() for path, body in files.items() if path.endswith(".js") and path != WORKER}
    sheets = {path: body.decode() for path, body in files.items() if path.endswith(".css")}
    try:
        documents = {
            path: _joined(path, body.decode(), scripts, sheets)
            for path, body in files.items()
            if path.endswith(DOCUMENT)
        }
        shell = {path: body for path, body in files.items() if not path.endswith((".js", ".css", DOCUMENT))}
        shell |= {**documents.pop(INDEX, {}), **(made or {})}
        if WORKER in files:
            shell[WORKER] = shell_line(shell | {WORKER: files[WORKER]}) + slim_script(files[WORKER].decode()).encode()
    except NotLinked as refusal:
        raise NoPage(f"The page can't be put together: {refusal}.") from None
    everything = shell | {path: body for each in documents.values() for path, body in each.items()}
    return {_address(path): _asset(path, body) for path, body in everything.items()}


def shell_line(files: Mapping[str, bytes]) -> bytes:
    """The line in front of the service worker: version and list of all it must hold to work without a network.

    A phone fetches the pictures for its home screen when the page is put there, which takes a network anyway.
    """
    whole = hashlib.sha256()
    for path, body in sorted(files.items()):
        whole.update(f"{path} {len(body)}\n".encode() + body)
    paths = sorted(_address(path) for path in files if path != WORKER and not path.endswith(".png"))
    shell = {"version": whole.hexdigest()[:16], "assets": paths}
    return f"self.NEARSIDE_SHELL = {json.dumps(shell)};\n".encode()


def _address(path: str) -> str:
    """Where a file is served: a document without its ending, the page itself at the root."""
    return "/" if path == INDEX else path.removesuffix(DOCUMENT)


def _joined(path: str, page: str, scripts: Mapping[str, str], sheets: Mapping[str, str]) -> dict[str, bytes]:
    """A document with one script, its chunk and one sheet in the place of the many."""
    chunk = CHUNK if path == INDEX and CHUNK in scripts else None
    joined = {}
    sheet = path.removesuffix(DOCUMENT) + ".css"
    for entry in _SCRIPT.findall(page):
        joined[entry] = linked_script(scripts, entry, chunk=chunk).encode()
        if chunk is not None:
            joined[chunk] = linked_chunk(scripts, entry, chunk).encode()
        sheet = entry.removesuffix(".js") + ".css"
    named = [href for run in _SHEETS.findall(page) for href in _NAMED.findall(run)]
    if named:
        joined[sheet] = linked_sheet(sheets, named).encode()
    joined[path] = _SHEETS.sub(f'<link rel="stylesheet" href="{sheet}">\n', page, count=1).encode()
    return joined


def _asset(path: str, body: bytes) -> Asset:
    return Asset(body, TYPES[path[path.rindex(".") :]], f'"{hashlib.sha256(body).hexdigest()[:32]}"')
