"""The commands that keep the record of a show: `nearside verify`.

All of them work on a data folder. Those that only read do so while the show is served; what cannot be done says why
in one line.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path
from typing import Any

from nearside.settings import DEFAULT_DATA
from nearside.show.refusals import CannotOpen
from nearside.show.verifying import AT_THE_END, heads_account, verified_account, verify_folder
from nearside.store.protocol import StoreError

CHANGED = 1


def add_commands(commands: Any) -> None:
    """Add the commands to a parser's subparsers; each sets `run`, which returns the exit status."""
    verifying = commands.add_parser(
        "verify",
        help="check that the notes of a show are what they were when they were signed",
        description="Checks each class's notes against its signatures, and against heads from printed results. Works "
        "while the show is served. Exit status 0: whole, 1: something was changed.",
    )
    _add_data(verifying)
    _add_show(verifying)
    verifying.add_argument("--head", action="append", default=[], metavar="HEAD", help="a head from a printed result")
    verifying.set_defaults(run=_says_no(_verify))


def _add_data(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--data", type=Path, default=DEFAULT_DATA, metavar="DIR", help="the data folder (./data)")


def _add_show(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--show", metavar="ID", help="which show, where the folder has several")


def _says_no(command: Callable[[argparse.Namespace], int]) -> Callable[[argparse.Namespace], int]:
    """Whatever cannot be done, as the one kind of refusal the command line prints."""

    def run(options: argparse.Namespace) -> int:
        try:
            return command(options)
        except StoreError as refusal:
            raise CannotOpen(str(refusal)) from None

    return run


def _verify(options: argparse.Namespace) -> int:
    shows = verify_folder(options.data, options.show)
    said, all_found = heads_account(shows, options.head)
    print("\n".join(verified_account(each) for each in shows))
    print(said or f"{AT_THE_END}\n", end="")
    return 0 if all_found and all(each.is_whole for each in shows) else CHANGED
