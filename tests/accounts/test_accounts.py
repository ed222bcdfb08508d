"""The full text for whole classes, kept one file each; a change writes a `.new` beside it and fails."""

from __future__ import annotations

from pathlib import Path

import pytest

from nearside.engine.oral import oral_reasons, spoken_order
from nearside.engine.placing import place
from nearside.show.account import account, spoken_account
from nearside.show.classfile import checked_class_file
from nearside.show.standards import words

from .classes import kept_classes

FOLDER = Path(__file__).parent
CLASSES = kept_classes()


@pytest.mark.parametrize("name", CLASSES)
def test_the_account_of_a_class_is_the_one_kept(name: str) -> None:
    class_file, standard = checked_class_file(CLASSES[name])
    placing = place(class_file, standard, words())
    text = account(class_file, standard, placing, words())
    order = spoken_order(placing)
    if order:
        reasons = oral_reasons(class_file, standard, words(), placing, order[:4])
        text += f"\n== Oral reasons\n\n{spoken_account(reasons, is_short=False)}"
        text += f"\n== For the microphone\n\n{spoken_account(reasons, is_short=True)}"
    kept, new = FOLDER / f"{name}.txt", FOLDER / f"{name}.txt.new"
    if not kept.exists() or kept.read_text() != text:
        new.write_text(text)
        pytest.fail(f"the account differs from the one kept: compare {new.name} with {kept.name}, and move it if right")
    new.unlink(missing_ok=True)


def test_every_account_kept_is_of_a_class_there_is() -> None:
    assert {path.stem for path in FOLDER.glob("*.txt")} == set(CLASSES)
