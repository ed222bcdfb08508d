"""The built wheel holds the whole house: it is installed into a bare environment and started."""

from __future__ import annotations

import json
import re
import subprocess
import sys
import venv
from pathlib import Path
from urllib.request import urlopen
from zipfile import ZipFile

from tests.engine.cases import class_file, marks

ROOT = Path(__file__).parents[1]


def run(*command: str) -> str:
    done = subprocess.run(command, capture_output=True, text=True, timeout=300, check=False)
    assert done.returncode == 0, done.stderr
    return done.stdout


def test_the_wheel_installs_bare_places_a_class_and_serves_the_page(tmp_path: Path) -> None:
    run(sys.executable, "-m", "build", "--wheel", "--outdir", str(tmp_path), str(ROOT))
    (wheel,) = tmp_path.glob("nearside-*.whl")
    names = set(ZipFile(wheel).namelist())
    assert {"nearside/frontend/index.html", "nearside/standards/stock-type.json", "nearside/py.typed"} <= names
    assert not any(name.startswith("tests/") for name in names)

    venv.create(tmp_path / "bare", with_pip=True)
    python = str(tmp_path / "bare" / "bin" / "python")
    run(python, "-m", "pip", "install", "--quiet", "--disable-pip-version-check", str(wheel))
    file = tmp_path / "class.json"
    file.write_text(json.dumps(class_file(["7", "12"], marks(_7={"topline": 1}, _12={"topline": 2}))))
    nearside = str(tmp_path / "bare" / "bin" / "nearside")
    assert json.loads(run(nearside, "place", str(file), "--json"))["placing"] == ["12", "7"]

    with subprocess.Popen(
        [nearside, "demo", "--port", "0"], stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
    ) as demo:
        try:
            assert demo.stdout is not None
            address = next(found[0] for line in demo.stdout if (found := re.search(r"http://127\.0\.0\.1:\d+", line)))
            for path in ("/", "/sw.js", "/health"):
                with urlopen(address + path, timeout=20) as answer:
                    assert answer.status == 200
        finally:
            demo.terminate()
            demo.communicate(timeout=20)
