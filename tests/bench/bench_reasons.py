"""How long oral reasons take when read aloud, over their estimate: three example classes, by text-to-speech."""

from __future__ import annotations

import shutil
import subprocess
import tempfile
import wave
from pathlib import Path

from nearside.engine.oral import WORDS_A_MINUTE, oral_reasons, spoken_order
from nearside.engine.placing import place
from nearside.show.classfile import read_class_file
from nearside.show.standards import words
from tests.packages import ask_for

ROOT = Path(__file__).parents[2]
CLASSES = ("1-stock-type-mares", "2-hunter-type-geldings", "4-hunter-type-mares")
OFF_AT_MOST = 0.1

Row = tuple[str, float, float, bool]


def main() -> list[Row]:
    """For each class, by how much the estimate is off, as a part of it."""
    if shutil.which("espeak-ng") is None:
        ask_for("espeak-ng")
    speaker = shutil.which("espeak-ng")
    assert speaker is not None, "text-to-speech is needed: install Debian's package espeak-ng"
    rows: list[Row] = []
    for name in CLASSES:
        class_file, standard = read_class_file((ROOT / "examples" / f"{name}.json").read_bytes())
        placing = place(class_file, standard, words())
        reasons = oral_reasons(class_file, standard, words(), placing, spoken_order(placing)[:4])
        text = "\n\n".join(each["text"] for each in reasons["statements"])
        off = abs(_seconds_aloud(speaker, text) / reasons["seconds"] - 1)
        label = f"reasons of {name} read aloud, off their estimate of {reasons['seconds']} s by a part of"
        rows.append((label, off, OFF_AT_MOST, off <= OFF_AT_MOST))
    return rows


def _seconds_aloud(speaker: str, text: str) -> float:
    with tempfile.NamedTemporaryFile(suffix=".wav") as sound:
        subprocess.run([speaker, "-v", "en-gb", "-s", str(WORDS_A_MINUTE), "-w", sound.name, text], check=True)
        with wave.open(sound.name) as spoken:
            return float(spoken.getnframes() / spoken.getframerate())
