"""Small class files built by hand, and Hypothesis strategies for large ones; every choice is drawn.

The strategies aim at what goes wrong: numbers like 007 and 12A, renumbered and unread horses, ids beyond the basic
plane, six views, eight criteria, circles of calls, notes that replace one another in a ring, disputes, rulings, empty
classes. The same files prove the engine's twin equal.
"""

from __future__ import annotations

from collections.abc import Sequence
from copy import deepcopy
from typing import Any

from hypothesis import strategies as st

from nearside.engine.placing import place as engine_place
from nearside.engine.shapes import ClassFile, Placing
from nearside.show.classfile import checked_class_file
from nearside.show.standards import words

VIEWS = ["profile", "front", "rear", "head", "walk", "trot"]
NUMBERS = ["7", "007", "12", "12A", "A1", "T1", "31", "103", "9Z9"]
CARDS = ["judge-a", "judge-b"]
SEATS = ["judge-a", "scribe-a", "vet-desk", "steward-1", "steward-2"]


def trait(key: str, views: Sequence[str] = ("profile",), *, fault_only: bool = False, **more: Any) -> dict[str, Any]:
    """A trait with words made from its key."""
    value: dict[str, Any] = {"key": key, "title": key.title(), "views": list(views), "faulty": f"poor {key}", **more}
    if not fault_only:
        value |= {"good": f"fine {key}", "more": f"finer in the {key}"}
    return value


def standard(*criteria: Sequence[dict[str, Any]], **more: Any) -> dict[str, Any]:
    """A standard of these criteria, each a list of traits."""
    titles = ["Balance", "Structure", "Quality", "Muscling", "Manners", "Type", "Travel", "Condition"]
    return {
        "format": "nearside-standard/1",
        "key": "own",
        "title": "Own standard",
        "views": VIEWS,
        "criteria": [
            {"key": title.lower(), "title": title, "traits": list(traits)}
            for title, traits in zip(titles, criteria, strict=False)
        ],
        **more,
    }


PLAIN = standard(
    [trait("topline"), trait("girth"), trait("shoulder", ("profile", "walk")), trait("neck"), trait("croup")],
    [trait("bone", ("front", "rear")), trait("knees", ("profile",), fault_only=True, weight=4)],
    [trait("head", ("head",), weight=1), trait("sex", ("head",), sexes=["mare", "stallion"])],
    [trait("gaskin", ("rear",)), trait("stifle", ("rear",))],
)


def note(kind: str, note_id: str, **fields: Any) -> dict[str, Any]:
    """A note of judge-a's card, everything else filled in."""
    base: dict[str, Any] = {"id": note_id, "kind": kind, "by": "judge-a", "at": 1000, "replaces": []}
    if kind not in ("presence", "entry", "lameness"):
        base["card"] = "judge-a"
    return base | fields


def marks(**by_horse: dict[str, int]) -> list[dict[str, Any]]:
    """Marks by horse: `marks(_12={"topline": 2, "bone@front": -1})`; the view is the trait's first where left out."""
    first = {each["key"]: each["views"][0] for part in PLAIN["criteria"] for each in part["traits"]}
    notes = []
    for name, degrees in by_horse.items():
        for where, degree in degrees.items():
            key, _, view = where.partition("@")
            notes.append(
                note(
                    "mark",
                    f"m-{name}-{where}",
                    number=name.removeprefix("_"),
                    trait=key,
                    view=view or first[key],
                    degree=degree,
                )
            )
    return notes


def class_file(
    entries: Sequence[str], notes: Sequence[dict[str, Any]], *, of: dict[str, Any] | None = None, **class_fields: Any
) -> dict[str, Any]:
    """A class file of judge-a's card."""
    return {
        "format": "nearside-class/1",
        "class": {
            "id": "c1",
            "title": "Mares",
            "standard": PLAIN if of is None else of,
            "sexes": ["mare"],
            "ages": ["aged"],
            "places": 6,
            **class_fields,
        },
        "entries": [{"number": number} for number in entries],
        "card": "judge-a",
        "notes": list(notes),
    }


def placed(entries: Sequence[str], notes: Sequence[dict[str, Any]], **more: Any) -> Placing:
    """The placing of such a class file, checked and placed as the command does it."""
    return place_file(class_file(entries, notes, **more))


def place_file(file: Any) -> Placing:
    """The placing of a class file of plain values."""
    checked, whole_standard = checked_class_file(file)
    return engine_place(checked, whole_standard, words())


