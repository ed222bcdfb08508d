"""The page's files: all that is needed without a network is in the list, and the version tells every change."""

from __future__ import annotations

import gzip
import json
import posixpath
import re
from pathlib import Path

import brotli
import pytest

from nearside.show.standards import basics, shipped_keys
from nearside.web.assets import NoPage, folder, read_assets
from nearside.web.serve import page_assets

_NAMED = {
    ".js": re.compile(r"""(?:\bfrom\s*|\bimport\s*\(?\s*)["'`]([^"'`$]+)["'`$]"""),
    ".html": re.compile(r"""(?:src|href)=["']([^"'#][^"']*)["']"""),
    ".css": re.compile(r"""(?:@import\s+(?:url\()?|url\()\s*["']?([^"')]+)["']?"""),
    ".webmanifest": re.compile(r'"src":\s*"([^"]+)"'),
}


def page(root: Path, **more: str) -> Path:
    """A small page."""
    files = {
        "index.html": '<link rel="stylesheet" href="/styles/main.css">\n<script type="module" src="/main.js"></script>',
        "main.js": 'import { part } from "./lib/part.js";\n' + "console.log(part, 1);\n" * 40,
        "lib/part.js": "export const part = 1;",
        "sw.js": "self.addEventListener('install', () => {});",
        "styles/main.css": "body{}",
        "icons/icon.png": "\x89PNG",
        "manifest.webmanifest": "{}",
        "notes.txt": "not for serving",
        "types.d.ts": "declare const x: number;",
        ".hidden/secret.js": "1",
        **more,
    }
    for name, text in files.items():
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)
    return root


def shell(root: Path) -> tuple[str, list[str]]:
    """Version and list as the service worker is told them."""
    first, _, _ = read_assets(root)["/sw.js"].body.partition(b"\n")
    told = json.loads(first.removeprefix(b"self.NEARSIDE_SHELL = ").removesuffix(b";"))
    assert set(told) == {"version", "assets"}
    return told["version"], told["assets"]


def suffix_of(path: str) -> str:
    """What kind of file an address is; a document has lost its ending."""
    return Path(path).suffix or ".html"


def test_the_worker_is_told_every_file_but_itself_and_the_home_screen_s_pictures(tmp_path: Path) -> None:
    page(tmp_path)
    assert shell(tmp_path)[1] == [
        "/",
        "/main.css",
        "/main.js",
        "/manifest.webmanifest",
    ]
    served = read_assets(tmp_path)
    assert set(served) == {*shell(tmp_path)[1], "/icons/icon.png", "/sw.js"}
    assert served["/sw.js"].body.endswith(b'self.addEventListener("install",()=>{})')
    assert b'<link rel="stylesheet" href="/main.css">' in served["/"].body
    assert b"/styles/" not in served["/"].body


def test_another_document_has_a_script_and_a_sheet_of_its_own_and_is_not_held(tmp_path: Path) -> None:
    alone = shell(page(tmp_path))
    page(
        tmp_path,
        **{
            "office.html": '<link rel="stylesheet" href="/styles/main.css">\n'
            '<link rel="stylesheet" href="/office/a.css">\n<script type="module" src="/office.js"></script>',
            "office.js": 'import { part } from "./lib/part.js";\nconsole.log(part, "the table");\n',
            "office/a.css": "p{}",
        },
    )
    assert shell(tmp_path) == alone  # neither the list nor the version: no phone fetches anything anew
    served = read_assets(tmp_path)
    assert set(served) == {*alone[1], "/icons/icon.png", "/sw.js", "/office", "/office.js", "/office.css"}
    assert b"the table" in served["/office.js"].body
    assert b"the table" not in served["/main.js"].body
    assert served["/office.css"].body == b"body{}\np{}"
    assert served["/main.css"].body == b"body{}"
    assert served["/office"].media_type == "text/html; charset=utf-8"
    assert b'href="/office.css"' in served["/office"].body
    (tmp_path / "office.js").unlink()
    with pytest.raises(NoPage, match=r"the page needs /office\.js"):
        read_assets(tmp_path)


def test_the_worker_leaves_every_other_document_to_the_network() -> None:
    served = read_assets(folder())
    beside = {path for path, asset in served.items() if asset.media_type.startswith("text/html")} - {"/"}
    assert beside == {"/office"}
    assert b'["/office"]' in served["/sw.js"].body


@pytest.mark.parametrize("name", ["index.html", "lib/part.js", "sw.js", "icons/icon.png", "styles/main.css"])
def test_the_version_changes_with_every_file_and_with_nothing_else(tmp_path: Path, name: str) -> None:
    page(tmp_path)
    before = shell(tmp_path)[0]
    assert shell(tmp_path)[0] == before
    page(tmp_path, **{"notes.txt": "another", "types.d.ts": "else"})
    assert shell(tmp_path)[0] == before
    page(tmp_path, **{name: "export const part = 2;"})
    assert shell(tmp_path)[0] != before


