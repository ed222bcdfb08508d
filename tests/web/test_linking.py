"""The page's modules joined into one script do what they do one by one; what is not understood is refused by name."""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

import pytest

from nearside.web.assets import folder
from nearside.web.linking import NotLinked, linked_chunk, linked_names, linked_script, linked_sheet, slim_sheet

SMALL = {
    "/main.js": 'import { add, twice as doubled } from "./lib/sums.js";\n'
    'import * as words from "./words.js";\n'
    "// import of nothing: a comment may say what it likes\n"
    "console.log(words.said(doubled(add(1, 2))), words.GREETING);\n",
    "/lib/sums.js": 'import { said } from "../words.js";\n'
    "const hidden = 2;\n"
    "export function add(a, b) {\n  return a + b;\n}\n"
    "export const twice = (n) => hidden * n;\n"
    "said(0);\n",
    "/words.js": 'const hidden = "six: ";\nlet count = 0;\n'
    "export function said(n) {\n  count += 1;\n  return `${hidden}${n} // ${count}`;\n}\n"
    'export const GREETING = "export const";\n'
    "export class Unused {\n  #own = 1;\n}\nexport async function later() {}\n",
    "/never-named.js": "import nothing from 'nowhere'",
}


CHUNKED = {
    **SMALL,
    "/main.js": SMALL["/main.js"] + 'import { load } from "./lib/loads.js";\nvoid load("?1");\n',
    "/lib/loads.js": "export const load = (again) => import(`../more.js${again}`);\n",
    "/more.js": 'import { add, twice as doubled } from "./lib/sums.js";\nimport * as words from "./words.js";\n'
    'import { own } from "./lib/own.js";\nconsole.log(words.said(doubled(add(own, 1))), words.GREETING);\n',
    "/lib/own.js": 'import { hidden } from "./deep.js";\nexport const own = hidden;\n',
    "/lib/deep.js": "export const hidden = 4;\n",
}


