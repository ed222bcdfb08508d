"""The office's commands, on a device of its own: what a test sets up that is about something else."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import httpx

from tests.browser.served import Served


class Office:
    """The office's commands, as its page sends them."""

    def __init__(self, device: httpx.Client, server: Served) -> None:
        self._device = device
        self._server = server

    def ask(self, command: str, **body: Any) -> dict[str, Any]:
        answer = self._device.post(f"/api/office/{command}", json=body)
        assert answer.status_code == 200, answer.text
        state: dict[str, Any] = answer.json()
        return state

    def seat(self, role: str, name: str) -> str:
        """A new seat: its id. Its code is the server's by its name."""
        seats = self.ask("seat", id=None, role=role, name=name, judge=None)["seats"]
        found = next(each for each in seats if each["name"] == name)
        self._server.codes[name] = found["code"]
        return str(found["id"])

    def new_class(self, title: str, numbers: list[str], places: int) -> str:
        """A class of the first judge's with horses of long names: its id."""
        fields = {"standard": "hunter-type", "sexes": ["mare", "gelding"], "ages": ["three", "aged"]}
        panel = {"judges": ["judge-a"], "method": "separate", "call_judges": [], "study_office": False}
        state = self.ask("class", id=None, title=title, places=places, lameness=None, **fields, **panel)
        class_id = str(state["classes"][-1]["id"])
        rows = [f"{each},Silver Lining of the Upper Valley {each},Harriet Longfellow-Ashworth" for each in numbers]
        self.ask("entries-take", text="\n".join(["number,horse,exhibitor", *rows]), **{"class": class_id})
        return class_id

    def change_class(self, class_id: str, **fields: Any) -> None:
        """A class as it is, but for some fields."""
        state = self._device.get("/api/office").json()
        (own,) = (each for each in state["classes"] if each["id"] == class_id)
        names = ("id", "title", "standard", "sexes", "ages", "places", "lameness", "judges", "method", "call_judges")
        self.ask("class", **({name: own[name] for name in (*names, "study_office")} | fields))


@contextmanager
def office_of(server: Served) -> Iterator[Office]:
    """The office at work, on a device of its own."""
    with server.device("office") as device:
        yield Office(device, server)
