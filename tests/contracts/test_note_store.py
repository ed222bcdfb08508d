"""What every note store keeps to. Each test runs on each implementation."""

import tempfile
import threading
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any, Protocol

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule, run_state_machine_as_test

from nearside.store.notes import TinyNoteStore
from nearside.store.protocol import Complete, Note, NoteStore, NoteUnfit, Receipt, StoreClosed
from tests.contracts.reference import MemoryNoteStore


class Opener(Protocol):
    """Opens a store, again if need be."""

    def __call__(self, complete: Complete | None = None) -> NoteStore: ...


def tiny(folder: Path) -> Opener:
    return lambda complete=None: TinyNoteStore(folder / "show.journal", complete=complete)


def memory(folder: Path) -> Opener:  # noqa: ARG001
    texts: list[str] = []
    return lambda complete=None: MemoryNoteStore(texts, complete)


IMPLEMENTATIONS = {"tiny": tiny, "memory": memory}


@pytest.fixture(params=IMPLEMENTATIONS)
def implementation(request: pytest.FixtureRequest) -> Callable[[Path], Opener]:
    return IMPLEMENTATIONS[request.param]


@pytest.fixture
def open_store(implementation: Callable[[Path], Opener], tmp_path: Path) -> Opener:
    return implementation(tmp_path)


@pytest.fixture
def store(open_store: Opener) -> Iterator[NoteStore]:
    store = open_store()
    yield store
    store.close()


def mark(note_id: str, class_id: str = "c1", degree: int = 2, **more: Any) -> Note:
    return {
        "id": note_id,
        "class": class_id,
        "kind": "mark",
        "replaces": [],
        "number": "12",
        "degree": degree,
        **more,
    }


def test_a_new_note_is_kept_and_given_back_as_it_was(store: NoteStore) -> None:
    note = mark("n1", text="Überbaut \u2028 \x00 \U0001f40e", at=2**53 - 1, empty=None, share=0.5)
    assert store.append([note]) == [Receipt("n1", "kept")]
    assert store.since(0, 10).notes == [note]


def test_a_note_sent_again_is_known_and_held_once(store: NoteStore) -> None:
    store.append([mark("n1")])
    assert store.append([mark("n1")]) == [Receipt("n1", "known")]
    assert store.head() == 1


def test_the_order_of_fields_makes_no_other_note(store: NoteStore) -> None:
    store.append([mark("n1")])
    assert store.append([dict(reversed(mark("n1").items()))]) == [Receipt("n1", "known")]


def test_an_id_with_other_content_is_a_clash_and_the_first_note_stays(store: NoteStore) -> None:
    store.append([mark("n1", degree=2)])
    assert store.append([mark("n1", degree=3)]) == [Receipt("n1", "clash")]
    assert store.since(0, 10).notes == [mark("n1", degree=2)]


@pytest.mark.parametrize("other", [1.0, True, "1"])
def test_one_and_one_point_nought_and_true_are_three_contents(store: NoteStore, other: object) -> None:
    store.append([mark("n1", degree=1)])
    assert store.append([mark("n1") | {"degree": other}]) == [Receipt("n1", "clash")]


def test_the_servers_own_fields_are_kept_and_given_back_and_make_no_other_note(open_store: Opener) -> None:
    store = open_store()
    store.append([mark("n1", _head="aa", _removed={"text": "bb"})])
    for again in (mark("n1"), mark("n1", _head="cc"), mark("n1", _late="s1")):
        assert store.append([again]) == [Receipt("n1", "known")]
    assert store.append([mark("n1", degree=3, _head="aa")]) == [Receipt("n1", "clash")]
    store.close()
    store = open_store()
    assert store.since(0, 10).notes == store.of_class("c1") == [mark("n1", _head="aa", _removed={"text": "bb"})]
    assert store.append([mark("n1")]) == [Receipt("n1", "known")]
    store.close()


