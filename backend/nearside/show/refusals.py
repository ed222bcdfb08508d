"""How the show says no: a code for programs, a sentence for people, and where it was.

The web turns the code into a status, the command line prints the sentence. A sentence says what to do next; it never
repeats what somebody else wrote.
"""

from __future__ import annotations

from typing import Literal

Code = Literal[
    "not_joined",
    "revoked",
    "wrong_code",
    "too_many_tries",
    "not_your_card",
    "not_your_task",
    "unknown_class",
    "unknown_seat",
    "unknown_entry",
    "unknown_championship",
    "unknown_command",
    "not_now",
    "unknown_device",
    "card_needed",
    "bad_request",
    "too_large",
    "not_kept",
]


class Refusal(Exception):
    """Something asked of the show that it does not do; nothing was changed."""

    def __init__(self, code: Code, sentence: str, where: str | None = None) -> None:
        super().__init__(sentence)
        self.code: Code = code
        self.sentence = sentence
        self.where = where


def unknown_class(where: str) -> Refusal:
    """There is no such class in the show, or none that is judged."""
    return Refusal("unknown_class", "This show has no such class; open the list of classes again.", where)


class CannotOpen(Exception):
    """A show that cannot be opened, or opened again, as asked; one line for the person at the keyboard."""
