"""The command line: `nearside place`, `serve`, `demo`, `open`.

Refuses bad input with one line on standard error and exit status 2, and writes nothing else. The server's modules are
only imported for the commands that need them.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import NoReturn

from nearside import __version__
from nearside.engine.placing import place
from nearside.show.account import account
from nearside.show.classfile import BYTES_AT_MOST, read_class_file
from nearside.show.refusals import CannotOpen
from nearside.show.standards import words
from nearside.show.strict_json import Refused, canonical

REFUSED = 2
LINE_AT_MOST = 500


class _Parser(argparse.ArgumentParser):
    def error(self, message: str) -> NoReturn:
        _fail(f"{message} (see {self.prog} --help)")


def main(arguments: Sequence[str] | None = None) -> int:
    """Runs one command and returns its exit status."""
    given = sys.argv[1:] if arguments is None else list(arguments)
    options = _parser(given).parse_args(given)
    try:
        status: int = options.run(options)
    except CannotOpen as refusal:
        _fail(str(refusal))
    except BrokenPipeError:  # whoever read the output has had enough
        sys.stderr.close()
        status = 0
    return status


def _parser(given: Sequence[str]) -> argparse.ArgumentParser:
    parser = _Parser(
        prog="nearside",
        description="A ringside notebook for halter classes: marks, a suggested placing, and why for every pair.",
        epilog="The suggestion is the notes' own; the judge decides. A lameness call is an observation, no diagnosis.",
    )
    parser.add_argument("--version", action="version", version=f"nearside {__version__}")
    commands = parser.add_subparsers(title="commands", metavar="COMMAND", required=True)
    placing = commands.add_parser(
        "place",
        help="place the class of a class file, with what decides each pair",
        description="Places the class of a class file from the notes of its card.",
    )
    placing.add_argument("file", metavar="FILE", help="a class file (nearside-class/1), or - for standard input")
    placing.add_argument("--json", action="store_true", help="print the placing as canonical JSON (nearside-placing/1)")
    placing.set_defaults(run=_place)
    if not given or given[0] != "place":
        from nearside.web.serve import add_commands

        add_commands(commands)
    return parser


def _place(options: argparse.Namespace) -> int:
    try:
        class_file, standard = read_class_file(_read(options.file))
    except Refused as error:
        _fail(f"{options.file}: {error}")
    placing = place(class_file, standard, words())
    text = f"{canonical(placing)}\n" if options.json else account(class_file, standard, placing, words())
    sys.stdout.buffer.write(text.encode())
    sys.stdout.buffer.flush()
    return 0


def _read(name: str) -> bytes:
    """The file's bytes, one more than a class file may have at most, so that the rest is never read."""
    try:
        if name == "-":
            return sys.stdin.buffer.read(BYTES_AT_MOST + 1)
        with Path(name).open("rb") as file:
            return file.read(BYTES_AT_MOST + 1)
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        _fail(f"{name}: can't be read: {reason}")


def _fail(message: str) -> NoReturn:
    """One line on standard error, control characters escaped, and exit status 2."""
    line = "".join(
        character if character.isprintable() else character.encode("unicode_escape").decode()
        for character in f"nearside: {message}"
    )
    if len(line) > LINE_AT_MOST:
        line = line[: LINE_AT_MOST - 3] + "..."
    sys.stderr.buffer.write(f"{line}\n".encode(errors="backslashreplace"))
    raise SystemExit(REFUSED)
