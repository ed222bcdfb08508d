"""The application: every route on one screen.

`create_app()` is given everything it works with. It opens nothing and owns nothing, so a test can hand it a
showground of its own; who opened the showground closes it.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping

from starlette.applications import Starlette
from starlette.middleware import Middleware
from starlette.routing import Route

from nearside.settings import Settings
from nearside.show.showground import Showground
from nearside.web.assets import Asset
from nearside.web.calls import calls
from nearside.web.championships import championships, name_champion, read_back_naming
from nearside.web.classes import class_file, placing
from nearside.web.day import day
from nearside.web.devices import devices, revoke
from nearside.web.errors import HANDLERS
from nearside.web.health import health
from nearside.web.joining import join, leave, open_show
from nearside.web.notes import class_notes, pull_notes, push_notes
from nearside.web.office import command, entries_read, office
from nearside.web.page import asset
from nearside.web.results import results, results_table
from nearside.web.shell import Shell
from nearside.web.showfile import show_copy
from nearside.web.slips import agree, slips
from nearside.web.stream import stream

ROUTES = [
    Route("/api/notes", push_notes, methods=["POST"]),
    Route("/api/notes", pull_notes, methods=["GET"]),
    Route("/api/stream", stream, methods=["GET"]),
    Route("/api/join", join, methods=["POST"]),
    Route("/api/shows", open_show, methods=["POST"]),
    Route("/api/leave", leave, methods=["POST"]),
    Route("/api/day", day, methods=["GET"]),
    Route("/api/classes/{id}/placing", placing, methods=["GET"]),
    Route("/api/classes/{id}/file", class_file, methods=["GET"]),
    Route("/api/classes/{id}/notes", class_notes, methods=["GET"]),
    Route("/api/classes/{id}/slips", slips, methods=["GET"]),
    Route("/api/classes/{id}/agree", agree, methods=["POST"]),
    Route("/api/championships", championships, methods=["GET"]),
    Route("/api/championships/{id}", name_champion, methods=["POST"]),
    Route("/api/championships/{id}/read-back", read_back_naming, methods=["POST"]),
    Route("/api/results", results, methods=["GET"]),
    Route("/api/results.csv", results_table, methods=["GET"]),
    Route("/api/devices", devices, methods=["GET"]),
    Route("/api/devices/{id}/revoke", revoke, methods=["POST"]),
    Route("/api/office", office, methods=["GET"]),
    Route("/api/office/entries-read", entries_read, methods=["POST"]),
    Route("/api/office/{command}", command, methods=["POST"]),
    Route("/api/calls", calls, methods=["GET"]),
    Route("/api/show-file", show_copy, methods=["GET"]),
    Route("/health", health, methods=["GET"]),
    Route("/{path:path}", asset, methods=["GET"]),
]


def create_app(
    ground: Showground,
    assets: Mapping[str, Asset],
    settings: Settings,
    clock_s: Callable[[], float] = time.monotonic,
) -> Starlette:
    """The ASGI application over an open showground; the clock is for waiting times alone."""
    app = Starlette(
        routes=ROUTES,
        middleware=[Middleware(Shell, settings=settings)],
        exception_handlers=HANDLERS,
    )
    app.router.redirect_slashes = False
    app.state.ground = ground
    app.state.assets = assets
    app.state.settings = settings
    app.state.clock_s = clock_s
    return app
