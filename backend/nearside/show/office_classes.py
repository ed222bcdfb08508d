"""The office's plans for classes: made, changed, put in order, taken away, sent to the gate and the ring.

A class can be changed while it is judged, but not from under those who judge it: once somebody has looked at a horse
its standard and sexes stand, once a card is signed its lameness rule, and once all cards are in its judges and the
method by which they are put together.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Annotated, Any, Literal, NotRequired, cast

from pydantic import Field
from typing_extensions import TypedDict

from nearside.engine.panel import Method, NoResult, panel_result
from nearside.engine.shapes import DEFAULT_LAMENESS, Standard
from nearside.show.asked import as_refusal, needed_text
from nearside.show.classfile import LamenessRule, checked_class, standard_of
from nearside.show.horses import is_marked, is_released, signed_cards, written_cards
from nearside.show.records import Asking, Planned, Records, change_to
from nearside.show.refusals import Refusal, unknown_class
from nearside.show.results import announced_as, result_of_class
from nearside.show.standards import shipped_keys, shipped_standard
from nearside.show.strict_json import Refused
from nearside.store.protocol import Record

Stage = Literal["gate", "ring", "announced"]
MOST_CLASSES = 400
MOST_FORMER = 8
_JUDGED_BY = ("standard", "sexes")


class ClassAsked(TypedDict):
    """A class as it shall be. `id` null: a new one; `judges` null: all of the show; `lameness` null: as it was.

    What may be left out stays as it was, of a new class as usual.
    """

    id: str | None
    title: str
    standard: str | dict[str, Any]
    sexes: list[str]
    ages: list[str]
    places: int
    lameness: NotRequired[LamenessRule | None]
    judges: NotRequired[list[str] | None]
    method: NotRequired[Method]
    call_judges: NotRequired[list[str]]
    study_office: NotRequired[bool]


class OneClass(TypedDict):
    id: str


class ClassesInOrder(TypedDict):
    ids: Annotated[list[str], Field(max_length=MOST_CLASSES)]


StageAsked = TypedDict("StageAsked", {"class": str, "stage": Stage | None})


def plan_class(records: Records, _asking: Asking, asked: ClassAsked) -> Planned:
    """A new class, or an old one changed; what may be left out stays as it was."""
    if asked["id"] is None:
        record: Record = {"show": records.id, "position": next_position(records.classes), "class": {}}
        class_id = new_class_id(records)
    else:
        class_id = asked["id"]
        record = judged_class(records, class_id, "id")
    fields, standard = _fields(records, asked, class_id, record["class"])
    method, call_judges = method_of(record)
    after = {
        **record,
        "class": fields,
        "method": asked.get("method", method),
        "call_judges": list(asked.get("call_judges", call_judges)),
        "study_office": asked.get("study_office", bool(record.get("study_office"))),
        "judges": _judges(records, asked["judges"]) if "judges" in asked else record.get("judges"),
    }
    _refuse_panel(records, after)
    if asked["id"] is not None:
        _refuse_fixed(records, record, after, standard)
        after["former"] = _former(record, fields)
    return Planned([change_to("classes", after)])


def plan_class_gone(records: Records, asking: Asking, asked: OneClass) -> Planned:
    """A class taken away that nobody judged."""
    class_id = asked["id"]
    record = judged_class(records, class_id, "id")
    title = title_of(record)
    if any(each["kind"] not in ("presence", "entry") for each in records.notes(class_id)):
        raise Refusal("not_now", f"{title} has been judged: what is written of it stays, and so does the class.", "id")
    for each in records.classes.values():
        if (each.get("folded") or {}).get("into") == class_id:
            raise Refusal("not_now", f"{title} has {title_of(each)} in it; it stays.", "id")
    for each in records.championships.values():
        if class_id in each["classes"]:
            raise Refusal(
                "not_now", f"The championship {each['title']} takes its horses; take it out there first.", "id"
            )
    return Planned([change_to("classes", {**record, "gone": {"at": asking.now_ms}})])


def plan_order(records: Records, _asking: Asking, asked: ClassesInOrder) -> Planned:
    """The classes in another order."""
    ids = asked["ids"]
    if sorted(ids) != sorted(records.judged):
        raise Refusal("bad_request", "ids: name each class of the show once; open the list of classes again.", "ids")
    rest = [class_id for class_id in records.classes if class_id not in records.judged]
    return Planned(
        [
            change_to("classes", {**records.classes[class_id], "position": place})
            for place, class_id in enumerate([*ids, *rest])
            if records.classes[class_id]["position"] != place
        ]
    )


def plan_stage(records: Records, asking: Asking, asked: Mapping[str, Any]) -> Planned:
    """Where a class is: not called yet, at the gate, in the ring, announced.

    What was announced is kept with it, so that a later correction shows; announced anew it is the corrected result.
    """
    record = judged_class(records, asked["class"], "class")
    stage = asked["stage"]
    if stage == "announced":
        _refuse_unsigned(records, asked["class"])
    is_announced = stage == "announced"
    said = announced_as(result_of_class(records, asked["class"])) if is_announced else None
    if record.get("stage") == stage and record.get("announced_as") == said:
        return Planned([])
    about = {"announced_at": asking.now_ms if is_announced else None, "announced_as": said}
    return Planned([change_to("classes", {**record, "stage": stage, **about})])


def _refuse_unsigned(records: Records, class_id: str) -> None:
    """Raises: Refusal where a card of the class is not signed as it stands now: there is nothing to announce."""
    if not all_signed(records, class_id):
        why = "is not signed by all its judges yet"
    elif not set(records.judges_in(class_id)) <= signed_cards(records.notes(class_id)):
        why = "is being corrected"
    else:
        return
    title = title_of(records.classes[class_id])
    raise Refusal("not_now", f"{title} {why}; announce it once every card is signed.", "stage")


def judged_class(records: Records, class_id: str, where: str) -> Record:
    """A class of the day. Raises: Refusal."""
    record = records.judged.get(class_id)
    if record is None:
        raise unknown_class(where)
    return record


def title_of(record: Record) -> str:
    """A class as a sentence names it."""
    return f"“{record['class']['title']}”"


def method_of(record: Record) -> tuple[str, list[str]]:
    """How the cards of a class are put together, and whose order settles ties."""
    return record.get("method") or "separate", list(record.get("call_judges") or ())


def next_position(table: Mapping[str, Record]) -> int:
    """The position after the last."""
    return max((each["position"] for each in table.values()), default=-1) + 1


def new_class_id(records: Records) -> str:
    """A short id that no class has or had, nor any note names. Raises: Refusal where a show is full."""
    if len(records.classes) >= MOST_CLASSES:
        raise Refusal(
            "not_now", f"A show has {MOST_CLASSES} classes at most; put the horses in another class.", "title"
        )
    serial = len(records.classes) + 1
    while f"c{serial}" in records.classes or records.notes(f"c{serial}"):
        serial += 1
    return f"c{serial}"


def is_begun(records: Records, class_id: str) -> bool:
    """Whether anything is written on a judge's card of a class. Which of them has begun is the judges' own."""
    return not written_cards(records.notes(class_id)).isdisjoint(records.judges_in(class_id))


def all_signed(records: Records, class_id: str) -> bool:
    """Whether every judge of a class had signed at some moment."""
    return is_released(records.notes(class_id), frozenset(records.judges_in(class_id)))


def is_signed(records: Records, class_id: str) -> bool:
    """Whether a judge's signature stands."""
    return not set(records.judges_in(class_id)).isdisjoint(signed_cards(records.notes(class_id)))


