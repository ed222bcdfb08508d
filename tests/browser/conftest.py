"""A server, a phone, and nothing gone wrong on its page that nobody looked for."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Playwright, expect, sync_playwright

from tests.browser.phone import Phone
from tests.browser.served import Served


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    expect.set_options(timeout=8_000)
    with sync_playwright() as running:
        yield running


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Served]:
    served = Served(tmp_path / "data")
    yield served
    served.kill()


@pytest.fixture
def phone(playwright: Playwright, server: Served, tmp_path: Path) -> Iterator[Phone]:
    phone = Phone(playwright, tmp_path / "phone", server)
    yield phone
    phone.close()
    assert phone.problems == []
