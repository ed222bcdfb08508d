"""The engine on the phone says what the engine on the server says, to the byte, in a real Chromium.

At least 2,000 generated class files go through both; the canonical JSON of the placing, the oral reasons and what would
turn each adjacent pair must be equal. A failure prints the seed, and the smallest class file that differs.
"""

from __future__ import annotations

import json
import os
import random
import re
import threading
from collections.abc import Iterator
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from itertools import pairwise
from pathlib import Path
from typing import Any, get_args

import pytest
from hypothesis import Phase, given, seed, settings
from playwright.sync_api import Page, sync_playwright

from nearside.engine.oral import oral_reasons, spoken_order
from nearside.engine.placing import place
from nearside.engine.shapes import Basis
from nearside.engine.turning import turning_steps
from nearside.show.classfile import checked_class_file, read_class_file
from nearside.show.standards import words
from nearside.show.strict_json import canonical
from nearside.web.linking import linked_names, linked_script
from tests.browser.chromium import ARGUMENTS, find_chromium
from tests.engine import cases

ROOT = Path(__file__).parents[2]
CASES = 2_000
BATCH = 100
SEED = int(os.environ.get("NEARSIDE_SEED", random.randrange(2**32)))

TWIN = """
async ([cases, words]) => {
  const { place } = await import("/engine/placing.js");
  const { oralReasons, spokenOrder } = await import("/engine/oral.js");
  const { turningSteps } = await import("/engine/turning.js");
  const { canonical } = await import("/lib/canonical.js");
  return cases.map(({ file, standard }) => {
    const placing = place(file, standard, words);
    const order = spokenOrder(placing);
    const stood = placing.placing;
    return canonical({
      placing,
      reasons: order.length > 0 ? oralReasons(file, standard, words, placing, order) : null,
      turns: stood.slice(1).map((lower, i) => turningSteps(file, standard, stood[i], lower)),
    });
  });
}
"""


class Quiet(SimpleHTTPRequestHandler):
    def log_message(self, *_: Any) -> None:
        """Says nothing."""


@pytest.fixture(scope="module")
def page() -> Iterator[Page]:
    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(Quiet, directory=str(ROOT / "frontend")))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    chromium = find_chromium()
    assert chromium is not None, "no Chromium: run python -m tests, which installs one"
    try:
        with sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path=chromium, args=ARGUMENTS)
            page = browser.new_context().new_page()
            page.goto(f"http://127.0.0.1:{server.server_port}/manifest.webmanifest")
            yield page
            browser.close()
    finally:
        server.shutdown()
        server.server_close()


def by_python(file: dict[str, Any]) -> tuple[dict[str, Any], str]:
    """What the twin is given, and what it must answer."""
    checked, standard = checked_class_file(file)
    placing = place(checked, standard, words())
    order = spoken_order(placing)
    stood = placing["placing"]
    answer = {
        "placing": placing,
        "reasons": oral_reasons(checked, standard, words(), placing, order) if order else None,
        "turns": [turning_steps(checked, standard, u, low) for u, low in pairwise(stood)],
    }
    return {"file": checked, "standard": standard}, canonical(answer)


def by_twin(page: Page, given_cases: list[dict[str, Any]]) -> list[str]:
    answers: list[str] = page.evaluate(TWIN, [given_cases, words()])
    return answers


@pytest.fixture(scope="module")
def files() -> list[dict[str, Any]]:
    """Class files drawn by the strategies of the engine's own tests, no two alike."""
    return generated(CASES)