def refuse_signed(records: Records, class_id: str, where: str = "class") -> None:
    """Raises: Refusal where a card of the class is signed, for then nobody comes into the class or goes out of it."""
    if is_signed(records, class_id):
        title = title_of(records.classes[class_id])
        raise Refusal(
            "not_now",
            f"A card of {title} is signed, so its horses stay as they are. A judge can take the signature back with a "
            "reason; or strike the entry from the result.",
            where,
        )


def panel_problem(records: Records, record: Record) -> str | None:
    """Why the cards of a class's judges can't be put together by its method; None where they can."""
    method, call_judges = method_of(record)
    if method == "separate":
        return None
    try:
        panel_result([{"judge": each, "placing": []} for each in records.judges_of(record)], method, call_judges)
    except NoResult as why:
        return str(why)
    return None


def _refuse_panel(records: Records, record: Record) -> None:
    """Raises: Refusal where the judges of a class can't be put together by its method."""
    _, call_judges = method_of(record)
    if len(set(call_judges)) != len(call_judges) or not set(call_judges) <= set(records.judges_of(record)):
        raise Refusal("bad_request", "call_judges: each must be a judge of this class, named once.", "call_judges")
    problem = panel_problem(records, record)
    if problem is not None:
        raise Refusal("bad_request", f"method: {problem}; choose its judges or another method.", "method")


