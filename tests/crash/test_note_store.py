"""The note store on the worse disk: every check of `checks`."""

from collections.abc import Callable

import pytest

from nearside.store.disk import Disk
from nearside.store.notes import TinyNoteStore
from tests.crash.checks import NOTE_CHECKS, PATH, Opener


def open_store(disk: Disk) -> TinyNoteStore:
    return TinyNoteStore(PATH, disk)


@pytest.mark.parametrize("check", NOTE_CHECKS, ids=lambda check: check.__name__.removeprefix("check_"))
def test_the_note_store_keeps_its_promise_at(check: Callable[[Opener], None]) -> None:
    check(open_store)
