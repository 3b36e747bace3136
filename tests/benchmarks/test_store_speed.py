"""Lists, searches and openings of a store with 100,000 cases, each beside the bare SQL on the same file in one run.

Under ``-n 0`` with benchmarks on; else, where nothing is measured, with few cases. Nothing is asserted about time;
read the ratios with ``python -m pytest tests/benchmarks/test_store_speed.py -n 0``.
"""

import sqlite3
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from leakdx.store.database.casestore import CaseStore, open_store
from leakdx.store.database.search import Wanted, find
from tests.store.database.many import fill

MANY, FEW = 100_000, 200
LIMIT = 50
_COLUMNS = "id, unit, entries, began, changed, outcome, zone, cause, merged_into"
WANTED = {
    "open ones": (Wanted(is_open=True, limit=LIMIT), "outcome IS NULL", ()),
    "all": (Wanted(limit=LIMIT), "1", ()),
    "a unit": (Wanted(unit="tractor 77", limit=LIMIT), "unit_folded LIKE ? ESCAPE '/'", ("%tractor 77%",)),
    "two words": (
        Wanted(words=("gravel", "night"), limit=LIMIT),
        "words LIKE ? ESCAPE '/' AND words LIKE ? ESCAPE '/'",
        ("%gravel%", "%night%"),
    ),
    "a word that none has": (Wanted(words=("zebra",), limit=LIMIT), "words LIKE ? ESCAPE '/'", ("%zebra%",)),
    "a cause": (Wanted(cause="old_residue", limit=LIMIT), "cause = ?", ("old_residue",)),
}


@pytest.fixture(scope="module")
def store(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> CaseStore:
    """The large store."""
    off = request.config.getoption("benchmark_disable") or hasattr(request.config, "workerinput")
    made = open_store(f"sqlite:///{tmp_path_factory.mktemp('many') / 'cases.db'}")
    fill(made, FEW if off else MANY)
    return made


def measured(benchmark: Any, call: Callable[[], Any]) -> Any:
    return benchmark.pedantic(call, rounds=15, iterations=1, warmup_rounds=2)


@pytest.mark.parametrize("what", WANTED)
@pytest.mark.parametrize("by", ["store", "bare SQL"])
def test_find(benchmark: BenchmarkFixture, store: CaseStore, what: str, by: str) -> None:
    benchmark.group = f"find: {what}"
    wanted, where, values = WANTED[what]
    path = store.database.place.path
    assert path is not None

    def bare() -> list[Any]:
        connection = sqlite3.connect(path)
        query = f"SELECT {_COLUMNS} FROM cases WHERE {where} ORDER BY changed DESC, key DESC LIMIT {LIMIT}"
        rows = connection.execute(query, values).fetchall()
        connection.close()
        return rows

    found = measured(benchmark, bare if by == "bare SQL" else lambda: find(store, wanted))
    assert [tuple(getattr(row, name) for name in row.__struct_fields__) for row in find(store, wanted)] == bare()
    assert len(found) <= LIMIT


@pytest.mark.parametrize("size", ["few", "many"])
@pytest.mark.benchmark(group="open one case")
def test_open(benchmark: BenchmarkFixture, store: CaseStore, tmp_path: Path, size: str) -> None:
    chosen = store
    if size == "few":
        chosen = open_store(f"sqlite:///{tmp_path / 'few.db'}")
        fill(chosen, FEW)
    kept = measured(benchmark, lambda: chosen.kept("M-000123"))
    assert kept.entries == len(kept.bodies)
