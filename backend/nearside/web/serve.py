"""The commands that serve: `nearside serve`, `nearside open`, `nearside add`, `nearside seats`, `nearside demo`.

What cannot be done says why in one line. Codes go to standard output alone, for the office's eyes.
"""

from __future__ import annotations

import argparse
import secrets
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import segno

from nearside.command import add_data, add_show, says_no
from nearside.engine.shapes import ClassFile, Standard
from nearside.settings import DEFAULT_PORT, Settings
from nearside.show import demo
from nearside.show.classfile import checked_class_file, read_class_file
from nearside.show.codes import new_code, shown_code
from nearside.show.folder import add_in_folder, catalogue_path, open_in_folder
from nearside.show.opening import DEFAULT_SEATS, OpenedSeat, new_show_id, notes_with_cards, opened_seats, seats_asked
from nearside.show.refusals import CannotOpen
from nearside.show.showground import Showground
from nearside.show.standards import basics
from nearside.show.strict_json import Refused, canonical
from nearside.store.catalogue import TinyCatalogue
from nearside.web.assets import Asset, NoPage, folder, read_assets
from nearside.web.server import bound, calm_collector, run_server


def add_commands(commands: Any) -> None:
    """Add the commands to a parser's subparsers; each sets `run`, which returns the exit status."""
    serve = commands.add_parser("serve", help="serve the shows of a data folder to phones and tablets")
    add_data(serve)
    _add_address(serve)
    serve.set_defaults(run=says_no(_serve, NoPage))

    opening = commands.add_parser(
        "open",
        help="open a show from class files; prints each seat's link and code",
        description="Opens a show from class files in a data folder that is not being served.",
    )
    opening.add_argument("files", metavar="CLASSFILE", nargs="+", help="a class file (nearside-class/1)")
    opening.add_argument("--title", required=True, help="the show's title, as everybody sees it")
    opening.add_argument(
        "--seat",
        action="append",
        metavar="ROLE[:NAME]",
        help="a seat, such as judge:Name; repeat for each. A scribe or trainee belongs to the judge before it. "
        f"Left out: {', '.join(DEFAULT_SEATS)}; an office seat is always there.",
    )
    opening.add_argument("--with-notes", action="store_true", help="take the files' notes along, card by card")
    opening.add_argument("--public-url", metavar="URL", help="the address people will use, for the links")
    add_data(opening)
    opening.set_defaults(run=says_no(_open))

    adding = commands.add_parser(
        "add",
        help="add classes from class files to a show, notes and all where asked",
        description="Adds classes to a show of a data folder that is not being served.",
    )
    adding.add_argument("files", metavar="CLASSFILE", nargs="+", help="a class file (nearside-class/1)")
    add_show(adding)
    adding.add_argument("--with-notes", action="store_true", help="take the files' notes along, card by card")
    add_data(adding)
    adding.set_defaults(run=says_no(_add))

    seats = commands.add_parser("seats", help="print the links and codes of a data folder's shows again")
    seats.add_argument("--public-url", metavar="URL", help="the address people will use, for the links")
    add_data(seats)
    seats.set_defaults(run=says_no(_seats))

    demonstration = commands.add_parser(
        "demo",
        help="serve an invented show to try everything with",
        description="Serves an invented open show. Prints a link, a code and a QR for each seat.",
    )
    demonstration.add_argument("--data", type=Path, metavar="DIR", help="keep it there (left out: a temporary folder)")
    _add_address(demonstration)
    demonstration.set_defaults(run=says_no(_demo, NoPage))


