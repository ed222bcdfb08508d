"""The commands that keep the record of a show: `nearside verify`, `nearside backup` and `restore`, `nearside show-out`
and `show-in`, `nearside forget`.

All of them work on a data folder. Those that only read do so while the show is served; what cannot be done says why
in one line.
"""

from __future__ import annotations

import argparse
import time
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from nearside.command import add_data, add_show, says_no
from nearside.show.backup import Held, back_up, restore
from nearside.show.forgetting import forget, to_forget
from nearside.show.transfer import show_in, show_out
from nearside.show.verifying import AT_THE_END, heads_account, verified_account, verify_file, verify_folder

CHANGED = 1
STAYS = (
    "What stays: numbers, identification marks from the office's list, marks, grades, orders, places, titles, what a\n"
    "naming was warned of, and which seat did what; each class still verifies. Not touched: backups, a show's\n"
    "files, exports and prints made before, and what phones hold."
)


def add_commands(commands: Any) -> None:
    """Add the commands to a parser's subparsers; each sets `run`, which returns the exit status."""
    verifying = commands.add_parser(
        "verify",
        help="check that the notes of a show are what they were when they were signed",
        description="Checks each class's notes against its signatures, and against heads from printed results. Works "
        "while the show is served. Exit status 0: whole, 1: something was changed.",
    )
    add_data(verifying)
    add_show(verifying)
    verifying.add_argument("--file", type=Path, metavar="FILE", help="a show's file, or the office's copy, instead")
    verifying.add_argument("--head", action="append", default=[], metavar="HEAD", help="a head from a printed result")
    verifying.set_defaults(run=says_no(_verify))

    backing_up = commands.add_parser(
        "backup",
        help="copy the shows of a data folder into one file, also while they are served",
        description="Copies a data folder into a new file, also while it is served. The file holds the seats' codes.",
    )
    backing_up.add_argument("file", metavar="FILE", type=Path, help="the backup's file, which is not there yet")
    add_data(backing_up)
    backing_up.set_defaults(run=says_no(_backup))

    restoring = commands.add_parser(
        "restore",
        help="put a backup into a new data folder, on this machine or another",
        description="Puts a backup into a data folder that is not there yet, or holds nothing.",
    )
    restoring.add_argument("file", metavar="FILE", type=Path, help="a backup (nearside-backup/1)")
    restoring.add_argument("--data", type=Path, required=True, metavar="DIR", help="the new data folder")
    restoring.set_defaults(run=says_no(_restore))

    going_out = commands.add_parser(
        "show-out",
        help="write a whole show into one file, also while it is served",
        description="Writes a whole show into a new file (nearside-show/1): everything but the seats' codes and the "
        "devices. It holds every card and every name: it is for the eyes that may see the data folder.",
    )
    going_out.add_argument("file", metavar="FILE", type=Path, help="the show's file, which is not there yet")
    add_data(going_out)
    add_show(going_out)
    going_out.set_defaults(run=says_no(_show_out))

    coming_in = commands.add_parser(
        "show-in",
        help="take a whole show from a file into a data folder, beside others",
        description="Takes a whole show into a data folder that is not being served. Its seats get new codes.",
    )
    coming_in.add_argument("file", metavar="FILE", type=Path, help="a show (nearside-show/1)")
    add_data(coming_in)
    coming_in.set_defaults(run=says_no(_show_in))

    forgetting = commands.add_parser(
        "forget",
        help="take people's names, and what they wrote in words, out of a show that is over",
        description="Takes the names of horses, exhibitors and seats and all that was written in words out of a show, "
        "for good. Its result stays, and each class still verifies. Without --yes it only says what would go.",
    )
    add_data(forgetting)
    add_show(forgetting)
    forgetting.add_argument("--yes", action="store_true", help="do it: nothing brings them back")
    forgetting.set_defaults(run=says_no(_forget))


def _backup(options: argparse.Namespace) -> int:
    held = back_up(options.data, options.file, time.time_ns() // 1_000_000)
    print(f"Backed up {options.data} as {options.file}: {_told(held)}. It holds the seats' codes: keep it safe.")
    return 0


def _restore(options: argparse.Namespace) -> int:
    held = restore(options.file, options.data)
    print(
        f"Restored {options.file} into {options.data}: {_told(held)}.\n\nNow run: nearside serve --data {options.data}"
    )
    return 0


def _show_out(options: argparse.Namespace) -> int:
    show, notes = show_out(options.data, options.show, options.file)
    print(f"Wrote “{show['title']}” with {_count(notes, 'note')} into {options.file}.")
    print("It holds every card and every name: keep it safe.")
    return 0


def _show_in(options: argparse.Namespace) -> int:
    show, notes = show_in(options.file, options.data)
    print(f"Took in “{show['title']}” with {_count(notes, 'note')}. Its seats have new codes.\n")
    print(f"Now run: nearside seats --data {options.data}\n         nearside serve --data {options.data}")
    return 0


def _forget(options: argparse.Namespace) -> int:
    found = forget(options.data, options.show) if options.yes else to_forget(options.data, options.show)
    what = f"{_count(found.records, 'record')} with names and {_count(found.notes, 'note')} with words"
    title = f"“{found.show['title']}” ({found.show['id']})"
    print(f"Taken out of {title}: {what}.\n" if options.yes else f"To be taken out of {title}: {what}.\n")
    print(STAYS)
    if found.open_classes and not options.yes:
        print(f"\nNot signed by all its judges yet: {', '.join(found.open_classes)}. Is the show over?")
    if not options.yes:
        command = f"nearside forget --data {options.data} --show {found.show['id']} --yes"
        print(f"\nNothing brings them back. To do it: {command}")
    return 0


def _count(number: int, thing: str) -> str:
    return f"1 {thing}" if number == 1 else f"{number} {thing}s"


def _told(held: Sequence[Held]) -> str:
    return ", ".join(f"“{each.title}” with {_count(each.notes, 'note')}" for each in held) or "no show yet"


def _verify(options: argparse.Namespace) -> int:
    shows = [verify_file(options.file)] if options.file else verify_folder(options.data, options.show)
    said, all_found = heads_account(shows, options.head)
    print("\n".join(verified_account(each) for each in shows))
    print(said or f"{AT_THE_END}\n", end="")
    return 0 if all_found and all(each.is_whole for each in shows) else CHANGED