def generated(count: int) -> list[dict[str, Any]]:
    files: dict[str, dict[str, Any]] = {}

    # Hypothesis repeats itself a little, so it is asked for more.
    @seed(SEED)
    @settings(max_examples=count * 5 // 4, phases=[Phase.generate], database=None)
    @given(cases.class_files())
    def draw(file: dict[str, Any]) -> None:
        files.setdefault(canonical(file), file)

    draw()
    assert len(files) >= count, f"seed {SEED}: only {len(files)} class files differ from one another"
    return list(files.values())[:count]


@pytest.fixture(scope="module")
def answered(files: list[dict[str, Any]]) -> list[tuple[dict[str, Any], str]]:
    """What the twin is given, and what it must answer, for every class file."""
    return [by_python(file) for file in files]


def differing(page: Page, answered: list[tuple[dict[str, Any], str]]) -> Iterator[str]:
    """The class files on which the twin answers otherwise, one batch after the other."""
    for start in range(0, len(answered), BATCH):
        batch = answered[start : start + BATCH]
        for (case, ours), theirs in zip(batch, by_twin(page, [case for case, _ in batch]), strict=True):
            if ours != theirs:
                yield canonical(case["file"])


def test_generated_classes_come_out_equal_byte_for_byte(page: Page, answered: list[tuple[dict[str, Any], str]]) -> None:
    found = list(differing(page, answered))
    smallest = min(found, key=len, default="")
    assert not found, f"seed {SEED}: {len(found)} of {len(answered)} differ, the smallest: {smallest}"


def test_joined_and_made_small_as_it_is_served_the_twin_answers_the_same(
    page: Page, answered: list[tuple[dict[str, Any], str]]
) -> None:
    root = ROOT / "frontend"
    modules = {f"/{path.relative_to(root)}": path.read_text() for path in root.rglob("*.js")}
    named = re.findall(r'import\("([^"]+)"\)', TWIN)
    modules["/proof.js"] = "".join(f'import * as m{i} from ".{path}";\n' for i, path in enumerate(named))
    names = linked_names(modules, "/proof.js")
    served = page.context.new_page()
    served.route(
        "**/proof.js",
        lambda route: route.fulfill(
            body=linked_script(modules, "/proof.js", exports_all=True), content_type="text/javascript"
        ),
    )
    served.goto(page.url)
    script = re.sub(r'await import\("([^"]+)"\)', lambda found: f'(await import("/proof.js")).{names[found[1]]}', TWIN)
    try:
        for start in range(0, len(answered), BATCH):
            batch = answered[start : start + BATCH]
            answers = served.evaluate(script, [[case for case, _ in batch], words()])
            assert answers == [ours for _, ours in batch], f"seed {SEED}"
    finally:
        served.close()


@pytest.mark.parametrize("path", sorted((ROOT / "examples").glob("[0-9]*.json")), ids=lambda path: path.stem)
def test_the_example_classes_come_out_equal_with_their_shipped_standards(page: Page, path: Path) -> None:
    file, standard = read_class_file(path.read_bytes())
    case, ours = by_python({**file, "class": {**file["class"], "standard": standard}})
    assert by_twin(page, [case]) == [ours]


ONE_CHARACTER = [
    ("weighing.js", "15, 12, 10]", "15, 12, 11]"),
    ("weighing.js", "+ 0.5)", "+ 0.6)"),
    ("merging.js", "note.at > other.at", "note.at < other.at"),
    ("numbers.js", "return x.digits ? -1 : 1", "return x.digits ? 1 : 1"),
    ("sheets.js", "worst > 0", "worst > 1"),
    ("standing.js", "grade >= lameness", "grade >  lameness"),
    ("calls.js", "=> !(circleOf", "=>  (circleOf"),
    ("placing.js", "a.total !== b.total", "a.total === b.total"),
    ("looking.js", "moved >= margin", "moved >  margin"),
    ("steps.js", "const CLEAR = 2", "const CLEAR = 3"),
    ("reasons.js", "const TRAITS_NAMED = 3", "const TRAITS_NAMED = 2"),
    ("oral.js", "const TRAITS_SPOKEN = 2", "const TRAITS_SPOKEN = 1"),
    ("turning.js", "left <= 0", "left <  0"),
]


@pytest.mark.parametrize(("name", "right", "wrong"), ONE_CHARACTER, ids=[f"{n}: {w}" for n, _, w in ONE_CHARACTER])
def test_one_character_changed_in_the_twin_is_noticed(
    page: Page, answered: list[tuple[dict[str, Any], str]], name: str, right: str, wrong: str
) -> None:
    source = (ROOT / "frontend" / "engine" / name).read_text()
    assert source.count(right) >= 1
    changed = page.context.new_page()
    changed.route(
        f"**/engine/{name}",
        lambda route: route.fulfill(body=source.replace(right, wrong), content_type="text/javascript"),
    )
    changed.goto(page.url)
    try:
        assert next(differing(changed, answered), None) is not None
    finally:
        changed.close()


def test_the_generated_classes_hold_what_goes_wrong(answered: list[tuple[dict[str, Any], str]]) -> None:
    """The proof is worth what its cases are: each of these must come up often enough."""
    placings = [json.loads(answer)["placing"] for _, answer in answered]
    lists = ("circles", "disputes", "strangers", "last_by_rule", "calls_set_aside", "asks", "conflicts", "even", "own")
    often = {field: sum(bool(each[field]) for each in placings) for field in lists}
    assert min(often.values()) >= 10, often
    assert {pair["basis"] for each in placings for pair in each["pairs"]} == set(get_args(Basis))
    assert sum(not each["placing"] for each in placings) >= 10