def _add_address(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--host", default="127.0.0.1", help="the address to listen on (127.0.0.1: this machine only)")
    parser.add_argument("--port", type=int, default=DEFAULT_PORT, help=f"the port to listen on ({DEFAULT_PORT})")
    parser.add_argument("--public-url", metavar="URL", help="the address people use, behind a server that speaks HTTPS")


def page_assets() -> dict[str, Asset]:
    """The page with the standards that come with Nearside, for a phone that never joined a show. Raises: NoPage."""
    return read_assets(folder(), {"/basics.json": canonical(basics()).encode()})


def _serve(options: argparse.Namespace) -> int:
    calm_collector()
    settings = Settings(options.data, options.host, options.port, options.public_url)
    assets = page_assets()
    with bound(settings) as (listening, settings):
        ground = Showground.in_folder(settings.data)
        classes = sum(len(show.classes) for show in ground.shows.values())
        code = new_code()
        ground.allow_opening(code)
        print(f"To open a show: {settings.base_url}/office#open={code} (code {shown_code(code)})", flush=True)
        if ground.shows:
            next_step = f"{classes} classes; open it on a phone and type the seat's code"
        else:
            next_step = "no show yet; open one with the link above"
        run_server(ground, assets, settings, listening, f"Nearside listens at {settings.base_url} ({next_step}).")
    return 0


def _open(options: argparse.Namespace) -> int:
    settings = Settings(options.data, public_url=options.public_url)
    show_id = new_show_id()
    seats = seats_asked(options.seat or DEFAULT_SEATS, show_id)
    files = _class_files(options.files)
    judges = [seat.id for seat in seats if seat.role == "judge"]
    notes = notes_with_cards([each for each, _ in files], judges) if options.with_notes else []
    opened = open_in_folder(settings.data, show_id, options.title, files, seats, notes)
    print(f"Opened “{options.title.strip()}” with {len(files)} classes in {settings.data}. Hand out:\n")
    print_seats(opened, settings, with_qr=False)
    print(f"\nNow run: nearside serve --data {settings.data}")
    return 0


def _add(options: argparse.Namespace) -> int:
    files = _class_files(options.files)
    title = add_in_folder(options.data, options.show, files, with_notes=options.with_notes)
    what = ", ".join(each["class"]["title"] for each, _ in files)
    print(f"Added to “{title}” in {options.data}: {what}.\n\nNow run: nearside serve --data {options.data}")
    return 0


def _class_files(names: Sequence[str]) -> list[tuple[ClassFile, Standard]]:
    files = []
    for name in names:
        try:
            files.append(read_class_file(Path(name).read_bytes()))
        except Refused as refused:
            raise CannotOpen(f"{name}: {refused}") from None
        except OSError as failure:
            raise CannotOpen(f"{name}: {failure.strerror}") from None
    return files


def _seats(options: argparse.Namespace) -> int:
    settings = Settings(options.data, public_url=options.public_url)
    catalogue = TinyCatalogue(catalogue_path(settings.data))
    try:
        for record in catalogue.all("shows"):
            print(f"{record['title']}\n")
            print_seats(opened_seats(catalogue, record["id"]), settings, with_qr=False)
    finally:
        catalogue.close()
    return 0


def _demo(options: argparse.Namespace) -> int:
    calm_collector()
    assets = page_assets()
    with tempfile.TemporaryDirectory(prefix="nearside-demo-") as scratch:
        settings = Settings(options.data or Path(scratch), options.host, options.port, options.public_url)
        with bound(settings) as (listening, settings):
            opened = open_demo(settings.data)
            print(f"{demo.TITLE}, an invented show. Each seat has its own link and code:\n")
            print_seats(opened, settings, with_qr=True)
            says = f"Nearside listens at {settings.base_url} (open a link above; Ctrl+C stops)."
            run_server(Showground.in_folder(settings.data), assets, settings, listening, says)
    return 0


def open_demo(data: Path) -> list[OpenedSeat]:
    """The demonstration in a data folder, opened there unless it already is.

    Each folder's show has an id of its own: a phone that joined another demonstration must not take this one for it,
    and think that its notes are here.
    """
    catalogue = TinyCatalogue(catalogue_path(data))
    try:
        for record in catalogue.all("shows"):
            if record["id"].startswith(demo.SHOW_ID_BEGINS):
                return opened_seats(catalogue, record["id"])
    finally:
        catalogue.close()
    show_id = f"{demo.SHOW_ID_BEGINS}{secrets.token_hex(4)}"
    files = [checked_class_file(each) for each in demo.demo_files().values()]
    seats = seats_asked(demo.SEATS, show_id)
    notes = notes_with_cards([each for each, _ in files], [demo.JUDGE])
    return open_in_folder(data, show_id, demo.TITLE, files, seats, notes, demo.at_the_show_table)


def print_seats(opened: Sequence[OpenedSeat], settings: Settings, *, with_qr: bool) -> None:
    """Each seat's link and code, on standard output: they are for the office's eyes, not for a log."""
    for each in opened:
        link = f"{settings.base_url}/#join={each.code}"
        print(f"  {each.seat.name} ({each.seat.role})\n    {link}\n    code {shown_code(each.code)}")
        if with_qr:
            segno.make(link, error="m", micro=False).terminal(sys.stdout, compact=True, border=2)
        print(flush=True)