def pair_of(placing: Placing, upper: str, lower: str) -> dict[str, Any]:
    """The pair of these two numbers."""
    return next(each for each in placing["pairs"] if (each["upper"], each["lower"]) == (upper, lower))


DROP = object()


def changed(value: Any, path: Sequence[Any], to: Any) -> Any:
    """A copy with one place in it changed, or with DROP taken out; the empty path is the whole."""
    if not path:
        return to
    whole = deepcopy(value)
    here = whole
    for step in path[:-1]:
        here = here[step]
    if to is DROP:
        del here[path[-1]]
    else:
        here[path[-1]] = to
    return whole


# --- strategies ------------------------------------------------------------------------------------------------------

degrees = st.sampled_from([-3, -2, -1, 1, 2, 3])
note_ids = st.text(
    alphabet=st.one_of(st.sampled_from("abn019-"), st.characters(min_codepoint=0xE000, max_codepoint=0x10FFFF)),
    min_size=1,
    max_size=4,
)


@st.composite
def standards(draw: st.DrawFn) -> dict[str, Any]:
    """A standard of 2 to 8 criteria and 1 to 6 views."""
    views = VIEWS[: draw(st.integers(1, 6))]
    places = st.lists(st.sampled_from(views), min_size=1, max_size=min(3, len(views)), unique=True)
    criteria = []
    for c in range(draw(st.integers(2, 8))):
        traits = []
        for t in range(draw(st.sampled_from([1, 2, 8] if c == 0 else [1, 2, 3, 4]))):
            fault_only = draw(st.integers(0, 3)) == 0
            more: dict[str, Any] = {"weight": draw(st.integers(1, 4))}
            if draw(st.integers(0, 5)) == 0:
                more["sexes"] = draw(
                    st.lists(st.sampled_from(["mare", "stallion", "gelding"]), min_size=1, unique=True)
                )
            traits.append(trait(f"{'abcdefgh'[c]}{t}", draw(places), fault_only=fault_only, **more))
        criteria.append(traits)
    counts = draw(st.sampled_from([None, [1, 2, 4], [1, 3, 9], [2, 3, 4]]))
    return standard(*criteria, views=views, **({} if counts is None else {"degrees": counts}))


@st.composite
def notes_of(draw: st.DrawFn, of: dict[str, Any], sexes: Sequence[str], most: int = 40) -> list[dict[str, Any]]:
    """Notes of several seats on one class; some replace others, some in a ring, some name what is unknown."""
    judged = [
        each
        for criterion in of["criteria"]
        for each in criterion["traits"]
        if each.get("sexes") is None or set(each["sexes"]) & set(sexes)
    ]
    numbers = st.sampled_from(NUMBERS)
    kinds = ["looked", "remark", "over", "over", "ruling", "order", "sign", "lameness", "lameness", "presence", "entry"]
    # Sizes are drawn evenly: left to themselves, lists come out short and most horses unmarked.
    size = draw(st.integers(0, most))
    ids = draw(st.lists(note_ids, min_size=size, max_size=size, unique=True))
    notes: list[dict[str, Any]] = []
    for note_id in ids:
        kind = draw(st.sampled_from(kinds + (["mark"] * 10 if judged else [])))
        value: dict[str, Any] = {
            "id": note_id,
            "kind": kind,
            "by": draw(st.sampled_from(SEATS)),
            "at": draw(st.integers(1, 5)),
            "replaces": draw(st.lists(st.sampled_from(ids), max_size=2)),
        }
        if kind not in ("lameness", "presence", "entry"):
            value["card"] = draw(st.sampled_from([CARDS[0]] * 5 + [CARDS[1]]))
        value |= draw(_fields(kind, numbers, judged, of["views"]))
        if kind == "mark" and value["replaces"] and notes and notes[-1]["kind"] == "mark":
            # Most random pairs of marks share no slot: make some that do.
            value |= {field: notes[-1][field] for field in ("number", "trait", "view", "card")}
            if (value["degree"] or 0) > 0 and (notes[-1]["degree"] or 0) <= 0:
                value["degree"] = notes[-1]["degree"]
        notes.append(value)
    if draw(st.booleans()):  # one horse with a whole criterion noted: more marks of an end than are counted
        number = draw(numbers)
        for each in judged[:8]:
            degree = draw(st.sampled_from([1, 2, 3] if "good" in each else [-1, -2]))
            at = {"number": number, "trait": each["key"], "view": each["views"][0], "degree": degree}
            notes.append(note("mark", f"full {each['key']}", **at))
    if draw(st.integers(0, 3)) == 0:
        notes += _circle(draw(st.permutations(NUMBERS))[:3], of["views"][0])
    return notes


