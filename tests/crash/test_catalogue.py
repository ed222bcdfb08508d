"""The catalogue on the worse disk: every check of `catalogue_checks`."""

from collections.abc import Callable

import pytest

from nearside.store.catalogue import TinyCatalogue
from nearside.store.disk import Disk
from tests.crash.catalogue_checks import CATALOGUE_CHECKS, PATH, Opener


def open_catalogue(disk: Disk) -> TinyCatalogue:
    return TinyCatalogue(PATH, disk)


@pytest.mark.parametrize("check", CATALOGUE_CHECKS, ids=lambda check: check.__name__.removeprefix("check_"))
def test_the_catalogue_keeps_its_promise_at(check: Callable[[Opener], None]) -> None:
    check(open_catalogue)