def run(script: str) -> str:
    node = shutil.which("node")
    assert node is not None, "no node: `python -m tests` says how to get one"
    done = subprocess.run([node, "--input-type=module"], input=script, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return done.stdout.strip()


def test_names_stay_apart_and_each_module_runs_once_before_those_that_need_it() -> None:
    for exports_all in (False, True):
        assert run(linked_script(SMALL, "/main.js", exports_all=exports_all)) == "six: 6 // 2 export const"
    script = linked_script(SMALL, "/main.js")
    assert "comment" not in script
    assert "nowhere" not in script


def test_a_name_one_module_exports_is_still_the_browser_s_own_in_one_that_does_not_import_it() -> None:
    modules = {
        "/main.js": 'import { written } from "./written.js";\nimport { escape } from "./own.js";\n'
        'import { escape as other } from "./other.js";\nconsole.log(written("a b"), escape, other);\n',
        "/written.js": "export const written = (text) => [...unescape(escape(text))].map(escape).join('');\n",
        "/own.js": "export const escape = 7;\nexport const unescape = 8;\n",
        "/other.js": "export const escape = 9;\n",
    }
    for exports_all in (False, True):
        assert run(linked_script(modules, "/main.js", exports_all=exports_all)) == "a%20b 7 9"


@pytest.mark.parametrize("exports_all", [False, True])
def test_a_chunk_is_loaded_when_asked_for_and_uses_the_modules_of_the_first_script(
    tmp_path: Path, exports_all: bool
) -> None:
    main = linked_script(CHUNKED, "/main.js", chunk="/more.js", exports_all=exports_all)
    more = linked_chunk(CHUNKED, "/main.js", "/more.js", exports_all=exports_all)
    assert "six: " in main
    assert "six: " not in more, "there is a second copy of a module"
    # Node takes files for addresses; the query is a browser's way to ask anew.
    (tmp_path / "main.mjs").write_text(main.replace("/more.js", "./more.mjs"))
    (tmp_path / "more.mjs").write_text(more.replace("/main.js", "./main.mjs"))
    said = run(f'await import("{tmp_path}/main.mjs");\n')
    assert said == "six: 6 // 2 export const\nsix: 10 // 3 export const"


def test_a_chunk_of_another_version_is_refused_rather_than_joined_wrongly(tmp_path: Path) -> None:
    (tmp_path / "main.mjs").write_text(
        linked_script(CHUNKED, "/main.js", chunk="/more.js").replace("/more.js", "./more.mjs")
    )
    other = {**CHUNKED, "/words.js": CHUNKED["/words.js"].replace("six", "ten")}
    (tmp_path / "more.mjs").write_text(linked_chunk(other, "/main.js", "/more.js").replace("/main.js", "./main.mjs"))
    said = run(f'import("{tmp_path}/more.mjs").catch((error) => console.log(error.name));\n')
    assert said == "SyntaxError"


@pytest.mark.parametrize(
    ("more", "says"),
    [
        ({"/words.js": 'import { add } from "./lib/sums.js";\nexport const said = add;\n'}, "a ring"),
        ({"/main.js": 'import { a } from "./gone.js";\n'}, "/main.js needs /gone.js"),
        ({"/main.js": 'import "./words.js";\n'}, '/main.js, “import "./words.js";”'),
        ({"/main.js": "export default 1;\n"}, "“export default 1;”"),
        ({"/main.js": "export let a = 1;\n"}, "“export let a = 1;”"),
        ({"/main.js": "export { a };\nconst a = 1;\n"}, "“export { a };”"),
        ({"/main.js": 'const a = await import("./words.js");\n'}, "“const a = await import"),
        ({"/main.js": "const a = await import(`./words.js`);\n"}, "“const a = await import(`./words.js`);”"),
        ({"/main.js": "console.log(import.meta.url);\n"}, "import.meta"),
        ({"/main.js": "f(() => void (a && b()));\n"}, "“f(() => void (a && b()));”: the shortening"),
        ({"/main.js": "const a = f();\nconst [b] = (a.c);\n"}, "“const [b] = (a.c);”: the shortening"),
        ({"/main.js": "const a = f();\nconst { b } = { ...a };\n"}, "“const { b } = { ...a };”: the shortening"),
        ({"/main.js": "const a = f();\nconst { b } = h({ x: a });\n"}, "“const { b } = h({ x: a });”: the shortening"),
        ({"/main.js": 'import { a } from "https://elsewhere.example/a.js";\n'}, "elsewhere"),
    ],
)
def test_what_is_not_understood_is_refused_by_file_and_words(more: dict[str, str], says: str) -> None:
    with pytest.raises(NotLinked) as refusal:
        linked_script({**SMALL, **more}, "/main.js")
    assert says in str(refusal.value)
    assert "\n" not in str(refusal.value)


def test_sheets_are_joined_in_the_order_the_page_names_them() -> None:
    sheets = {"/b.css": "/* two\n lines */\n@layer a, b;\n", "/a.css": "@layer b {\n  p {\n    color: red;\n  }\n}\n"}
    assert linked_sheet(sheets, ["/b.css", "/a.css"]) == "@layer a, b;\n@layer b {\np {\ncolor: red;\n}\n}"
    with pytest.raises(NotLinked, match=r"/c\.css"):
        linked_sheet(sheets, ["/c.css"])


def test_every_file_is_reached_from_a_document() -> None:
    root = folder()
    scripts = {f"/{path.relative_to(root)}": path.read_text() for path in root.rglob("*.js") if path.name != "sw.js"}
    reached = {*linked_names(scripts, "/main.js", "/more.js"), *linked_names(scripts, "/office.js")}
    assert reached == set(scripts), "a module is imported by none"
    documents = [path.read_text() for path in root.glob("*.html")]
    assert len(documents) == 2
    named = [re.findall(r'<link rel="stylesheet" href="([^"]+)">', document) for document in documents]
    assert {*named[0], *named[1]} == {f"/{path.relative_to(root)}" for path in root.rglob("*.css")}
    assert all(len(each) == len(set(each)) for each in named)


def test_a_mistake_in_a_script_is_told_in_one_line() -> None:
    with pytest.raises(NotLinked) as refusal:
        linked_script({"/main.js": "const a = ;\n"}, "/main.js")
    assert "unexpected ;" in str(refusal.value)
    assert "\n" not in str(refusal.value)


def test_no_text_of_the_page_s_sheets_spans_lines_or_holds_a_comment_s_signs() -> None:
    """What leaves comments and indents out of a sheet reads no strings, so none may look like one."""
    for path in folder().rglob("*.css"):
        for line in re.sub(r"/\*.*?\*/", "", path.read_text(), flags=re.DOTALL).splitlines():
            assert line.count('"') % 2 == 0, f"{path.name}: {line}"
        assert "/*" not in slim_sheet(path.read_text())
