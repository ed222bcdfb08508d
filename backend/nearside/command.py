"""What the commands of the command line have in common that work on a data folder."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path

from nearside.settings import DEFAULT_DATA, BadSetting
from nearside.show.refusals import CannotOpen
from nearside.store.protocol import StoreError


def add_data(parser: argparse.ArgumentParser) -> None:
    """The option that names the data folder."""
    parser.add_argument("--data", type=Path, default=DEFAULT_DATA, metavar="DIR", help="the data folder (./data)")


def add_show(parser: argparse.ArgumentParser) -> None:
    """The option that names one of its shows."""
    parser.add_argument("--show", metavar="ID", help="which show, where the folder has several")


def says_no(
    command: Callable[[argparse.Namespace], int], *refusals: type[Exception]
) -> Callable[[argparse.Namespace], int]:
    """A command whose refusals, these and those of store and settings, are the kind that the command line prints."""
    told: tuple[type[Exception], ...] = (BadSetting, StoreError, *refusals)

    def run(options: argparse.Namespace) -> int:
        try:
            return command(options)
        except told as refusal:
            raise CannotOpen(str(refusal)) from None

    return run
