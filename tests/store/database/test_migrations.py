"""An older store is brought up to date in one step, after a backup; a newer one is left alone."""

import os
from pathlib import Path

import pytest
from sqlalchemy import create_engine

from leakdx.errors import StorageError
from leakdx.store.database import connect, migrate, sqlite
from leakdx.store.database.casestore import open_store
from leakdx.store.database.check import check
from leakdx.store.database.connect import as_it_stands, backup_folder
from leakdx.store.database.place import StorePlace, store_place
from leakdx.store.database.tables import VERSION_TABLE, metadata
from tests.store.database.stores import SIX, a_case, fresh_url, old_store


def version_of(url: str) -> int:
    with as_it_stands(store_place(url)).reading() as connection:
        return migrate.version_of(connection)


def backups_of(place: StorePlace) -> list[Path]:
    stem = place.path.stem if place.path else place.url.database
    return list(backup_folder(place).glob(f"{stem}-version-*.db"))


@pytest.mark.parametrize("version", range(1, migrate.NEWEST))
def test_an_older_store_is_brought_up_to_date_after_a_backup(url: str, version: int) -> None:
    old_store(url, version, [a_case("KD-1"), a_case("KD-2")])
    store = open_store(url)
    assert version_of(url) == migrate.NEWEST
    assert [store.case(id, SIX) for id in ("KD-1", "KD-2")] == [a_case("KD-1"), a_case("KD-2")]
    (backup,) = backups_of(store_place(url))
    assert version_of(f"sqlite:///{backup}") == version
    assert check(store_place(f"sqlite:///{backup}")).cases == 2
    assert check(store_place(url)).faults == ()


def test_a_step_that_fails_leaves_the_store_as_it_was(url: str, monkeypatch: pytest.MonkeyPatch) -> None:
    old_store(url, 1, [a_case()])
    upgrade = migrate.upgrade

    def failing(*given: object) -> None:
        upgrade(*given)  # type: ignore[arg-type]
        raise StorageError("it failed")

    with monkeypatch.context() as broken:
        broken.setattr(migrate, "upgrade", failing)
        with pytest.raises(StorageError, match="it failed"):
            open_store(url)
    assert version_of(url) == 1
    assert open_store(url).case("KD-1", SIX) == a_case()


def test_a_newer_store_is_refused_and_not_touched(url: str) -> None:
    open_store(url).begin(a_case())
    place = store_place(url)
    engine = create_engine(place.url)
    with engine.begin() as connection:
        newer = "PRAGMA user_version = 99" if place.path else f"UPDATE {VERSION_TABLE} SET version_num = '0099'"
        connection.exec_driver_sql(newer)
    engine.dispose()
    before = place.path.read_bytes() if place.path else b""
    for look in (open_store, lambda url: check(store_place(url))):
        with pytest.raises(StorageError, match=r"newer leakdx .*version 99.* was not touched; bring this leakdx up"):
            look(url)
    assert before == (place.path.read_bytes() if place.path else b"")
    assert version_of(url) == 99


def test_an_older_store_that_may_only_be_read_says_what_to_do(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    url = fresh_url("sqlite", tmp_path)
    old_store(url, 1)
    for module in (connect, sqlite):
        monkeypatch.setattr(module, "may_write", lambda _: False)
    with pytest.raises(StorageError, match="an older leakdx wrote it, it may only be read here"):
        open_store(url)


def test_the_steps_make_the_very_tables_that_the_program_knows(url: str) -> None:
    with open_store(url).database.reading() as connection:
        made = migrate.tables_of(connection)
    assert set(made.tables) == {*metadata.tables, VERSION_TABLE}
    for name, table in metadata.tables.items():
        columns = {column.name: (column.nullable, column.primary_key) for column in table.columns}
        assert {column.name: (column.nullable, column.primary_key) for column in made.tables[name].columns} == columns
        assert {index.name for index in made.tables[name].indexes} == {index.name for index in table.indexes}
        keys = {key.target_fullname for key in table.foreign_keys}
        assert {key.target_fullname for key in made.tables[name].foreign_keys} == keys


def test_only_the_owner_may_read_a_new_store(tmp_path: Path) -> None:
    url = fresh_url("sqlite", tmp_path)
    open_store(url)
    path = store_place(url).path
    assert path is not None
    assert os.stat(path).st_mode & 0o077 == 0
    assert os.stat(path.parent).st_mode & 0o077 == 0