def test_the_servers_own_fields_are_of_the_note_and_not_of_what_is_in_it(store: NoteStore) -> None:
    store.append([mark("n1", more={"_a": 1})])
    assert store.append([mark("n1", more={"_a": 2})]) == [Receipt("n1", "clash")]


def test_new_notes_are_completed_once_in_the_order_of_the_log_with_all_before_them_readable(
    open_store: Opener,
) -> None:
    groups: list[tuple[int, list[str]]] = []

    def complete(store: NoteStore, fresh: Sequence[Note]) -> None:
        groups.append((store.head(), [each["id"] for each in fresh]))
        for each in fresh:
            each["_after"] = len(store.of_class("c1"))

    store = open_store(complete)
    sent = [mark("b"), mark("a")]
    store.append(sent)
    store.append([mark("b"), mark("c"), mark("c"), mark("a", degree=-1)])
    store.append([mark("a")])
    assert groups == [(0, ["b", "a"]), (2, ["c"])]
    assert store.of_class("c1") == [mark("b", _after=0), mark("a", _after=0), mark("c", _after=2)]
    assert sent == [mark("b"), mark("a")]
    assert store.append([mark("c")]) == [Receipt("c", "known")]
    store.close()


def test_while_the_log_is_held_a_note_waits_and_all_can_be_read(store: NoteStore) -> None:
    store.append([mark("m1")])
    with ThreadPoolExecutor(1) as other:
        with store.held():
            kept = other.submit(store.append, [mark("m2")])
            with pytest.raises(TimeoutError):
                kept.result(0.1)
            assert (store.head(), [note["id"] for note in store.of_class("c1")]) == (1, ["m1"])
        assert kept.result(20) == [Receipt("m2", "kept")]


def test_a_closed_log_cannot_be_held(store: NoteStore) -> None:
    store.close()
    with pytest.raises(StoreClosed), store.held():
        pass


def test_a_group_that_cannot_be_completed_is_not_kept(open_store: Opener) -> None:
    def complete(_store: NoteStore, _fresh: Sequence[Note]) -> None:
        raise LookupError

    store = open_store(complete)
    with pytest.raises(LookupError):
        store.append([mark("a")])
    assert store.head() == 0
    store.close()


def test_an_id_is_unique_over_the_whole_show_and_not_only_in_its_class(store: NoteStore) -> None:
    store.append([mark("n1", "c1")])
    assert store.append([mark("n1", "c2")]) == [Receipt("n1", "clash")]
    assert store.of_class("c2") == []


def test_receipts_come_in_the_order_sent_and_repeats_within_one_append_are_seen(store: NoteStore) -> None:
    store.append([mark("old")])
    sent = [mark("b"), mark("old"), mark("a"), mark("b"), mark("a", degree=-1)]
    assert [tuple(receipt) for receipt in store.append(sent)] == [
        ("b", "kept"),
        ("old", "known"),
        ("a", "kept"),
        ("b", "known"),
        ("a", "clash"),
    ]
    assert [note["id"] for note in store.since(0, 10).notes] == ["old", "b", "a"]


def test_appending_nothing_is_no_error(store: NoteStore) -> None:
    assert store.append([]) == []
    assert store.head() == 0


UNFIT: dict[str, Any] = {
    "no object": ["n2"],
    "no id": {"class": "c1"},
    "no class": {"id": "n2"},
    "an empty id": mark(""),
    "an id that is no text": {"id": 7, "class": "c1"},
    "a class that is no text": {"id": "n2", "class": None},
    "not a number": mark("n2", at=float("nan")),
    "infinity": mark("n2", at=float("-inf")),
    "a lone surrogate": mark("n2", text="\ud800"),
    "a lone surrogate in the id": mark("n\udfff"),
    "a set": mark("n2", numbers={"12"}),
}


@pytest.mark.parametrize("what", UNFIT)
def test_an_unfit_note_is_refused_and_nothing_of_its_append_is_kept(store: NoteStore, what: str) -> None:
    with pytest.raises(NoteUnfit):
        store.append([mark("n1"), UNFIT[what], mark("n3")])
    assert store.head() == 0
    assert store.append([mark("n1")]) == [Receipt("n1", "kept")]


