"""The page's modules as one script, and its stylesheets as one sheet: what a phone fetches and starts from.

Seventy small files are good to work on and bad to start from: each is asked for by itself, and compressed by itself.
So the server joins them when it starts. A script of ours imports and exports in two forms each, at the beginning of a
line; that is all that is understood here, and anything else is refused by name and line rather than guessed at.

How: every module becomes one function called once, after those it imports from, which returns what it exports. Outside
of it that goes by its own name, if no other module exports the same, and none speaks of the name without importing it:
then `import { h } from "./view.js"` needs nothing in its place. Else it goes by `m1$h`, and the import becomes
`const h = m1$h`. All stand in one more function, so that every name can be made short. A ring of imports has no such
order and is refused.

A chunk is a second script, loaded by the first when it is needed: the modules reached from an entry of its own and not
from the first. Of those they share there is no second copy: the first script exports what the chunk imports, and the
chunk takes it from there. A module of the first asks for it by ``import(`./more.js${again}`)``, in just this form;
`again` is empty, or a query that makes a browser ask anew after a failure.
"""

from __future__ import annotations

import hashlib
import posixpath
import re
from collections import Counter
from collections.abc import Mapping
from functools import partial

import minify

_IMPORT = re.compile(r'^import (?:\{(?P<names>[^}]*)\}|\* as (?P<whole>\w+)) from "(?P<path>\.[^"]*)";\n', re.MULTILINE)
_LAZY = re.compile(r"\bimport\(`(?P<path>\.[^`$]*)(?P<again>(?:\$\{\w+\})?)`\)")
_RENAMED = re.compile(r"(\w+) as (\w+)")
_EXPORT = re.compile(r"^export (?:async function\*?|function\*?|class|const) (\w+)", re.MULTILINE)
_SAID = re.compile(r"(?:(?<![\w$.])|(?<=\.\.\.))[A-Za-z_]\w*")
_OTHER = re.compile(r"^(?:import|export)\b.*|.*\bimport(?:\(|\.meta).*", re.MULTILINE)
_DECLARED = re.compile(r"^(?P<indent>[ \t]*)(?:const|let) (?P<names>[^=]*?) ?= ?(?P<value>.*)$")
_GROUP = re.compile(r"(?<![\w$\])?.])\((?![^()]*\) ?=>)|\{(?!\})")
# The shortener takes what is void and behind a condition (`void (a && b())`) for something without effect.
_VOIDED = re.compile(r"^.*\bvoid \(.*", re.MULTILINE)
_COMMENT = re.compile(r"/\*(?:(?!\*/)[\s\S])*\*/|^[ \t]*//.*$", re.MULTILINE)


class NotLinked(Exception):
    """A module that can't be joined; its text is one line that says which, where and why."""


def linked_script(
    modules: Mapping[str, str], entry: str, *, chunk: str | None = None, exports_all: bool = False
) -> str:
    """The modules reached from the entry, by path (`/lib/view.js`), as one script that does what the entry does.

    It loads the chunk of this entry when a module asks for it, and exports what that needs. With `exports_all` every
    module is exported as well, under the name that `linked_names` gives it.

    Raises: NotLinked for a module that is missing, a ring of imports, an import or export in another form.
    """
    names = linked_names(modules, entry)
    outer = _outer(modules, names)
    joined = "\n".join(_wrapped(path, modules[path], outer, chunk) for path in names)
    needed, given = ([], "") if chunk is None else _lent(modules, entry, chunk)
    lent = [outer[path][name] for path, name in needed]
    lending = f"export const {given}=" if given else ""
    if exports_all:
        wholes = _wholes(list(names), names, outer)
        return slim_script("\n".join([joined, *wholes, f"{lending}[{','.join(lent)}];"]))
    return slim_script(f"{lending}(()=>{{\n{joined}\nreturn[{','.join(lent)}]}})();")


