"""The page's files: all that is needed without a network is in the list, and the version tells every change."""

from __future__ import annotations

import gzip
import json
import posixpath
import re
from pathlib import Path

import pytest

from nearside.web.assets import NoPage, folder, read_assets, without_comments

_NAMED = {
    ".js": re.compile(r"""(?:\bfrom\s*|\bimport\s*\(?\s*)["']([^"']+)["']"""),
    ".html": re.compile(r"""(?:src|href)=["']([^"'#][^"']*)["']"""),
    ".css": re.compile(r"""(?:@import\s+(?:url\()?|url\()\s*["']?([^"')]+)["']?"""),
    ".webmanifest": re.compile(r'"src":\s*"([^"]+)"'),
}


def page(root: Path, **more: str) -> Path:
    """A small page."""
    files = {
        "index.html": "<!doctype html><script type=module src=/main.js></script>",
        "main.js": "import './lib/part.js';\n" * 40,
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


def test_the_worker_is_told_every_file_but_itself(tmp_path: Path) -> None:
    page(tmp_path)
    assert shell(tmp_path)[1] == [
        "/",
        "/icons/icon.png",
        "/lib/part.js",
        "/main.js",
        "/manifest.webmanifest",
        "/styles/main.css",
    ]
    served = read_assets(tmp_path)
    assert set(served) == {*shell(tmp_path)[1], "/sw.js"}
    assert served["/sw.js"].body.endswith((tmp_path / "sw.js").read_bytes())


@pytest.mark.parametrize("name", ["index.html", "lib/part.js", "sw.js", "icons/icon.png", "lib/new.js"])
def test_the_version_changes_with_every_file_and_with_nothing_else(tmp_path: Path, name: str) -> None:
    page(tmp_path)
    before = shell(tmp_path)[0]
    assert shell(tmp_path)[0] == before
    page(tmp_path, **{"notes.txt": "another", "types.d.ts": "else"})
    assert shell(tmp_path)[0] == before
    page(tmp_path, **{name: "changed"})
    assert shell(tmp_path)[0] != before


def test_a_file_that_changes_place_or_name_is_another_version(tmp_path: Path) -> None:
    page(tmp_path, **{"lib/a.js": "1", "lib/b.js": "2"})
    versions = {shell(tmp_path)[0]}
    page(tmp_path, **{"lib/a.js": "2", "lib/b.js": "1"})
    versions.add(shell(tmp_path)[0])
    (tmp_path / "lib" / "b.js").rename(tmp_path / "lib" / "c.js")
    versions.add(shell(tmp_path)[0])
    page(tmp_path, **{"lib/a.js": "", "lib/c.js": "21"})
    versions.add(shell(tmp_path)[0])
    assert len(versions) == 4


def test_each_file_has_its_type_and_is_packed_where_that_saves_anything(tmp_path: Path) -> None:
    served = read_assets(page(tmp_path, **{"how/class.json": "[]"}))
    assert served["/how/class.json"].media_type == "application/json"
    assert served["/"].media_type == "text/html; charset=utf-8"
    assert served["/main.js"].media_type == "text/javascript; charset=utf-8"
    assert served["/manifest.webmanifest"].media_type == "application/manifest+json"
    packed = served["/main.js"].packed
    assert packed is not None
    assert gzip.decompress(packed) == served["/main.js"].body
    assert served["/icons/icon.png"].packed is None
    assert served["/styles/main.css"].packed is None
    assert len({each.etag for each in served.values()}) == len(served)


def test_comments_that_fill_whole_lines_stay_at_home_and_every_line_keeps_its_number() -> None:
    kept = b"const b = /** @type {C} */ (a); // kept\n/** @type {D} */ (b).c();\n"
    assert without_comments(".js", b"/** One.\n * two */\n  // gone\n" + kept) == b"\n\n\n" + kept
    assert without_comments(".css", b"/* x */\na{}\n//y\n") == b"\na{}\n//y\n"
    assert without_comments(".html", b"/* x */") == b"/* x */"
    for path in [*folder().rglob("*.js"), *folder().rglob("*.css")]:
        body = path.read_bytes()
        served = without_comments(path.suffix, body)
        assert served.count(b"\n") == body.count(b"\n"), path
        lines = zip(served.split(b"\n"), body.split(b"\n"), strict=True)
        assert all(line in (whole, b"") for line, whole in lines), path


def test_no_text_of_the_page_goes_over_lines_where_a_comment_could_be_mistaken() -> None:
    for path in folder().rglob("*.js"):
        for line in path.read_text().splitlines():
            assert line.count("`") % 2 == 0, f"{path.name}: a template over several lines: {line}"


def test_the_shell_is_small_enough_for_a_poor_signal() -> None:
    """At most 100 KB compressed, as it travels, file by file."""
    served = read_assets(folder())
    assert sum(len(each.packed or each.body) for each in served.values()) <= 100_000


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
        suffix = ".html" if path == "/" else path[path.rindex(".") :]
        if suffix in _NAMED:
            for found in _NAMED[suffix].findall(asset.body.decode()):
                if not re.match(r"[a-z]+:", found):
                    named[posixpath.normpath(posixpath.join(posixpath.dirname(path), found))] = path
    assert len(named) > 5, "the page names next to nothing: is this test still reading it?"
    missing = {name: by for name, by in named.items() if name not in held and name != "/sw.js"}
    assert missing == {}


def test_nothing_of_the_page_is_fetched_from_elsewhere() -> None:
    for path, asset in read_assets(folder()).items():
        suffix = ".html" if path == "/" else path[path.rindex(".") :]
        if suffix in _NAMED:
            elsewhere = [found for found in _NAMED[suffix].findall(asset.body.decode()) if "//" in found]
            assert elsewhere == [], path