def test_a_file_that_changes_place_or_name_is_another_version(tmp_path: Path) -> None:
    page(tmp_path, **{"icons/a.svg": "1", "icons/b.svg": "2"})
    versions = {shell(tmp_path)[0]}
    page(tmp_path, **{"icons/a.svg": "2", "icons/b.svg": "1"})
    versions.add(shell(tmp_path)[0])
    (tmp_path / "icons" / "b.svg").rename(tmp_path / "icons" / "c.svg")
    versions.add(shell(tmp_path)[0])
    page(tmp_path, **{"icons/a.svg": "", "icons/c.svg": "21"})
    versions.add(shell(tmp_path)[0])
    assert len(versions) == 4


def test_a_page_that_cannot_be_joined_says_in_one_line_which_file_and_why(tmp_path: Path) -> None:
    with pytest.raises(NoPage, match=r"^The page can't be put together: /main\.js needs /lib/gone\.js"):
        read_assets(page(tmp_path, **{"main.js": 'import { gone } from "./lib/gone.js";\n'}))


def test_each_file_has_its_type_and_is_packed_where_that_saves_anything(tmp_path: Path) -> None:
    served = read_assets(page(tmp_path, **{"how/class.json": "[]"}))
    assert served["/how/class.json"].media_type == "application/json"
    assert served["/"].media_type == "text/html; charset=utf-8"
    assert served["/main.js"].media_type == "text/javascript; charset=utf-8"
    assert served["/manifest.webmanifest"].media_type == "application/manifest+json"
    packed = served["/main.js"].packed
    assert list(packed) == ["br", "gzip"]
    assert gzip.decompress(packed["gzip"]) == brotli.decompress(packed["br"]) == served["/main.js"].body
    assert served["/main.js"].travels == min(map(len, packed.values()))
    assert served["/icons/icon.png"].packed == {}
    assert served["/main.css"].packed == {}
    assert len({each.etag for each in served.values()}) == len(served)


def test_what_the_page_loads_is_small_enough_for_a_poor_signal() -> None:
    """At most 100 KB compressed, of it 48 KB script to begin with, as a browser of today fetches them."""
    served = page_assets()
    held = json.loads(re.findall(rb"\{.*?\}", served["/sw.js"].body)[0])["assets"]
    assert sum(served[each].travels for each in [*held, "/sw.js"]) <= 100_000
    assert served["/main.js"].travels <= 48_000


def test_the_standards_travel_with_the_page_as_a_show_would_send_them() -> None:
    assert json.loads(page_assets()["/basics.json"].body) == basics()
    assert {each["key"] for each in basics()["standards"]} == set(shipped_keys())


def test_a_package_without_a_page_says_so_in_one_line(tmp_path: Path) -> None:
    with pytest.raises(NoPage) as refusal:
        folder(tmp_path / "backend" / "nearside")
    assert "\n" not in str(refusal.value)


def test_the_page_within_an_installed_package_comes_first(tmp_path: Path) -> None:
    package = tmp_path / "backend" / "nearside"
    (tmp_path / "frontend").mkdir(parents=True)
    assert folder(package) == tmp_path / "frontend"
    (package / "frontend").mkdir(parents=True)
    assert folder(package) == package / "frontend"


def test_everything_the_page_names_is_served_and_held_for_working_without_a_network() -> None:
    root = folder()
    served = read_assets(root)
    held = set(shell(root)[1])
    named: dict[str, str] = {}
    for path, asset in served.items():
        suffix = suffix_of(path)
        if suffix in _NAMED:
            for found in _NAMED[suffix].findall(asset.body.decode()):
                if not re.match(r"[a-z]+:", found):
                    named[posixpath.normpath(posixpath.join(posixpath.dirname(path), found))] = path
    assert len(named) > 3, "the page names next to nothing: is this test still reading it?"
    # The pictures for the home screen are fetched when the page is put there.
    kept = {name for name in held if not name.endswith(".png")} | {name for name in served if name.endswith(".png")}
    missing = {name: by for name, by in named.items() if name not in (kept if by in held else served)}
    assert missing == {}


def test_nothing_of_the_page_is_fetched_from_elsewhere() -> None:
    for path, asset in read_assets(folder()).items():
        suffix = suffix_of(path)
        if suffix in _NAMED:
            elsewhere = [found for found in _NAMED[suffix].findall(asset.body.decode()) if "//" in found]
            assert elsewhere == [], path