def linked_chunk(modules: Mapping[str, str], entry: str, chunk: str, *, exports_all: bool = False) -> str:
    """The modules reached from the chunk and not from the entry, as a script beside the entry's. Raises: NotLinked."""
    first = linked_names(modules, entry)
    names = linked_names(modules, entry, chunk)
    outer = _outer(modules, names)
    own = [path for path in names if path not in first]
    needed, given = _lent(modules, entry, chunk)
    lent = ",".join(outer[path][name] for path, name in needed)
    joined = "\n".join([f"const [{lent}]={given};", *(_wrapped(path, modules[path], outer, None) for path in own)])
    begin = f'import{{{given}}}from"{entry}";\n'
    if exports_all:
        return slim_script("\n".join([begin + joined, *_wholes(own, names, outer)]))
    return slim_script(f"{begin}(()=>{{\n{joined}\n}})();")


def linked_names(modules: Mapping[str, str], *entries: str) -> dict[str, str]:
    """What each module goes by in the joined scripts, in the order in which they run. Raises: NotLinked."""
    order: list[str] = []
    for entry in entries:
        _walk(modules, entry, [], order)
    return {path: f"m{place}" for place, path in enumerate(order)}


def linked_sheet(sheets: Mapping[str, str], order: list[str]) -> str:
    """The stylesheets in the order the page names them. Raises: NotLinked where one is missing."""
    missing = [path for path in order if path not in sheets]
    if missing:
        raise NotLinked(f"the page names {missing[0]}, and there is no such file")
    return "\n".join(slim_sheet(sheets[path]) for path in order)


def slim_script(text: str) -> str:
    """A script with short names inside its functions and nothing that only a reader needs.

    Raises: NotLinked where it is no script, with the place in the joined text.
    """
    try:
        slim: str = minify.string("application/javascript", text)
    except minify.MinifyError as error:
        raise NotLinked(" ".join(str(error).split())) from None
    return slim


def slim_sheet(text: str) -> str:
    """A stylesheet without comments, empty lines and indents. None of ours holds text that spans lines."""
    lines = (line.strip() for line in re.sub(r"/\*.*?\*/", "", text, flags=re.DOTALL).splitlines())
    return "\n".join(line for line in lines if line)


def _walk(modules: Mapping[str, str], path: str, above: list[str], order: list[str]) -> None:
    if path in order:
        return
    if path in above:
        raise NotLinked(" imports ".join([*above[above.index(path) :], path]) + ": a ring has no beginning")
    if path not in modules:
        raise NotLinked(f"{above[-1] if above else 'the page'} needs {path}, and there is no such file")
    for found in _IMPORT.finditer(modules[path]):
        _walk(modules, _resolved(path, found["path"]), [*above, path], order)
    order.append(path)


def _resolved(path: str, named: str) -> str:
    return posixpath.normpath(posixpath.join(posixpath.dirname(path), named))


def _outer(modules: Mapping[str, str], names: Mapping[str, str]) -> dict[str, dict[str, str]]:
    """What each module exports, by its name there, and what it goes by outside of the module."""
    exported = {path: _EXPORT.findall(modules[path]) for path in names}
    times = Counter(name for each in exported.values() for name in each)
    said = {path: set(_SAID.findall(_COMMENT.sub("", _IMPORT.sub("", modules[path])))) for path in names}
    # A name that is not imported may be the browser's own, or one of the module's.
    strange = {path: said[path] - set(exported[path]) - _imported_as_they_are(modules[path]) for path in names}
    taken = set[str]().union(*strange.values())
    return {
        path: {name: name if times[name] == 1 and name not in taken else f"{names[path]}${name}" for name in each}
        for path, each in exported.items()
    }


def _imported_as_they_are(text: str) -> set[str]:
    listed = (each.strip() for found in _IMPORT.finditer(text) for each in (found["names"] or "").split(","))
    return {each for each in listed if " as " not in each}


def _lent(modules: Mapping[str, str], entry: str, chunk: str) -> tuple[list[tuple[str, str]], str]:
    """What the chunk needs of the entry's script, by module and name; and the name under which all of it is given.

    That name holds a digest of the entry's modules: two scripts of different versions, as a server that was renewed in
    between may give, are refused by the browser rather than joined wrongly.
    """
    first = linked_names(modules, entry)
    needed: set[tuple[str, str]] = set()
    for path in linked_names(modules, entry, chunk):
        for found in _IMPORT.finditer(modules[path] if path not in first else ""):
            of = _resolved(path, found["path"])
            if of in first:
                each = _EXPORT.findall(modules[of]) if found["whole"] is not None else _names_in(found["names"])
                needed |= {(of, name) for name in each}
    version = hashlib.sha256("\n".join([chunk, *(modules[path] for path in first)]).encode()).hexdigest()[:8]
    return sorted(needed), f"lent_{version}"


