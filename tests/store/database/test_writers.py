"""Many who write to one store at once: all is there, in each writer's order, and nothing twice."""

import os

import pytest

from leakdx.case import Note
from leakdx.errors import ChangedError
from leakdx.store.database.casestore import open_store
from leakdx.store.database.check import check
from leakdx.store.database.place import store_place
from tests.store.database.processes import PROCESSES
from tests.store.database.stores import SIX, a_case, grown
from tests.store.database.writing import SELDOM, SHARED, write

WRITERS = 8
EACH = int(os.environ.get("LEAKDX_ENTRIES", "16"))
"""Entries of each writer in its own case, every eighth in the common one too; docs/case_store.md has it with 200."""
LONGEST = 600.0


def test_eight_who_write_their_own_case_and_one_in_common(url: str) -> None:
    store = open_store(url)
    store.begin(a_case())
    names = [f"W{n}" for n in range(WRITERS)]
    for name in names:
        store.begin(a_case(f"own-{name}", 0))
    running = [PROCESSES.Process(target=write, args=(url, name, EACH)) for name in names]
    for process in running:
        process.start()
    for process in running:
        process.join(LONGEST)
        process.kill()
    assert [process.exitcode for process in running] == [0] * WRITERS
    common = store.case(SHARED, SIX)
    shared = range(0, EACH, SELDOM)
    assert [entry.number for entry in common.log] == list(range(1, 3 + WRITERS * len(shared) + 1))
    for name in names:
        for case, numbers in ((common, shared), (store.case(f"own-{name}", SIX), range(EACH))):
            notes = [e.note for e in case.log if isinstance(e, Note) and e.who == name]
            assert notes == [f"{name} {number}" for number in numbers]
    assert check(store_place(url)).faults == ()


def test_who_has_not_seen_the_last_entry_writes_nothing(url: str) -> None:
    store = open_store(url)
    store.begin(a_case())
    homes = [store.home("KD-1", SIX) for _ in range(3)]
    homes[0].save(grown(homes[0].case, "first"))
    for late in homes[1:]:
        with pytest.raises(ChangedError, match="are theirs"):
            late.save(grown(late.case, "late"))
    assert store.case("KD-1", SIX) == homes[0].case