def own_standards(records: Records, besides: str | None = None) -> dict[str, Standard]:
    """The standards of the show's own, by key, save those of one class."""
    own = {}
    for class_id, each in records.classes.items():
        standard = each["class"]["standard"]
        if class_id != besides and not isinstance(standard, str):
            own[standard["key"]] = cast("Standard", standard)
    return own


def standard_in(record: Record) -> Standard:
    """The whole standard of a class."""
    return standard_of(record["class"]["standard"], "standard")


def _fields(
    records: Records, asked: ClassAsked, class_id: str, before: Mapping[str, Any]
) -> tuple[dict[str, Any], Standard]:
    standard: Any = asked["standard"]
    own = own_standards(records)
    if isinstance(standard, str):
        standard = own.get(standard, standard)
    fields = {
        "id": class_id,
        "title": needed_text(asked["title"], "title"),
        "standard": standard,
        "sexes": list(dict.fromkeys(asked["sexes"])),
        "ages": list(dict.fromkeys(asked["ages"])),
        "places": asked["places"],
        "lameness": asked.get("lameness") or before.get("lameness") or dict(DEFAULT_LAMENESS),
    }
    try:
        checked, whole = checked_class(fields, "")
    except Refused as refused:
        raise as_refusal(refused) from None
    key = whole["key"]
    other = shipped_standard(key) if key in shipped_keys() else own_standards(records, class_id).get(key)
    if other is not None and other != whole:
        raise Refusal("bad_request", f"standard: another standard is called {key} here; rename yours.", "standard")
    checked["standard"] = key if key in shipped_keys() else whole
    return checked, whole


def _former(record: Record, fields: Mapping[str, Any]) -> list[dict[str, Any]]:
    """What the class was judged by before: what a phone that was away noted by it is still taken, and kept idle."""
    by = [{name: each[name] for name in _JUDGED_BY} for each in (*(record.get("former") or ()), record["class"])]
    now = {name: fields[name] for name in _JUDGED_BY}
    return [each for place, each in enumerate(by) if each != now and each not in by[:place]][-MOST_FORMER:]


def _judges(records: Records, asked: Sequence[str] | None) -> list[str] | None:
    if asked is None:
        return None
    judges = records.judges()
    if not asked or len(set(asked)) != len(asked) or not set(asked) <= set(judges):
        raise Refusal("bad_request", "judges: name judges' seats of this show, each once, or all of them.", "judges")
    return [each for each in judges if each in asked]


def _refuse_fixed(records: Records, before: Record, after: Record, standard: Standard) -> None:
    """Raises: Refusal where a change comes too late for those who judge the class."""
    class_id = before["class"]["id"]
    notes = records.notes(class_id)
    old, new = before["class"], after["class"]
    if is_marked(notes):
        for field, is_same in (
            ("standard", standard_in(before) == standard),
            ("sexes", set(old["sexes"]) == set(new["sexes"])),
        ):
            if not is_same:
                raise Refusal("not_now", f"{field}: horses are judged by it already, so it is fixed now.", field)
    judges = records.judges_in(class_id)
    staying = records.judges_of(after)
    if is_begun(records, class_id) and not set(judges) <= set(staying):
        raise Refusal(
            "not_now",
            "judges: this class is being judged, so its judges stay; a judge may still be added. For one who can't go "
            "on enter the paper card.",
            "judges",
        )
    if is_signed(records, class_id) and old["lameness"] != new["lameness"]:
        raise Refusal(
            "not_now", "lameness: a card of the class is signed by this rule, so it is fixed now.", "lameness"
        )
    if all_signed(records, class_id):
        for field, is_same in (
            ("judges", set(staying) == set(judges)),
            ("method", method_of(before) == method_of(after)),
        ):
            if not is_same:
                raise Refusal("not_now", f"{field}: all cards of this class are in, so it is fixed now.", field)