def _names_in(listed: str) -> list[str]:
    """The names a module exports, in the list of an import."""
    return [each.split()[0] for each in listed.split(",") if each.strip()]


def _wholes(paths: list[str], names: Mapping[str, str], outer: Mapping[str, Mapping[str, str]]) -> list[str]:
    """Each module as an object of what it exports."""
    wholes = {path: ",".join(f"{name}:{given}" for name, given in outer[path].items()) for path in paths}
    return [f"export const {names[path]}={{{whole}}};" for path, whole in wholes.items()]


def _wrapped(path: str, text: str, outer: Mapping[str, Mapping[str, str]], chunk: str | None) -> str:
    wholes: dict[str, str] = {}

    def loaded(found: re.Match[str], as_said: str) -> str:
        return as_said if _resolved(path, found["path"]) == chunk else found[0]

    def imported(found: re.Match[str]) -> str:
        of = _resolved(path, found["path"])
        if found["whole"] is not None:
            wholes[found["whole"]] = of
            return ""
        listed = [each.strip() for each in found["names"].split(",") if each.strip()]
        pairs = [(pair[1], pair[2]) if (pair := _RENAMED.match(each)) else (each, each) for each in listed]
        parts = [f"{here}={outer[of][name]}" for name, here in pairs if here != outer[of][name]]
        return f"const {','.join(parts)};\n" if parts else ""

    body = _EXPORT.sub(lambda found: found[0].removeprefix("export "), _IMPORT.sub(imported, text))
    # `server.join(...)` of a whole module names the very function: no object is made for it.
    for whole, of in wholes.items():
        each = re.compile(rf"(?<![\w$.]){whole}\.({'|'.join(outer[of])})\b")
        body = each.sub(partial(_given, outer[of]), body)
    # Comments may speak of imports; an import in another form, left in the code, would break the whole page.
    code = _COMMENT.sub("", _LAZY.sub(lambda found: loaded(found, ""), body))
    if (other := _OTHER.search(code)) is not None:
        raise NotLinked(
            f'{path}, “{other[0].strip()}”: understood are only `import {{...}} from "./..."`, '
            '`import * as name from "./..."`, import(`./...`) of the chunk, `export` before function, class, const'
        )
    body = _LAZY.sub(lambda found: loaded(found, f"import(`{chunk}{found['again']}`)"), body)
    if (line := _moved_line(_COMMENT.sub("", body))) is not None:
        raise NotLinked(
            f"{path}, “{line}”: the shortening of names would move it above what it reads; take a step between"
        )
    if (found := _VOIDED.search(_COMMENT.sub("", body))) is not None:
        raise NotLinked(f"{path}, “{found[0].strip()}”: the shortening would leave it out; write it as a statement")
    return f"const [{','.join(outer[path].values())}]=(()=>{{\n{body}\nreturn[{','.join(outer[path])}]}})();"


def _given(outer: Mapping[str, str], found: re.Match[str]) -> str:
    return outer[found[1]]


def _moved_line(text: str) -> str | None:
    """A line that the shortener moves wrongly, or None.

    It joins declarations that follow one another, and puts one that takes a value apart (`const [a] = ...`) first where
    the value holds something in brackets of its own or an object, even if that reads a name declared just before.
    """
    before: set[str] = set()
    stays = False
    indent = ""
    for line in text.splitlines():
        found = _DECLARED.match(line)
        if found is None or found["indent"] != indent:
            before = set()
        if found is None:
            continue
        indent = found["indent"]
        is_apart = found["names"][:1] in "[{"
        if not before:
            stays = is_apart  # nothing is put before a first one that takes a value apart itself
        reads = before & set(re.findall(r"[\w$]+", found["value"]))
        if is_apart and not stays and reads and _GROUP.search(found["value"]):
            return line.strip()
        before |= set(re.findall(r"[\w$]+", found["names"]))
    return None
