"""The demonstration: an invented open show, and the class files under `examples/`.

Four classes, two of stock type and two of hunter type. The first is fully noted, with a horse that goes lame at the
trot and a judge who calls one horse over another that stands far above it. The second is half noted: judge and scribe
disagree about one mark, one horse was entered late at the gate, one was noted under a wrong number that was put right
afterwards. The third waits for its judge. The fourth has a veterinarian's call and an absent horse.

Horses, people and the show are made up. Everything is fixed, ids and times too, so the same demonstration can be
shown, photographed and tested again.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from typing import Any

from nearside.engine.shapes import ClassFile
from nearside.show.classfile import FORMAT, checked_class_file
from nearside.show.records import change_to
from nearside.store.protocol import Change

TITLE = "Mill Meadow Open Show"
SHOW_ID_BEGINS = "demo-"
SEATS = (
    "office:Show office",
    "steward:Ring steward",
    "judge:Judge of the day",
    "scribe:Judge's scribe",
    "trainee:Judge in training",
    "announcer:Announcer",
)
JUDGE, SCRIBE, STEWARD = "judge-a", "scribe-a", "steward"
VIEWS = ("walk", "trot", "profile", "front", "rear", "head")

# Horse and exhibitor of each number, as the show table has them: no file and no ring is told.
NAMES: dict[str, dict[str, tuple[str, str]]] = {
    "c1": {
        "4": ("Larkspur Morning", "Ada Wren"),
        "7": ("Copper Kettle", "Bram Sedge"),
        "12": ("Saltmarsh Penny", "Cora Finch"),
        "15": ("Rowan Ember", "Dell Harrow"),
        "18": ("Midnight Orchard", "Esme Thorne"),
        "21": ("Pebble and Rain", "Fenn Marlow"),
        "23": ("Two Penny Parade", "Greta Sloe"),
        "30": ("Honey in the Hay", "Hob Tansy"),
        "42": ("Plain Jane Brown", "Ivy Copse"),
    },
    "c2": {
        "31": ("Harbor Light", "Jory Fen"),
        "33": ("Flaxen Promise", "Kit Barrow"),
        "35": ("Thistledown Grey", "Lena Croft"),
        "38": ("Coal Hill Lad", "Milo Reed"),
        "40": ("Quiet Company", "Nell Ashby"),
        "63": ("Four Sock Sam", "Odo Heath"),
    },
    "c3": {
        "50": ("First Frost", "Perry Dale"),
        "51": ("Bald Eagle Belle", "Quill Moss"),
        "52": ("Line of Sand", "Rue Alder"),
        "54": ("Tuppence More", "Silas Byre"),
        "55": ("Inkwell", "Tess Hollow"),
        "58": ("Skim of Cream", "Una Brook"),
    },
    "c4": {
        "71": ("Ashes to Silver", "Vale Birch"),
        "72": ("Hedgerow Star", "Willa Stone"),
        "74": ("Cinnamon Stick", "Wystan Lea"),
        "75": ("Old Penny Brown", "Yara Dell"),
        "77": ("Patchwork Lane", "Zeb Field"),
    },
}

# Title, classes and feeding championships of each; the first two feed the third.
CHAMPIONSHIPS: dict[str, tuple[str, list[str], list[str]]] = {
    "ch1": ("Champion stock type mare", ["c1", "c3"], []),
    "ch2": ("Champion hunter type", ["c2", "c4"], []),
    "ch3": ("Grand champion", [], ["ch1", "ch2"]),
}

_NINE_O_CLOCK_MS = 1_764_061_200_000
_A_TAP_MS = 2_400

# Each view as the judge went round: trait, end and degree.
Marks = Mapping[str, Mapping[str, str]]

_STOCK_MARES: Marks = {
    "4": {
        "walk": "tracking+2 stride+1",
        "trot": "stride+1",
        "profile": "proportions+2 topline+2 shoulder+2 croup+1 girth+1 quarter+1",
        "front": "column-of-bone+2 chest+1 forearm+1",
        "rear": "stifle+1 cow-hocked-1",
        "head": "head+1 eye+2 feminine+1",
    },
    "7": {
        "walk": "stride+2",
        "trot": "tracking+1 stride+2",
        "profile": "proportions+1 topline+1 shoulder+2 croup+2 type+1",
        "front": "column-of-bone+1 forearm+2",
        "rear": "quarter+2 gaskin+1",
        "head": "head+2 feminine+2",
    },
    "12": {
        "walk": "tracking+1",
        "trot": "stride+1",
        "profile": "proportions+1 topline+2 withers+1 coupling+1 calf-kneed-1",
        "front": "chest+2 forearm+2",
        "rear": "stifle+2 gaskin+2 quarter+1",
        "head": "head+1",
    },
    "15": {
        "walk": "winging-1",
        "trot": "winging-1 stride+1",
        "profile": "proportions+1 shoulder+1 girth+2 underline+1",
        "front": "toes-in-1 chest+1",
        "rear": "quarter+1",
        "head": "head+2 eye+1 feminine+1",
    },
    "18": {
        "walk": "stride-1",
        "trot": "stride-1",
        "profile": "topline-1 neck-1 croup-1 girth+1 loin+1",
        "front": "column-of-bone+1 chest+2 forearm+3",
        "rear": "stifle+3 gaskin+2 quarter+2",
        "head": "head-1",
    },
    "21": {
        "walk": "tracking+1 stride+1",
        "trot": "tracking+1",
        "profile": "level-1 topline-1 shoulder+1 withers-1 neck+1",
        "front": "column-of-bone+2",
        "rear": "cow-hocked-1",
        "head": "head+1 eye+1 feminine+1",
    },
    "23": {
        "walk": "stride+1",
        "profile": "proportions+2 topline+1 neck+1 croup+1 blending+1",
        "front": "column-of-bone+1 forearm+1",
        "rear": "quarter+1",
        "head": "head+1 feminine+1",
    },
    "30": {
        "walk": "paddling-1",
        "trot": "paddling-2",
        "profile": "proportions-1 topline-2 coupling-1 sickle-hocked-1",
        "front": "toes-out-1",
        "rear": "gaskin-1",
        "head": "head-1 throatlatch-1",
    },
    "42": {
        "walk": "tracking+1",
        "trot": "tracking+1 stride+1",
        "profile": "topline+1 shoulder+1 girth+1",
        "front": "offset-knees-2 chest+1",
        "rear": "bowed-hocks-1",
        "head": "parrot-mouth-1 head+1",
    },
}
_STOCK_MARES_ENTRIES = {
    "4": "bay, star",
    "7": "sorrel, strip, left hind sock",
    "12": "buckskin, black points",
    "15": "red roan, no white",
    "18": "dark bay, snip",
    "21": "grey, dappled, dark mane",
    "23": "chestnut, blaze, both hind socks",
    "30": "palomino, star and snip",
    "42": "brown, mealy muzzle",
}

_HUNTER_GELDINGS: Marks = {
    "31": {
        "walk": "walk+2 tracking+1",
        "trot": "trot+2 drive+1",
        "profile": "proportions+1 shoulder+2 neck+1 topline+1",
    },
    "33": {"walk": "walk+1", "trot": "trot+1 knee-action-1", "profile": "shoulder+1 croup+1"},
    "36": {"walk": "tracking+1", "trot": "trot+3 drive+2", "profile": "proportions+1 girth+1"},
    "38": {"walk": "paddling-1", "trot": "trot+1", "profile": "long-cannons-1 withers+1"},
    "57": {"walk": "walk+1", "trot": "trot+1 drive+1", "profile": "shoulder+1 topline-1"},
}
_HUNTER_GELDINGS_ENTRIES = {
    "31": "bay, small star",
    "33": "chestnut, flaxen mane, blaze",
    "35": "grey, flea-bitten",
    "38": "black, white coronet right fore",
    "40": "dark bay, no white",
    "63": "liver chestnut, stripe, four socks",
}

_STOCK_FILLIES_ENTRIES = {
    "50": "bay roan, star",
    "51": "sorrel, bald face",
    "52": "dun, dorsal stripe",
    "54": "bay, both fore socks",
    "55": "black, no white",
    "58": "cremello, blue eyes",
}

_HUNTER_MARES: Marks = {
    "71": {
        "walk": "walk+1",
        "trot": "trot+2",
        "profile": "proportions+2 shoulder+1",
        "front": "column-of-bone+1",
        "head": "head+1 feminine+1",
    },
    "72": {
        "walk": "walk+2",
        "trot": "trot+1",
        "profile": "proportions+1 neck+1 topline+1",
        "front": "column-of-bone+2",
        "head": "head+1",
    },
    "74": {"walk": "walk+1", "trot": "trot-1", "profile": "shoulder+2 girth+1", "head": "eye+1"},
    "75": {"walk": "tracking-1", "trot": "trot+1", "profile": "shoulder-1 croup+1", "front": "base-narrow-1"},
}
_HUNTER_MARES_ENTRIES = {
    "71": "grey, dark points",
    "72": "bay, star, white coronet left hind",
    "74": "chestnut, stripe and snip",
    "75": "brown, whorl left of the crest",
    "77": "skewbald, bay and white",
}


def demo_files() -> dict[str, ClassFile]:
    """The class files of the demonstration, by the name each has under `examples/`."""
    files = {
        "1-stock-type-mares.json": _stock_mares(),
        "2-hunter-type-geldings.json": _hunter_geldings(),
        "3-stock-type-fillies.json": _stock_fillies(),
        "4-hunter-type-mares.json": _hunter_mares(),
    }
    return {name: checked_class_file(file)[0] for name, file in files.items()}


def at_the_show_table(changes: Iterable[Change]) -> list[Change]:
    """The records of the show with what its office adds to the files: names, championships, and that trainees may study
    the cards.
    """
    told = []
    for each in changes:
        record = each.record or {}
        if each.table == "entries":
            horse, exhibitor = NAMES[record["class"]][record["number"]]
            record = {**record, "horse": horse, "exhibitor": exhibitor}
        elif each.table == "classes":
            record = {**record, "study_office": True}
        elif each.table == "shows":
            told += [
                change_to("championships", _championship(each.key, place, key))
                for place, key in enumerate(CHAMPIONSHIPS)
            ]
        told.append(each._replace(record=record))
    return told


def _championship(show_id: str, place: int, key: str) -> dict[str, Any]:
    title, classes, feeds = CHAMPIONSHIPS[key]
    own = {"id": key, "show": show_id, "position": place, "title": title, "classes": classes, "feeds": feeds}
    return {**own, "judge": JUDGE, "named": []}


def as_text(class_file: ClassFile) -> str:
    """A class file to be read by people too: an entry a line, a note a line."""
    parts = []
    for field, value in class_file.items():
        text = _line(value)
        if isinstance(value, list) and value:
            text = "[\n  " + ",\n  ".join(_line(each) for each in value) + "\n ]"
        parts.append(f" {_line(field)}: {text}")
    return "{\n" + ",\n".join(parts) + "\n}\n"


def _line(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False)


class _Writer:
    """Writes the notes of one class in order, a tap after another."""

    def __init__(self, start_ms: int) -> None:
        self.notes: list[dict[str, Any]] = []
        self._now_ms = start_ms

    def write(self, kind: str, by: str, *, card: bool = True, replaces: tuple[str, ...] = (), **fields: Any) -> str:
        note_id = f"n{len(self.notes) + 1}"
        self._now_ms += _A_TAP_MS
        head = {"id": note_id, "kind": kind, "by": by, "at": self._now_ms, "replaces": list(replaces)}
        self.notes.append({**head, **({"card": JUDGE} if card else {}), **fields})
        return note_id

    def look(self, number: str, view: str, marks: str) -> None:
        """A horse looked at from a view, with what was seen."""
        for mark in marks.split():
            self.write("mark", JUDGE, number=number, trait=mark[:-2], view=view, degree=int(mark[-2:]))
        self.write("looked", JUDGE, number=number, view=view, done=True)


def _stock_mares() -> dict[str, Any]:
    writer = _Writer(_NINE_O_CLOCK_MS)
    for views in (("walk", "trot"), ("profile", "front", "rear", "head")):
        for number, marks in _STOCK_MARES.items():
            for view in views:
                writer.look(number, view, marks.get(view, ""))
    # At the trot the mare nods at every step: a call, and an observation only.
    writer.write("lameness", JUDGE, number="23", grade=3, gait="trot", circumstance="straight line, every stride")
    writer.write("remark", JUDGE, number="42", text="old scar inside the left hock", tag="blemish")
    # Standing side by side the judge prefers 21 to 7, which the notes put three places above it.
    writer.write("over", JUDGE, pair=["21", "7"], winner="21")
    return _file("c1", "Stock type mares, aged", "stock-type", ["mare"], ["aged"], _STOCK_MARES_ENTRIES, writer.notes)


def _hunter_geldings() -> dict[str, Any]:
    writer = _Writer(_NINE_O_CLOCK_MS + 30 * 60_000)
    writer.write("presence", STEWARD, card=False, number="40", state="absent")
    writer.write("entry", STEWARD, card=False, number="57", identification="bay, blaze, late at the gate", now=None)
    for number, marks in _HUNTER_GELDINGS.items():
        for view, seen in marks.items():
            writer.look(number, view, seen)
    # Written on two devices without a network: the judge saw a strong topline, the scribe heard a weak one.
    writer.write("mark", JUDGE, number="33", trait="topline", view="profile", degree=2)
    writer.write("mark", SCRIBE, number="33", trait="topline", view="profile", degree=-1)
    # 63 was read as 36 in the rain; what was noted of 36 is noted of 63.
    writer.write("entry", SCRIBE, card=False, number="36", now="63")
    return _file(
        "c2",
        "Hunter type geldings, three and over",
        "hunter-type",
        ["gelding"],
        ["three", "aged"],
        _HUNTER_GELDINGS_ENTRIES,
        writer.notes,
    )


def _stock_fillies() -> dict[str, Any]:
    return _file("c3", "Stock type fillies, yearling", "stock-type", ["mare"], ["yearling"], _STOCK_FILLIES_ENTRIES, [])


def _hunter_mares() -> dict[str, Any]:
    writer = _Writer(_NINE_O_CLOCK_MS + 70 * 60_000)
    writer.write("presence", STEWARD, card=False, number="77", state="absent")
    for number, marks in _HUNTER_MARES.items():
        for view in VIEWS:
            writer.look(number, view, marks.get(view, ""))
    # The show's veterinarian was asked to watch 74 trot again; the steward writes down what the veterinarian says.
    writer.write(
        "lameness",
        STEWARD,
        card=False,
        observer="veterinarian",
        number="74",
        grade=3,
        gait="trot",
        circumstance="straight line, hard ground",
    )
    fields = _file(
        "c4",
        "Hunter type mares, aged",
        "hunter-type",
        ["mare"],
        ["aged"],
        _HUNTER_MARES_ENTRIES,
        writer.notes,
    )
    fields["class"]["lameness"] = {"from_grade": 3, "outcome": "not_placed"}
    return fields


def _file(
    class_id: str,
    title: str,
    standard: str,
    sexes: list[str],
    ages: list[str],
    entries: Mapping[str, str],
    notes: list[dict[str, Any]],
) -> dict[str, Any]:
    return {
        "format": FORMAT,
        "class": {
            "id": class_id,
            "title": title,
            "standard": standard,
            "sexes": sexes,
            "ages": ages,
            "places": 6,
            "lameness": {"from_grade": 3, "outcome": "last"},
        },
        "entries": [{"number": number, "identification": marks} for number, marks in entries.items()],
        "card": JUDGE,
        "notes": notes,
    }
