"""Of two windows the second waits for the first, or is told who writes."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from leakdx.errors import StorageError
from leakdx.store.database import connect, sqlite
from leakdx.store.database.casestore import open_store
from tests.store.database import holding
from tests.store.database.processes import PROCESSES
from tests.store.database.stores import SIX, a_case, grown

LATEST = 120.0


@contextmanager
def running(target: Callable[..., None], *args: Any) -> Iterator[Any]:
    """A process, and what it sends; it is ended where it does not end."""
    got, child = PROCESSES.Pipe(duplex=False)
    process = PROCESSES.Process(target=target, args=(*args, child))
    process.start()
    child.close()
    try:
        yield got
        process.join(LATEST)
        assert process.exitcode == 0
    finally:
        process.kill()
        process.join()


def test_a_second_window_waits_for_the_first(url: str, tmp_path: Path) -> None:
    store = open_store(url)
    store.begin(a_case())
    home = store.home("KD-1", SIX)
    with running(holding.hold, url, tmp_path / "never", 0.3) as told:
        assert told.recv() == 0
        home.save(grown(home.case, "waited"))
    assert store.case("KD-1", SIX) == home.case


def test_a_second_window_that_has_waited_long_enough_is_told_who_writes(
    url: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for module in (sqlite, connect):
        monkeypatch.setattr(module, "LONGEST_WAIT", 1.0)
    store = open_store(url)
    store.begin(a_case())
    home = store.home("KD-1", SIX)
    before = home.case
    who = r"process \d+ \(.*\)" if url.startswith("sqlite") else "someone else"
    with running(holding.hold, url, tmp_path / "enough", 60.0) as told:
        assert told.recv() == 0
        with pytest.raises(StorageError, match=f"not saved, {who} has been writing to it for 5 seconds; try again"):
            home.save(grown(before, "in vain"))
        assert store.case("KD-1", SIX) == before
        (tmp_path / "enough").touch()
    home.save(grown(before, "again"))
    assert [entry.note for entry in store.case("KD-1", SIX).log][-1] == "again"
