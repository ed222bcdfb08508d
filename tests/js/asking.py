"""The page's modules run by themselves, without a browser: each question answered by a line of script."""

from __future__ import annotations

import json
import shutil
import subprocess
from pathlib import Path
from typing import Any

from nearside.web.linking import linked_script

PAGE = Path(__file__).parents[2] / "frontend"
ANSWER = """
import { readFileSync } from "node:fs";
const answer = (each) => console.log(JSON.stringify(JSON.parse(readFileSync(0, "utf8")).map((one) => each(one))));
"""


def asked(script: str, questions: list[Any]) -> list[Any]:
    """What the page's modules answer, run by themselves."""
    node = shutil.which("node")
    assert node is not None, "no node: `python -m tests` says how to get one"
    modules = {f"/{each.relative_to(PAGE)}": each.read_text() for each in PAGE.rglob("*.js")}
    run = subprocess.run(
        [node, "--input-type=module", "-e", ANSWER + linked_script({**modules, "/asked.js": script}, "/asked.js")],
        input=json.dumps(questions),
        capture_output=True,
        text=True,
        check=False,
    )
    assert run.returncode == 0, run.stderr
    answers: list[Any] = json.loads(run.stdout)
    return answers
