"""What every catalogue keeps to. Each test runs on each implementation."""

import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule, run_state_machine_as_test

from nearside.store.catalogue import TinyCatalogue
from nearside.store.protocol import Catalogue, Change, Record, RecordUnfit, StoreClosed
from tests.contracts.reference import MemoryCatalogue

Opener = Callable[[], Catalogue]
TABLES = ("shows", "classes", "entries", "championships", "seats", "devices")


def tiny(folder: Path) -> Opener:
    return lambda: TinyCatalogue(folder / "catalogue.json")


def memory(folder: Path) -> Opener:  # noqa: ARG001
    texts: dict[tuple[str, str], str] = {}
    return lambda: MemoryCatalogue(texts)


IMPLEMENTATIONS = {"tiny": tiny, "memory": memory}


@pytest.fixture(params=IMPLEMENTATIONS)
def open_catalogue(request: pytest.FixtureRequest, tmp_path: Path) -> Opener:
    return IMPLEMENTATIONS[request.param](tmp_path)


@pytest.fixture
def catalogue(open_catalogue: Opener) -> Iterator[Catalogue]:
    catalogue = open_catalogue()
    yield catalogue
    catalogue.close()


MARES = {"id": "c4", "title": "Stock type mares, aged", "sexes": ["mare"]}


@pytest.mark.parametrize("table", TABLES)
def test_an_empty_catalogue_has_its_tables_and_nothing_in_them(catalogue: Catalogue, table: str) -> None:
    assert catalogue.all(table) == []
    assert catalogue.get(table, "c4") is None


def test_a_record_is_given_back_as_it_was(catalogue: Catalogue) -> None:
    catalogue.change([Change("classes", "c4", MARES)])
    assert catalogue.get("classes", "c4") == MARES
    assert catalogue.get("shows", "c4") is None


def test_a_record_takes_the_place_of_the_one_before(catalogue: Catalogue) -> None:
    catalogue.change([Change("classes", "c4", MARES)])
    catalogue.change([Change("classes", "c4", {"id": "c4"})])
    assert catalogue.all("classes") == [{"id": "c4"}]


def test_nothing_in_the_place_of_a_record_takes_it_away_and_twice_is_no_error(catalogue: Catalogue) -> None:
    catalogue.change([Change("classes", "c4", MARES)])
    catalogue.change([Change("classes", "c4", None), Change("classes", "c4", None)])
    assert catalogue.get("classes", "c4") is None


def test_all_is_in_order_of_key_by_code_point(catalogue: Catalogue) -> None:
    keys = ["b", "10", "9", "B", "é", "\U0001f40e", "\uff5e"]
    catalogue.change([Change("seats", key, {"id": key}) for key in keys])
    assert [seat["id"] for seat in catalogue.all("seats")] == [
        "10",
        "9",
        "B",
        "b",
        "é",
        "\uff5e",
        "\U0001f40e",
    ]


def test_changes_given_together_are_made_in_order(catalogue: Catalogue) -> None:
    catalogue.change(
        [
            Change("seats", "a", {"id": 1}),
            Change("seats", "a", None),
            Change("seats", "b", {"id": 2}),
            Change("seats", "b", {"id": 3}),
        ]
    )
    assert catalogue.all("seats") == [{"id": 3}]


UNFIT: dict[str, Any] = {
    "an unknown table": Change("horses", "a", {}),
    "an unknown table, to take away": Change("horses", "a", None),
    "an empty key": Change("seats", "", {}),
    "a key that is no text": Change("seats", 7, {}),  # type: ignore[arg-type]
    "a record that is no object": Change("seats", "a", []),  # type: ignore[arg-type]
    "not a number": Change("seats", "a", {"at": float("nan")}),
    "a lone surrogate": Change("seats", "a", {"name": "\ud800"}),
    "a lone surrogate as key": Change("seats", "\ud800", {}),
    "a set": Change("seats", "a", {"roles": {"judge"}}),
}


