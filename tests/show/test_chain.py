"""The chain of each class: any change before a signature shows, and words can be taken out with none showing."""

from __future__ import annotations

import copy
import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nearside.show.chain import (
    FREE_TEXT,
    TAKEN_OUT,
    Chain,
    digest_of,
    first_head,
    head_after,
    printed_head,
    verified,
    without_words,
)
from tests.contracts.reference import MemoryNoteStore
from tests.show.ground import note, small_show

SHOW = "s1"

KINDS: tuple[tuple[str, str | None], ...] = (
    ("mark", "judge-a"),
    ("remark", "judge-a"),
    ("ruling", "judge-a"),
    ("lameness", None),
    ("presence", None),
    ("entry", None),
    ("sign", "judge-a"),
)
WORDS = {"ruling": {"outcome": "excused", "reason": "unruly"}, "lameness": {"text": "short in front", "gait": "trot"}}


def written(kind: str, card: str | None, **fields: Any) -> dict[str, Any]:
    return {**note(kind, card, **WORDS.get(kind, {}), **fields), "by": "judge-a"}


def kept(*groups: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """The notes as a store keeps them that were sent in these groups."""
    texts: list[str] = []
    store = MemoryNoteStore(texts, Chain(SHOW).complete)
    for group in groups:
        store.append(group)
    return [json.loads(text) for text in texts]


def found_of(notes: list[dict[str, Any]]) -> Any:
    return verified(SHOW, "c1", [each for each in notes if each["class"] == "c1"])


logs = st.lists(st.sampled_from(KINDS), min_size=2, max_size=12).map(
    lambda kinds: kept(
        [written(kind, card) for kind, card in kinds], [written("sign", "judge-a"), written("mark", "judge-a")]
    )
)


@given(logs, st.integers(1, 12))
def test_a_log_nobody_touched_is_whole_in_whatever_groups_it_came(notes: list[dict[str, Any]], size: int) -> None:
    found = found_of(notes)
    assert found.is_whole
    assert found.notes == len(notes)
    assert found.uncovered == 1
    # The same notes in other groups have the same heads, but for salt, which is drawn anew.
    plain = [written("mark", "judge-a") for _ in range(9)] + [written("sign", "judge-a")]
    groups = [plain[at : at + size] for at in range(0, len(plain), size)]
    assert kept(*groups)[-1]["_head"] == kept(plain)[-1]["_head"]


@given(logs, st.data())
def test_any_change_before_a_signature_is_found_and_its_part_named(
    notes: list[dict[str, Any]], data: st.DataObject
) -> None:
    last = len(notes) - 2  # the signature, with one note after it
    place = data.draw(st.integers(0, last - 1), "place")
    how = data.draw(st.sampled_from(["change", "remove", "swap", "insert", "late", "head"]), "how")
    changed = copy.deepcopy(notes)
    if how == "change":
        field = data.draw(st.sampled_from(sorted(set(changed[place]) - {"class", "kind", "_salt"})), "field")
        changed[place][field] = "other"
    elif how == "remove":
        del changed[place]
    elif how == "swap":
        other = data.draw(st.integers(0, last - 1).filter(lambda each: each != place), "other")
        changed[place], changed[other] = changed[other], changed[place]
        place = min(place, other)
    elif how == "insert":
        changed.insert(place, written("mark", "judge-a"))
    elif how == "late":
        changed[place]["_late"] = "s"
    else:
        changed[last]["_head"] = "0" * 64
    found = found_of(changed)
    assert not found.is_whole
    # Parts before the place are as they were.
    assert all(span.is_whole and span.is_own_whole for span in found.spans if span.last + 1 < place)
    bad = [span for span in found.spans if not (span.is_whole and span.is_own_whole)]
    assert bad[0].last + 1 >= place


@given(logs, st.data())
def test_the_signature_itself_shows_when_it_was_changed(notes: list[dict[str, Any]], data: st.DataObject) -> None:
    signature = notes[-2]
    field = data.draw(st.sampled_from(["numbers", "card", "by", "at", "id", "replaces", "_digest"]))
    found = found_of([*notes[:-2], {**signature, field: ["7", "12"]}, notes[-1]])
    assert found.spans[-1].is_whole
    assert not found.spans[-1].is_own_whole


@given(logs)
def test_after_the_last_signature_a_change_is_no_finding_but_said_to_be_uncovered_and_gives_another_head(
    notes: list[dict[str, Any]],
) -> None:
    changed = [*notes[:-1], {**notes[-1], "degree": -3}]
    found = found_of(changed)
    assert found.is_whole
    assert found.uncovered == 1
    assert found.head != found_of(notes).head
    assert found_of(notes).head not in found.after


@given(logs)
def test_words_taken_out_leave_every_head_as_it_was_and_no_way_back_to_them(notes: list[dict[str, Any]]) -> None:
    bare = [without_words(each) for each in notes]
    found = found_of(bare)
    assert found.is_whole
    assert found.head == found_of(notes).head
    assert [without_words(each) for each in bare] == bare
    left = json.dumps(bare)
    for each in bare:
        assert {each[field] for field in each.get("_removed", ())} <= {TAKEN_OUT, None}
        assert all(each.get(field) in (TAKEN_OUT, None) for field in FREE_TEXT.get(each["kind"], ()))
        assert "_salt" not in each
    assert "kind eye" not in left
    assert "unruly" not in left
    assert "grey" not in left
    assert found.taken_out == sum(len(each.get("_removed", ())) for each in bare)


def test_what_the_gate_said_of_a_horse_s_marks_leaves_room_for_what_the_office_knows() -> None:
    (entry,) = kept([written("entry", None)])
    bare = without_words(entry)
    assert bare["identification"] is None
    assert digest_of(bare) == digest_of(entry)
    assert digest_of({**bare, "identification": TAKEN_OUT}) != digest_of(entry)


def test_words_put_in_the_place_of_those_taken_out_show() -> None:
    notes = kept([written("remark", "judge-a"), written("sign", "judge-a")])
    bare = [without_words(each) for each in notes]
    bare[0]["text"] = "mean eye"
    assert not found_of(bare).is_whole


def test_the_same_words_have_another_hash_each_time() -> None:
    one, other = (without_words(each) for each in kept([written("remark", "judge-a")], [written("remark", "judge-a")]))
    assert one["_removed"]["text"] != other["_removed"]["text"]


def test_each_part_is_judged_by_itself_and_each_class() -> None:
    parts = [[written("mark", "judge-a"), written("mark", "judge-a"), written("sign", "judge-a")] for _ in range(3)]
    notes = kept(*parts, [written("mark", "judge-a", **{"class": "c2"})])
    notes[4]["degree"] = -1
    found = found_of(notes)
    assert [(span.first, span.last, span.is_whole) for span in found.spans] == [
        (1, 2, True),
        (3, 5, False),
        (6, 8, True),
    ]
    assert verified(SHOW, "c2", notes[-1:]).is_whole


def test_the_heads_are_those_worked_out_by_hand() -> None:
    """With nothing but the standard library: SHA-256 of the canonical JSON, head and digest joined by a space."""
    import hashlib

    def sha(text: str) -> str:
        return hashlib.sha256(text.encode()).hexdigest()

    start = sha('["nearside-chain/1","s1","c1"]')
    assert first_head("s1", "c1") == start
    remark = {"kind": "remark", "id": "n1", "text": "kind eye", "_salt": "ab"}
    digest = sha('{"id":"n1","kind":"remark","text":{"hash":"' + sha('["ab","text","kind eye"]') + '"}}')
    assert digest_of(remark) == digest
    assert head_after(start, digest_of(remark)) == sha(f"{start} {digest}")


def test_a_signature_sent_with_what_it_signs_carries_the_head_before_it(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        sent = [note("mark", "judge-a"), note("remark", "judge-a"), note("sign", "judge-a")]
        assert [each["status"] for each in ground.push("judge-a", *sent)] == ["kept"] * 3
        before = ground.show.store.of_class("c1")[2]["_head"]
        assert ground.push("judge-a", *sent)[2]["status"] == "known"
        ground.push("steward", note("presence"))
        log = ground.show.store.of_class("c1")
        assert log[2]["_head"] == before
        found = found_of(log)
        assert found.is_whole
        printed = printed_head(log, {"judge-a"})
        assert found.after[printed] == 3
        ground.push("trainee-a", note("mark", "trainee-a"), note("sign", "trainee-a"))
        assert printed_head(ground.show.store.of_class("c1"), {"judge-a"}) == printed
        assert printed_head(log, {"judge-b"}) is None
        assert not any(field.startswith("_") for each in ground.pull("judge-a").notes for field in each)


def test_a_restarted_server_goes_on_with_the_same_chain(tmp_path: Path) -> None:
    with small_show(tmp_path) as ground:
        ground.push("judge-a", note("mark", "judge-a"), note("sign", "judge-a"))
    with small_show(tmp_path) as ground:
        ground.push("judge-b", note("mark", "judge-b"), note("sign", "judge-b"))
        found = found_of(ground.show.store.of_class("c1"))
        assert (found.is_whole, len(found.spans), found.uncovered) == (True, 2, 0)


@pytest.mark.parametrize("kind", ["mark", "looked", "presence"])
def test_nothing_is_put_on_an_ordinary_note(kind: str) -> None:
    sent = written(kind, None if kind == "presence" else "judge-a")
    assert kept([sent]) == [sent]
