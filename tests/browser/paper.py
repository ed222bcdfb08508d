"""What comes out of the printer: the page as the browser prints it, read and seen page by page by another program."""

from __future__ import annotations

from typing import Any

import pypdfium2
from playwright.sync_api import Page

SHARP = 4
"""Dots to a point: as sharp as a cheap printer."""
HYPHEN_AT_A_LINES_END = "\x02"
"""As that program tells it."""


class Paper:
    """A page of ours printed on sheets of one size."""

    def __init__(self, page: Page, size: str = "A4") -> None:
        self._file = pypdfium2.PdfDocument(page.pdf(format=size))

    @property
    def texts(self) -> list[str]:
        """The words on each sheet, line ends as spaces."""
        texts = (each.get_textpage().get_text_bounded() for each in self._file)
        return [" ".join(text.replace(HYPHEN_AT_A_LINES_END, "-").split()) for text in texts]

    def seen(self, sheet: int = 0) -> Any:
        """A sheet as a camera sees it: rows of grey dots."""
        return self._file[sheet].render(scale=SHARP, grayscale=True).to_numpy().squeeze()
