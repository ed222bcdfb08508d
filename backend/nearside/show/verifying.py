"""Whether the record of a show is what it was: each class's chain against its signatures and the heads on paper.

What is found is told in plain words, with the numbers of the notes and who signed, and never with what a note says.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from nearside.show.chain import Span, Verified, by_class, digest_in_copy, digest_of, verified
from nearside.show.folder import catalogue_path, notes_path
from nearside.show.refusals import CannotOpen
from nearside.show.showfile import BYTES_AT_MOST, read_show_file
from nearside.show.strict_json import Refused
from nearside.store.protocol import Note
from nearside.store.still import read_catalogue, read_notes

LEAST_OF_A_HEAD = 12  # characters: nobody finds another log with a head that begins the same

AT_THE_END = (
    "Who can write the file can write every head in it anew, or cut off its end: that only a head on paper shows.\n"
    "Give one with --head, from a printed result or from an earlier time this was run."
)


@dataclass(frozen=True, slots=True)
class ShowVerified:
    """What was found of a show: its classes in their order, each with its title."""

    id: str
    title: str
    titles: dict[str, str]
    seats: dict[str, str]
    classes: dict[str, Verified]
    unchecked: frozenset[str] = frozenset()
    """Classes that a copy holds only in part."""

    @property
    def is_whole(self) -> bool:
        return all(each.is_whole for each in self.classes.values())


def verify_folder(data: Path, show_id: str | None) -> list[ShowVerified]:
    """The shows of a data folder, or one of them, which may be served meanwhile. Raises: CannotOpen, StoreError."""
    catalogue = read_catalogue(catalogue_path(data))
    found = []
    for show in catalogue.all("shows"):
        if show_id in (None, show["id"]):
            classes, seats = (
                [each for each in catalogue.all(table) if each["show"] == show["id"]] for table in ("classes", "seats")
            )
            notes = read_notes(notes_path(data, show["id"])).notes
            found.append(_verify(show, classes, seats, notes, digest_of))
    if not found:
        there = ", ".join(each["id"] for each in catalogue.all("shows")) or "none"
        raise CannotOpen(f"{data} has no such show; there are: {there}" if show_id else f"{data} has no show yet")
    return found


def verify_file(file: Path) -> ShowVerified:
    """The show of a file, whole or the office's copy of it. Raises: CannotOpen."""
    try:
        with file.open("rb") as content:
            read = read_show_file(content.read(BYTES_AT_MOST + 1), is_copy=True)
    except Refused as refused:
        raise CannotOpen(f"{file}: {refused}") from None
    except OSError as error:
        raise CannotOpen(f"{file}: can't be read: {error.strerror}") from None
    found = _verify(read["show"], read["classes"], read["seats"], read["notes"], digest_in_copy)
    unchecked = frozenset(read.get("open_classes", ()))
    checked = {class_id: each for class_id, each in found.classes.items() if class_id not in unchecked}
    return replace(found, classes=checked, unchecked=unchecked)


def _verify(
    show: Mapping[str, Any],
    classes: Iterable[Mapping[str, Any]],
    seats: Iterable[Mapping[str, Any]],
    notes: Sequence[Note],
    digest: Callable[[Mapping[str, Any]], str],
) -> ShowVerified:
    """Every class of a show, and every class its log has notes of."""
    in_order = sorted(classes, key=lambda each: int(each["position"]))
    titles = {each["class"]["id"]: each["class"]["title"] for each in in_order}
    logs = by_class(notes)
    return ShowVerified(
        id=show["id"],
        title=show["title"],
        titles=titles,
        seats={each["id"]: each["name"] for each in seats},
        classes={
            each: verified(show["id"], each, logs.get(each, ()), digest) for each in dict.fromkeys([*titles, *logs])
        },
    )


def verified_account(show: ShowVerified) -> str:
    """What was found of a show, for a person to read."""
    lines = [f"{show.title} ({show.id})"]
    for class_id, found in show.classes.items():
        lines += ["", f"  {show.titles.get(class_id, 'a class the show does not have')} (class {class_id})"]
        lines += [f"    {line}" for line in _class_lines(found, show.seats)]
        lines.append(f"    head {found.head}")
    for class_id in sorted(show.unchecked):
        lines += ["", f"  {show.titles.get(class_id)} (class {class_id})"]
        lines.append("    Not signed by all when this copy was made: it is in it only in part, and not checked.")
    return "".join(f"{line}\n" for line in lines)


def heads_account(shows: Sequence[ShowVerified], heads: Iterable[str]) -> tuple[str, bool]:
    """What each head from a printed result belongs to, and whether all were found. Raises: CannotOpen."""
    lines, all_found = [], True
    for typed in heads:
        head = "".join(typed.split()).lower()
        if len(head) < LEAST_OF_A_HEAD or head.strip("0123456789abcdef"):
            raise CannotOpen(f"--head {typed}: a head is at least {LEAST_OF_A_HEAD} of the digits 0-9 and a-f")
        where = [
            f"class {class_id} after {count} of its {found.notes} notes: they are what they were when it was printed"
            for show in shows
            for class_id, found in show.classes.items()
            for known, count in found.after.items()
            if known.startswith(head)
        ]
        lines += [f"Head {head}: {each}." for each in where]
        if not where:
            all_found = False
            lines.append(
                f"Head {head}: CHANGED. No class has or ever had this head, so its notes are not those it had."
            )
    return "".join(f"{line}\n" for line in lines), all_found


def _class_lines(found: Verified, seats: Mapping[str, str]) -> Iterable[str]:
    for span in found.spans:
        if not span.is_whole:
            yield f"CHANGED: {_part(span)} {_signature(span, seats)}, {_what(span)}"
        if not span.is_own_whole:
            yield f"CHANGED: {_signature(span, seats)} itself, note {span.last + 1}, is not what was signed."
    if found.spans and found.is_whole:
        last = found.spans[-1]
        yield f"Whole: notes 1 to {last.last + 1} are what they were, up to {_signature(last, seats)}."
    if found.notes == 0:
        yield "Nothing is noted."
    elif found.uncovered:
        since = " since then" if found.spans else ""
        notes = f"1 note{since} is" if found.uncovered == 1 else f"{found.uncovered} notes{since} are"
        yield f"{notes} not yet covered by a signature."
    if found.taken_out:
        texts = "1 text was" if found.taken_out == 1 else f"{found.taken_out} texts were"
        yield f"{texts} taken out after the show; nothing else of those notes."


def _part(span: Span) -> str:
    if span.last < span.first:
        return "before"
    notes = f"note {span.first}" if span.first == span.last else f"notes {span.first} to {span.last}"
    return f"at {notes}, before"


def _what(span: Span) -> str:
    if span.signature.get("_head") is None:
        return "which carries no head: what it signed can't be checked."
    return "a note was changed, taken out, put in or moved."


def _signature(span: Span, seats: Mapping[str, str]) -> str:
    note = span.signature
    kind = "the signature" if note.get("numbers") is not None else "the taking back of the signature"
    at = datetime.fromtimestamp(note["at"] / 1000, UTC).strftime("%Y-%m-%d %H:%M:%S UTC") if _is_a_time(note) else "?"
    return f"{kind} of {seats.get(note['by'], note['by'])} at {at}"


def _is_a_time(note: Note) -> bool:
    return isinstance(note.get("at"), int) and 0 <= note["at"] < 253_402_300_800_000  # up to the year 9999