@pytest.mark.parametrize("what", UNFIT)
def test_one_unfit_change_and_none_of_its_fellows_is_made(catalogue: Catalogue, what: str) -> None:
    catalogue.change([Change("seats", "old", {"id": "old"})])
    with pytest.raises(RecordUnfit):
        catalogue.change([Change("seats", "old", None), UNFIT[what], Change("seats", "new", {"id": "new"})])
    assert catalogue.all("seats") == [{"id": "old"}]
    catalogue.change([Change("seats", "new", {"id": "new"})])
    assert catalogue.all("seats") == [{"id": "new"}, {"id": "old"}]


def test_asking_for_an_unknown_table_is_refused(catalogue: Catalogue) -> None:
    with pytest.raises(RecordUnfit):
        catalogue.get("horses", "a")
    with pytest.raises(RecordUnfit):
        catalogue.all("horses")


def test_changing_a_record_that_was_given_or_handed_out_changes_nothing(catalogue: Catalogue) -> None:
    record = {"id": "c4", "sexes": ["mare"]}
    catalogue.change([Change("classes", "c4", record)])
    record["sexes"] = []
    for handed_out in (catalogue.get("classes", "c4"), catalogue.all("classes")[0]):
        assert handed_out is not None
        handed_out["sexes"].append("gelding")
        handed_out["id"] = "c5"
    assert catalogue.get("classes", "c4") == {"id": "c4", "sexes": ["mare"]}


def test_a_catalogue_opened_again_has_every_record(open_catalogue: Opener) -> None:
    first = open_catalogue()
    first.change([Change("classes", "c4", MARES), Change("shows", "s1", {"id": "s1"})])
    first.close()
    again = open_catalogue()
    assert again.get("classes", "c4") == MARES
    assert again.all("shows") == [{"id": "s1"}]
    again.close()


def test_a_closed_catalogue_says_so_and_closing_twice_is_no_error(catalogue: Catalogue) -> None:
    catalogue.close()
    catalogue.close()
    for ask in (
        lambda: catalogue.get("shows", "s1"),
        lambda: catalogue.all("shows"),
        lambda: catalogue.change([Change("shows", "s1", {})]),
    ):
        with pytest.raises(StoreClosed):
            ask()


CHANGES = st.builds(
    Change,
    st.sampled_from(["seats", "entries"]),
    st.sampled_from(["a", "b", "10", "9", "é"]),
    st.none() | st.dictionaries(st.text(max_size=3), st.integers() | st.text(max_size=3), max_size=2),
)


class Life(RuleBasedStateMachine):
    """A catalogue beside a dict: whatever is done to both, they say the same."""

    implementation: Callable[[Path], Opener]

    @initialize()
    def begin(self) -> None:
        self.folder = tempfile.TemporaryDirectory()
        self.open_catalogue = type(self).implementation(Path(self.folder.name))
        self.catalogue = self.open_catalogue()
        self.model: dict[tuple[str, str], Record] = {}

    @rule(changes=st.lists(CHANGES, max_size=4))
    def change(self, changes: list[Change]) -> None:
        self.catalogue.change(changes)
        for table, key, record in changes:
            self.model.pop((table, key), None)
            if record is not None:
                self.model[table, key] = record

    @rule(changes=st.lists(CHANGES, max_size=4))
    def refuse(self, changes: list[Change]) -> None:
        with pytest.raises(RecordUnfit):
            self.catalogue.change([*changes, Change("horses", "a", {})])

    @rule()
    def reopen(self) -> None:
        self.catalogue.close()
        self.catalogue = self.open_catalogue()

    @invariant()
    def is_the_model(self) -> None:
        for table in ("seats", "entries"):
            expected = [self.model[at] for at in sorted(self.model) if at[0] == table]
            assert self.catalogue.all(table) == expected
            assert self.catalogue.get(table, "é") == self.model.get((table, "é"))

    def teardown(self) -> None:
        self.catalogue.close()
        self.folder.cleanup()


@pytest.mark.parametrize("implementation", IMPLEMENTATIONS)
def test_any_life_of_a_catalogue_is_that_of_a_dict(implementation: str) -> None:
    machine = type("LifeOf", (Life,), {"implementation": staticmethod(IMPLEMENTATIONS[implementation])})
    run_state_machine_as_test(machine, settings=settings(max_examples=40, stateful_step_count=20, deadline=None))
