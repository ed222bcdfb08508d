"""Pictures of every screen, to be looked at: `python -m tests.browser.gallery FOLDER [NAME...]`.

Each at phone, small phone, phone on its side, tablet and laptop size, light and dark; with names, those screens only.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path
from typing import Literal

from playwright.sync_api import sync_playwright

from tests.browser.screens import SCREENS, TABLE_SCREENS, Screen, Stage, TableStage

THEMES: tuple[Literal["light", "dark"], ...] = ("light", "dark")
SIZES = {"phone": (390, 844), "small": (320, 568), "side": (844, 390), "tablet": (820, 1180), "laptop": (1280, 800)}


def main(words: list[str]) -> int:
    if not words:
        print("Say where the pictures go: python -m tests.browser.gallery FOLDER [NAME...]", file=sys.stderr)
        return 2
    folder, names = Path(words[0]), words[1:]
    unknown = set(names) - {each.name for each in (*SCREENS, *TABLE_SCREENS)}
    if unknown:
        print(f"No such screen: {', '.join(sorted(unknown))}", file=sys.stderr)
        return 2
    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as held, sync_playwright() as playwright:
        for of, screens in ((Stage, SCREENS), (TableStage, TABLE_SCREENS)):
            wanted = [screen for screen in screens if not names or screen.name in names]
            if wanted:
                stage = of(playwright, Path(held) / of.__name__)
                try:
                    for screen in wanted:
                        _take(stage, screen, folder)
                finally:
                    stage.close()
    return 0


def _take(stage: Stage | TableStage, screen: Screen, folder: Path) -> None:
    stage.page.set_viewport_size({"width": 390, "height": 844})
    stage.open(screen)
    if stage.page.locator("standing-list").count() > 0:
        stage.page.wait_for_timeout(700)  # the placing beside the traits is worked out once the thumb rests
    for size, (width, height) in SIZES.items():
        stage.page.set_viewport_size({"width": width, "height": height})
        for theme in THEMES:
            stage.page.emulate_media(color_scheme=theme)
            stage.page.screenshot(path=folder / f"{screen.name}-{size}-{theme}.png")


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
