"""A disk that is full, and a store that may only be read: what stands can be read, and nothing pretends to be saved."""

import os
import stat
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import create_engine, event

from leakdx.errors import StorageError
from leakdx.store.database import connect, sqlite
from leakdx.store.database.casestore import CaseStore, open_store
from leakdx.store.database.check import check
from leakdx.store.database.place import store_place
from tests.store.database.stores import SIX, a_case, fresh_url, grown, postgres_url


@pytest.fixture
def readonly(url: str, monkeypatch: pytest.MonkeyPatch) -> Iterator[str]:
    """A store with a case that may only be read; whoever runs the tests may write to any file, so it is only said."""
    open_store(url).begin(a_case())
    path = store_place(url).path
    if path is not None:
        for module in (connect, sqlite):
            monkeypatch.setattr(module, "may_write", lambda _: False)
        yield url
        return
    name = store_place(url).url.database
    admin = create_engine(postgres_url("postgres"), isolation_level="AUTOCOMMIT")
    with admin.connect() as connection:
        connection.exec_driver_sql(f"ALTER DATABASE {name} SET default_transaction_read_only = on")
    admin.dispose()
    yield url


@pytest.mark.skipif(sys.platform == "win32", reason="files are limited there in another way")
def test_on_a_disk_without_room_for_anything_it_is_read_and_checked(tmp_path: Path) -> None:
    import resource

    url = fresh_url("sqlite", tmp_path)
    open_store(url).begin(a_case())
    limits = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (0, limits[1]))  # as on a full disk, no file can grow
    try:
        store = open_store(url)
        read, faults = store.case("KD-1", SIX), check(store_place(url)).faults
        home = store.home("KD-1", SIX)
        with pytest.raises(StorageError, match="not saved, the disk"):
            home.save(grown(home.case, "in vain"))
        again = store.case("KD-1", SIX)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, limits)
    assert read == again == a_case()
    assert faults == ()
    home.save(grown(home.case, "there is room again"))
    assert open_store(url).case("KD-1", SIX) == home.case


def test_what_may_only_be_read_is_read_and_not_written_to(readonly: str) -> None:
    store = open_store(readonly)
    assert store.case("KD-1", SIX) == a_case()
    home = store.home("KD-1", SIX)
    with pytest.raises(StorageError, match="not saved, it may only be read here; what it holds can still be shown"):
        home.save(grown(home.case, "in vain"))
    with pytest.raises(StorageError, match="not saved"):
        store.begin(a_case("KD-2"))
    assert home.case == a_case() == open_store(readonly).case("KD-1", SIX)
    assert check(store_place(readonly)).faults == ()


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write to any file")
def test_a_file_in_a_folder_that_nobody_may_write_to(tmp_path: Path) -> None:
    url = fresh_url("sqlite", tmp_path)
    open_store(url).begin(a_case())
    path = store_place(url).path
    assert path is not None
    path.chmod(stat.S_IRUSR)
    path.parent.chmod(stat.S_IRUSR | stat.S_IXUSR)
    try:
        test_what_may_only_be_read_is_read_and_not_written_to(url)
    finally:
        path.parent.chmod(stat.S_IRWXU)


def _fill_up(store: CaseStore) -> None:
    """From now on the file may not grow."""

    def limited(connection: object, _: object) -> None:
        connection.execute("PRAGMA max_page_count = 1")  # type: ignore[attr-defined]

    event.listen(store.database.engine, "connect", limited)


def test_on_a_full_disk_what_was_saved_stays_and_saving_works_again_once_there_is_room(tmp_path: Path) -> None:
    url = fresh_url("sqlite", tmp_path)
    open_store(url).begin(a_case())
    full = open_store(url)
    _fill_up(full)
    home = full.home("KD-1", SIX)
    large = grown(home.case, "x" * 50_000)
    with pytest.raises(StorageError, match="not saved, the disk is full; what was saved before is safe, make room"):
        home.save(large)
    assert home.case == a_case() == full.case("KD-1", SIX)
    with pytest.raises(StorageError, match="the disk is full"):
        full.begin(grown(a_case("KD-2"), "x" * 50_000))
    room = open_store(url)
    assert check(store_place(url)).faults == ()
    again = room.home("KD-1", SIX)
    again.save(large)
    assert room.case("KD-1", SIX) == large
