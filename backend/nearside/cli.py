"""The command line: `place`, `reasons`, `panel`, `standard check` on files, `score` on what is typed; `serve`, `open`,
`add`, `seats`, `demo` of the server; `verify`, `backup`, `restore`, `show-out`, `show-in`,
`forget` of a show's record.

Refuses bad input with one line on standard error and exit status 2, and writes nothing else. The server's modules are
only imported for the commands that need them.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any, NoReturn

from nearside import __version__
from nearside.engine.oral import oral_reasons, spoken_order
from nearside.engine.panel import METHODS
from nearside.engine.placing import place
from nearside.engine.shapes import ClassFile, Standard
from nearside.engine.standard import StandardRefused, checked_standard
from nearside.show.account import account, spoken_account, standard_account
from nearside.show.classfile import BYTES_AT_MOST, read_class_file
from nearside.show.panelfile import checked_panel, result_account, result_of
from nearside.show.refusals import CannotOpen
from nearside.show.scoring import read_score, score_account
from nearside.show.standards import words
from nearside.show.strict_json import Refused, canonical, read_json, shown

CLASS_FILE = "a class file (nearside-class/1), or - for standard input"
TOP = 4  # reasons are asked on the top four of a larger class
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
    _add_file_commands(commands)
    if not given or given[0] not in commands.choices:
        from nearside import record

        record.add_commands(commands)
    if not given or given[0] not in commands.choices:
        from nearside.web.serve import add_commands

        add_commands(commands)
    return parser


def _add_file_commands(commands: Any) -> None:
    """The commands that read one file and print what follows from it."""
    placing = commands.add_parser(
        "place",
        help="place the class of a class file, with what decides each pair",
        description="Places the class of a class file from the notes of its card.",
    )
    placing.add_argument("file", metavar="FILE", help=CLASS_FILE)
    placing.add_argument("--json", action="store_true", help="print the placing as canonical JSON (nearside-placing/1)")
    placing.set_defaults(run=_place)

    reasons = commands.add_parser(
        "reasons",
        help="give the oral reasons for a class file's placing",
        description="Gives the oral reasons for the judge's own order, or for the suggestion where there is none.",
    )
    reasons.add_argument("file", metavar="FILE", help=CLASS_FILE)
    which = reasons.add_mutually_exclusive_group()
    which.add_argument("--top", type=int, metavar="N", help=f"the first N horses ({TOP})")
    which.add_argument("--pair", nargs=2, metavar="NUMBER", help="one pair, by its two numbers")
    reasons.add_argument("--json", action="store_true", help="print them as canonical JSON (nearside-reasons/1)")
    reasons.add_argument("--short", action="store_true", help="one sentence a pair, for the microphone")
    reasons.set_defaults(run=_reasons)

    panel = commands.add_parser(
        "panel",
        help="put the cards of several judges together",
        description="Puts the cards of several judges together by the method of the file, or by another.",
    )
    panel.add_argument("file", metavar="FILE", help="a panel (nearside-panel/1), or - for standard input")
    panel.add_argument("--method", choices=METHODS, help="instead of the file's own")
    panel.add_argument(
        "--json", action="store_true", help="print the result as canonical JSON (nearside-panel-result/1)"
    )
    panel.set_defaults(run=_panel)

    score = commands.add_parser(
        "score",
        help="score a placing of four against the officials' by cuts",
        description="Scores a placing of four horses, of 50: each pair the other way round loses the cuts between.",
    )
    score.add_argument("--official", required=True, metavar="A-B-C-D", help="the officials' order, best first")
    score.add_argument("--cuts", required=True, metavar="X-Y-Z", help="the three cuts, top pair first")
    score.add_argument("--placing", metavar="A-B-C-D", help="the order to score; none given scores 0")
    score.add_argument("--json", action="store_true", help="print score, lost and pairs as canonical JSON")
    score.set_defaults(run=_score)

    standard = commands.add_parser("standard", help="check a standard of your own")
    actions = standard.add_subparsers(title="actions", metavar="ACTION", required=True)
    checking = actions.add_parser(
        "check",
        help="say whether a file is a standard, and where it is not",
        description="Checks a standard (nearside-standard/1) and lists what it holds.",
    )
    checking.add_argument("file", metavar="FILE", help="a standard (nearside-standard/1), or - for standard input")
    checking.set_defaults(run=_check_standard)


def _place(options: argparse.Namespace) -> int:
    class_file, standard = _class_file(options.file)
    placing = place(class_file, standard, words())
    return _print(f"{canonical(placing)}\n" if options.json else account(class_file, standard, placing, words()))


def _reasons(options: argparse.Namespace) -> int:
    class_file, standard = _class_file(options.file)
    placing = place(class_file, standard, words())
    order = spoken_order(placing)
    if options.top is not None and options.top < 1:
        _fail("--top must be 1 or more")
    if not order:
        _fail(f"{options.file}: no horse is placed, so there is nothing to give reasons for")
    for number in options.pair or ():
        if number not in order:
            _fail(f"{options.file}: {shown(number)} is not in the placing: {', '.join(order)}")
    if options.pair and options.pair[0] == options.pair[1]:
        _fail("--pair needs two different numbers")
    numbers = [each for each in order if each in options.pair] if options.pair else order[: options.top or TOP]
    reasons = oral_reasons(class_file, standard, words(), placing, numbers)
    return _print(f"{canonical(reasons)}\n" if options.json else spoken_account(reasons, is_short=options.short))


def _panel(options: argparse.Namespace) -> int:
    try:
        answer = result_of(checked_panel(read_json(_read(options.file))), options.method)
    except Refused as error:
        _fail(f"{options.file}: {error}")
    return _print(f"{canonical(answer)}\n" if options.json else result_account(answer))


def _score(options: argparse.Namespace) -> int:
    try:
        score = read_score(options.official, options.cuts, options.placing)
    except Refused as error:
        _fail(str(error))
    return _print(f"{canonical(score)}\n" if options.json else score_account(score))


def _check_standard(options: argparse.Namespace) -> int:
    try:
        standard = checked_standard(read_json(_read(options.file)))
    except (Refused, StandardRefused) as error:
        _fail(f"{options.file}: {error}")
    return _print(standard_account(standard))


def _class_file(name: str) -> tuple[ClassFile, Standard]:
    try:
        return read_class_file(_read(name))
    except Refused as error:
        _fail(f"{name}: {error}")


def _print(text: str) -> int:
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
