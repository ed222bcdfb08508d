"""The check of the page's types can fail: it sees a mistake in the page and in the service worker."""

from __future__ import annotations

import json
import subprocess
from pathlib import Path

import pytest

from tests.js.check import SETTINGS, check, compiler


def test_every_module_of_the_page_is_sound() -> None:
    assert check() == 0


@pytest.mark.parametrize("settings", SETTINGS)
def test_a_mistaken_type_is_seen(settings: str, tmp_path: Path) -> None:
    (tmp_path / "mistaken.js").write_text("/** @type {number} */\nexport const count = 'many';\n")
    here = Path(__file__).parent / settings
    (tmp_path / "tsconfig.json").write_text(
        json.dumps({"extends": str(here), "include": [str(tmp_path / "*.js")], "exclude": []})
    )
    tsc = compiler()
    assert tsc is not None
    run = subprocess.run([tsc, "-p", tmp_path], capture_output=True, text=True, check=False)
    assert run.returncode != 0
    assert "mistaken.js" in run.stdout
