"""A panel file read and checked: `nearside-panel/1`, the signed orders of the judges of one class."""

from __future__ import annotations

from typing import Annotated, Any, NotRequired

from pydantic import Field, TypeAdapter, with_config
from typing_extensions import TypedDict

from nearside.engine.panel import Method, NoResult, PanelCard, card_result, panel_result
from nearside.show.notes import STRICT, Numbers, file_fields
from nearside.show.strict_json import Refused, shown

FORMAT = "nearside-panel/1"
RESULT = "nearside-panel-result/1"
RULES = "Worked out from the cards given. The show's rules say which method counts, and stand above it."


@with_config(STRICT)
class CardFields(TypedDict):
    judge: Annotated[str, Field(min_length=1)]
    placing: Numbers


class PanelFields(TypedDict):
    format: str
    method: Method
    call_judges: NotRequired[list[str] | None]
    cards: Annotated[list[CardFields], Field(min_length=1)]


_FILE: TypeAdapter[Any] = TypeAdapter(with_config(STRICT)(PanelFields))


def checked_panel(value: Any) -> PanelFields:
    """The panel of a file, checked. Raises: Refused with the place of the first thing that is wrong."""
    fields: PanelFields = file_fields(value, FORMAT, _FILE)
    judges: list[str] = []
    for place, card in enumerate(fields["cards"]):
        if card["judge"] in judges:
            raise Refused(f"cards[{place}].judge", f"{shown(card['judge'])} has a card already")
        judges.append(card["judge"])
        _refuse_twice(card["placing"], f"cards[{place}].placing")
    calling = fields.get("call_judges") or []
    for place, judge in enumerate(calling):
        if judge not in judges:
            raise Refused(f"call_judges[{place}]", f"{shown(judge)} has no card: there are {', '.join(judges)}")
    _refuse_twice(calling, "call_judges")
    return fields


def result_of(panel: PanelFields, method: str | None = None) -> dict[str, Any]:
    """A `nearside-panel-result/1` by the file's method, or by another. Raises: Refused where it can't be used."""
    by = method or panel["method"]
    cards: list[PanelCard] = [{"judge": card["judge"], "placing": card["placing"]} for card in panel["cards"]]
    calling = panel.get("call_judges") or []
    answer: dict[str, Any] = {"format": RESULT, "method": by, "call_judges": calling}
    if by == "separate":
        return {**answer, "cards": [{"judge": card["judge"], "result": card_result(card)} for card in cards]}
    try:
        return {**answer, "result": panel_result(cards, by, calling)}
    except NoResult as error:
        raise Refused("cards" if method is None else "--method", str(error)) from None


def result_account(answer: dict[str, Any]) -> str:
    """The result for a person to read: the method, then one line a place; tied horses on one line."""
    if "cards" in answer:
        parts = [f"{card['judge']}\n{_lines(card['result'])}" for card in answer["cards"]]
        return "Separate cards: each is its own result.\n\n" + "\n".join(parts) + f"\n{RULES}\n"
    named = METHOD_WORDS[answer["method"]]
    calling = f"; ties by the order of {', then '.join(answer['call_judges'])}" if _uses_call_judges(answer) else ""
    return f"{named}{calling}\n\n{_lines(answer['result'])}\n{RULES}\n"


METHOD_WORDS = {
    "majority": "Majority placing",
    "points": "Points, 10 for a first",
    "dropped_majority": "Majority placing, high and low dropped",
    "dropped_points": "Points, 10 for a first, high and low dropped",
}


def _uses_call_judges(answer: dict[str, Any]) -> bool:
    return bool(answer["call_judges"]) and answer["method"].endswith("points")


def _lines(result: list[dict[str, Any]]) -> str:
    lines = []
    for each in result:
        tied = "  tied" if len(each["numbers"]) > 1 else ""
        lines.append(f"{each['place']:>3}  {', '.join(each['numbers'])}{tied}\n")
    return "".join(lines)


def _refuse_twice(values: list[str], where: str) -> None:
    for place, value in enumerate(values):
        if value in values[:place]:
            raise Refused(f"{where}[{place}]", f"{shown(value)} is named twice")