def test_a_note_too_deep_to_be_read_back_is_refused(store: NoteStore) -> None:
    deep: list[Any] = []
    for _ in range(100_000):
        deep = [deep]
    with pytest.raises(NoteUnfit):
        store.append([mark("n1", numbers=deep)])
    assert store.head() == 0


def test_since_pages_through_all_classes_in_order_of_arrival(store: NoteStore) -> None:
    for number in range(7):
        store.append([mark(f"n{number}", f"c{number % 3}")])
    seen: list[str] = []
    cursor, more = 0, True
    while more:
        before = cursor
        notes, cursor, more = store.since(cursor, 3)
        assert cursor == before + len(notes)
        seen += [note["id"] for note in notes]
    assert seen == [f"n{number}" for number in range(7)]
    assert cursor == store.head()


def test_a_note_is_found_by_its_id_in_whatever_class(store: NoteStore) -> None:
    store.append([mark("a", "c1", numbers=["7"]), mark("b", "c2")])
    found = store.note("a")
    assert found == mark("a", "c1", numbers=["7"])
    assert found is not None
    found["numbers"].append("9")
    assert store.note("a") == mark("a", "c1", numbers=["7"])
    assert store.note("c") is None


def test_a_page_says_more_only_when_there_is_more(store: NoteStore) -> None:
    store.append([mark("a"), mark("b")])
    assert store.since(0, 1).more
    assert not store.since(0, 2).more
    assert store.since(store.head(), 5) == ([], store.head(), False)


def test_what_arrives_later_comes_after_the_cursor(store: NoteStore) -> None:
    store.append([mark("a")])
    cursor = store.since(0, 5).cursor
    store.append([mark("b")])
    assert [note["id"] for note in store.since(cursor, 5).notes] == ["b"]


def test_a_cursor_this_log_never_gave_starts_again_at_the_beginning(store: NoteStore) -> None:
    store.append([mark("a"), mark("b")])
    assert store.since(store.head() + 1000, 5) == store.since(0, 5)


@pytest.mark.parametrize(("cursor", "limit"), [(-1, 1), (0, 0), (0, -5)])
def test_a_cursor_below_nought_and_a_limit_below_one_are_refused(store: NoteStore, cursor: int, limit: int) -> None:
    with pytest.raises(ValueError, match=r"."):
        store.since(cursor, limit)


def test_of_class_gives_that_class_alone_oldest_first(store: NoteStore) -> None:
    store.append([mark("b", "c1"), mark("x", "c2"), mark("a", "c1")])
    assert [note["id"] for note in store.of_class("c1")] == ["b", "a"]
    assert store.of_class("nobody wrote about") == []


def test_changing_a_note_that_was_given_or_handed_out_changes_nothing_in_the_store(store: NoteStore) -> None:
    note = mark("n1", numbers=["12", "7"])
    store.append([note])
    note["degree"] = -3
    note["numbers"].reverse()
    for handed_out in (store.since(0, 1).notes[0], store.of_class("c1")[0]):
        handed_out["degree"] = -3
        handed_out["numbers"].append("99")
    assert store.since(0, 1).notes == store.of_class("c1") == [mark("n1", numbers=["12", "7"])]


def test_a_store_opened_again_has_every_note_in_the_same_order(open_store: Opener) -> None:
    store = open_store()
    store.append([mark("b"), mark("a", "c2")])
    store.append([mark("c")])
    before = store.since(0, 10)
    store.close()
    again = open_store()
    assert again.since(0, 10) == before
    assert again.append([mark("b"), mark("d")]) == [Receipt("b", "known"), Receipt("d", "kept")]
    again.close()


