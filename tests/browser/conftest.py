"""A server, a phone, and nothing gone wrong on its page that nobody looked for."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Playwright, expect, sync_playwright

from tests.browser.phone import Phone
from tests.browser.served import Served, open_show
from tests.browser.table import TABLET, Table


# Over once these tests are: while it runs, no test elsewhere could run an event loop of its own.
@pytest.fixture(scope="package")
def playwright() -> Iterator[Playwright]:
    expect.set_options(timeout=20_000)  # a busy machine is no failure
    with sync_playwright() as running:
        yield running


@pytest.fixture(scope="session")
def opened(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, dict[str, str]]:
    """A show opened once; each test serves a copy of it."""
    data = tmp_path_factory.mktemp("show") / "data"
    return data, open_show(data)


@pytest.fixture
def server(opened: tuple[Path, dict[str, str]], tmp_path: Path) -> Iterator[Served]:
    data, codes = opened
    shutil.copytree(data, tmp_path / "data")
    served = Served(tmp_path / "data", codes)
    yield served
    served.kill()


@pytest.fixture
def phone(playwright: Playwright, server: Served, tmp_path: Path) -> Iterator[Phone]:
    yield from watched(playwright, tmp_path / "phone", server)


@pytest.fixture
def other(playwright: Playwright, server: Served, tmp_path: Path) -> Iterator[Phone]:
    """Another phone."""
    yield from watched(playwright, tmp_path / "other", server)


@pytest.fixture
def table(playwright: Playwright, server: Served) -> Iterator[Table]:
    """The laptop at the show table."""
    table = Table(playwright, server)
    yield table
    table.close()
    assert table.problems == []


@pytest.fixture
def tablet(playwright: Playwright, server: Served) -> Iterator[Table]:
    """A tablet at the same page, as at the microphone."""
    tablet = Table(playwright, server, TABLET)
    yield tablet
    tablet.close()
    assert tablet.problems == []


def watched(playwright: Playwright, storage: Path, server: Served) -> Iterator[Phone]:
    phone = Phone(playwright, storage, server)
    yield phone
    phone.close()
    assert phone.problems == []
