"""Settings are checked once, where they come in."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from nearside.settings import BadSetting, Settings

DATA = Path("data")


@pytest.mark.parametrize(
    ("given", "base_url"),
    [
        ({}, "http://127.0.0.1:8470"),
        ({"host": "0.0.0.0", "port": 80}, "http://127.0.0.1:80"),
        ({"host": "::"}, "http://[::1]:8470"),
        ({"host": "fe80::1"}, "http://[fe80::1]:8470"),
        ({"host": "ring.local"}, "http://ring.local:8470"),
        ({"public_url": "https://show.example/"}, "https://show.example"),
        ({"public_url": "https://show.example:8443"}, "https://show.example:8443"),
    ],
)
def test_links_begin_with_the_address_people_use(given: dict[str, Any], base_url: str) -> None:
    settings = Settings(DATA, **given)
    assert settings.base_url == base_url
    assert settings.is_https == base_url.startswith("https")


@pytest.mark.parametrize(
    ("given", "option"),
    [
        ({"port": -1}, "--port"),
        ({"port": 65536}, "--port"),
        ({"host": ""}, "--host"),
        ({"host": "a b"}, "--host"),
        ({"host": "http://x"}, "--host"),
        ({"public_url": "show.example"}, "--public-url"),
        ({"public_url": "ftp://show.example"}, "--public-url"),
        ({"public_url": "https://"}, "--public-url"),
        ({"public_url": "https://show.example/path"}, "--public-url"),
        ({"public_url": "https://show.example?x"}, "--public-url"),
        ({"public_url": "https://user@show.example"}, "--public-url"),
        ({"public_url": "https://show.example:port"}, "--public-url"),
        ({"public_url": "https://[x"}, "--public-url"),
    ],
)
def test_a_setting_that_cannot_be_served_is_refused_by_its_name(given: dict[str, Any], option: str) -> None:
    with pytest.raises(BadSetting, match=option):
        Settings(DATA, **given)


@pytest.mark.parametrize(
    ("host", "is_loopback"),
    [("127.0.0.1", True), ("::1", True), ("localhost", True), ("0.0.0.0", False), ("ring.local", False)],
)
def test_only_on_the_loopback_are_the_names_it_answers_to_known(host: str, is_loopback: bool) -> None:
    settings = Settings(DATA, host=host)
    assert settings.is_loopback == is_loopback
    assert (settings.hosts is not None) == is_loopback


def test_the_public_name_is_one_of_them() -> None:
    hosts = Settings(DATA, public_url="https://show.example").hosts or frozenset()
    assert sorted(hosts) == ["127.0.0.1", "[::1]", "localhost", "show.example"]