def _circle(numbers: Sequence[str], view: str) -> list[dict[str, Any]]:
    """Three horses looked at and called in a circle."""
    looks = [note("looked", f"seen {each}", number=each, view=view, done=True) for each in numbers]
    calls = [
        note("over", f"circle {winner}", pair=[winner, loser], winner=winner)
        for winner, loser in zip(numbers, [*numbers[1:], numbers[0]], strict=True)
    ]
    return looks + calls


@st.composite
def _fields(
    draw: st.DrawFn,
    kind: str,
    numbers: st.SearchStrategy[str],
    judged: Sequence[dict[str, Any]],
    views: Sequence[str],
) -> dict[str, Any]:
    some_numbers = st.lists(numbers, max_size=5, unique=True)
    text = st.sampled_from([None, "kind eye", "\N{HORSE FACE} {lower}"])
    if kind == "mark":
        on = draw(st.sampled_from(judged))
        degree = draw(st.one_of(st.none(), degrees)) if draw(st.integers(0, 5)) == 0 else draw(degrees)
        if degree is not None and "good" not in on:
            degree = -abs(degree)
        return {
            "number": draw(numbers),
            "trait": on["key"],
            "view": draw(st.sampled_from(on["views"])),
            "degree": degree,
        }
    if kind == "looked":
        return {
            "number": draw(numbers),
            "view": draw(st.sampled_from(views)),
            "done": draw(st.sampled_from([True, None])),
        }
    if kind == "remark":
        tag = draw(st.sampled_from([None, "blemish", "possible unsoundness"]))
        return {"number": draw(st.one_of(st.none(), numbers)), "text": draw(text), "tag": tag, "about": None}
    if kind == "over":
        pair = draw(st.lists(numbers, min_size=2, max_size=2, unique=True))
        return {"pair": pair, "winner": draw(st.sampled_from([pair[0], pair[0], pair[1], None]))}
    if kind == "ruling":
        outcome = draw(st.sampled_from(["placed", "last", "excused", "disqualified", None]))
        reason = "unruly" if outcome in ("excused", "disqualified") else None
        return {"number": draw(numbers), "outcome": outcome, "reason": reason}
    if kind in ("order", "sign"):
        order = draw(st.one_of(st.none(), some_numbers))
        return {"numbers": order} | ({"reason": "wrong number"} if kind == "sign" and order is None else {})
    if kind == "lameness":
        whose = draw(st.sampled_from([{"card": CARDS[0]}, {"observer": "veterinarian"}, {"observer": "steward"}]))
        return {"number": draw(numbers), "grade": draw(st.one_of(st.none(), st.integers(0, 5))), **whose}
    if kind == "presence":
        return {"number": draw(numbers), "state": draw(st.sampled_from(["present", "absent", None]))}
    number, other = draw(st.lists(numbers, min_size=2, max_size=2, unique=True))
    fields: dict[str, Any] = {"number": number, "identification": draw(st.sampled_from([None, "bay"])), "now": None}
    if draw(st.booleans()):
        fields |= {"now": other} | draw(st.sampled_from([{}, {"reason": None}, {"reason": "misread at the gate"}]))
    return fields


@st.composite
def class_files(draw: st.DrawFn, most: int = 40) -> dict[str, Any]:
    """A whole class file, valid, of any kind a show may bring."""
    of = draw(st.one_of(st.just(PLAIN), standards()))
    sexes = draw(st.sampled_from([["mare"], ["gelding"], ["mare", "gelding"], ["stallion"]]))
    entries = draw(st.permutations(NUMBERS))[: draw(st.sampled_from([0, 1, 3, 5, 7, 9, 9, 9]))]
    rule = draw(
        st.sampled_from(
            [
                None,
                *({"from_grade": grade, "outcome": o} for grade in (1, 3) for o in ("last", "not_placed", "ignored")),
            ]
        )
    )
    notes = draw(notes_of(of, sexes, most))
    if draw(st.integers(0, 2)):  # the whole line walked once, so that most horses are placed
        view = of["views"][0]
        notes += [note("looked", f"line {each}", number=each, view=view, done=True) for each in entries]
    return class_file(entries, notes, of=of, sexes=sexes, lameness=rule)


def checked(file: dict[str, Any]) -> ClassFile:
    """The class file as the engine gets it."""
    return checked_class_file(file)[0]