def test_a_closed_store_says_so_and_closing_twice_is_no_error(store: NoteStore) -> None:
    store.close()
    store.close()
    for ask in (
        lambda: store.append([mark("n1")]),
        lambda: store.since(0, 1),
        store.head,
        lambda: store.note("a"),
        lambda: store.of_class("c"),
    ):
        with pytest.raises(StoreClosed):
            ask()


@pytest.mark.parametrize("name", sorted(IMPLEMENTATIONS.keys() - {"memory"}))  # the reference knows no threads
def test_several_threads_may_append_and_read_at_once_and_nothing_is_lost(name: str, tmp_path: Path) -> None:
    store = IMPLEMENTATIONS[name](tmp_path)()
    wrong: list[object] = []

    def write(writer: int) -> None:
        for number in range(30):
            receipts = store.append([mark(f"{writer}-{number}", f"c{number % 3}"), mark(f"shared-{number}", "c9")])
            if receipts[0].status != "kept" or receipts[1].status not in ("kept", "known"):
                wrong.append(receipts)

    def read() -> None:
        cursor = 0
        while cursor < 4 * 30 + 30:
            page = store.since(cursor, 50)
            cursor = page.cursor
            held = store.of_class("c1")
            if len(held) != len({note["id"] for note in held}):
                wrong.append(held)

    threads = [threading.Thread(target=write, args=(writer,)) for writer in range(4)]
    threads += [threading.Thread(target=read) for _ in range(2)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert wrong == []
    ids = [note["id"] for note in store.since(0, 1000).notes]
    assert sorted(ids) == sorted({f"{w}-{n}" for w in range(4) for n in range(30)} | {f"shared-{n}" for n in range(30)})
    store.close()


NOTES = st.builds(
    mark,
    st.sampled_from([f"n{number}" for number in range(12)]),
    st.sampled_from(["c1", "c2", "10", "9"]),
    st.integers(-3, 3),
    text=st.text(max_size=5),
)


class Life(RuleBasedStateMachine):
    """A store beside a list: whatever is done to both, they say the same."""

    implementation: Callable[[Path], Opener]

    @initialize()
    def begin(self) -> None:
        self.folder = tempfile.TemporaryDirectory()
        self.open_store = type(self).implementation(Path(self.folder.name))
        self.store = self.open_store()
        self.model: list[Note] = []

    @rule(notes=st.lists(NOTES, max_size=6))
    def append(self, notes: list[Note]) -> None:
        expected = []
        for note in notes:
            held = next((one for one in self.model if one["id"] == note["id"]), None)
            if held is None:
                self.model.append(note)
            status = "kept" if held is None else "known" if held == note else "clash"
            expected.append((note["id"], status))
        assert [tuple(receipt) for receipt in self.store.append(notes)] == expected

    @rule(cursor=st.integers(0, 15), limit=st.integers(1, 15))
    def since(self, cursor: int, limit: int) -> None:
        start = cursor if cursor <= len(self.model) else 0
        expected = self.model[start : start + limit]
        reached = start + len(expected)
        assert self.store.since(cursor, limit) == (expected, reached, reached < len(self.model))

    @rule(note=NOTES)
    def refuse(self, note: Note) -> None:
        with pytest.raises(NoteUnfit):
            self.store.append([note, {**note, "id": None}])

    @rule()
    def reopen(self) -> None:
        self.store.close()
        self.store = self.open_store()

    @invariant()
    def is_the_model(self) -> None:
        assert self.store.head() == len(self.model)
        for class_id in ("c1", "c2", "10", "9", "none"):
            assert self.store.of_class(class_id) == [note for note in self.model if note["class"] == class_id]

    def teardown(self) -> None:
        self.store.close()
        self.folder.cleanup()


def test_any_life_of_a_store_is_that_of_a_list(implementation: Callable[[Path], Opener]) -> None:
    machine = type("LifeOf", (Life,), {"implementation": staticmethod(implementation)})
    run_state_machine_as_test(machine, settings=settings(max_examples=40, stateful_step_count=25, deadline=None))
