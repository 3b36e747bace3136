"""A store made out of a backup."""

import os
from pathlib import Path

from sqlalchemy import func, select

from leakdx.errors import StorageError
from leakdx.store.database import migrate
from leakdx.store.database.backup import copy_rows, vacuum_into
from leakdx.store.database.connect import open_database
from leakdx.store.database.place import StorePlace, store_place
from leakdx.store.database.sqlite import engine_of, look_at
from leakdx.store.database.tables import cases
from leakdx.store.database.transactions import Database, page_faults
from leakdx.store.database.words import damaged


def restore(backup: Path, place: StorePlace) -> int:
    """Make a store out of a backup; the number of its cases. Raises StorageError, and then nothing is changed.

    In SQLite the file must not be there yet, in PostgreSQL the store must hold no case.
    """
    backup = Path(os.path.abspath(backup))
    source = _sound(backup)
    if place.path is not None:
        if place.path.exists():
            raise StorageError(f"{place.path}: stands already and was not overwritten; move it away first")
        vacuum_into(place, backup, place.path)
        return _count(open_database(place))
    target = open_database(place)
    if _count(target):
        raise StorageError(f"{place.name}: holds cases and was not overwritten; give an empty database")
    with source.reading() as reads, target.writing() as writes:
        if writes.execute(select(func.count()).select_from(cases)).scalar_one():
            raise StorageError(f"{place.name}: holds cases and was not overwritten; give an empty database")
        copy_rows(reads, writes)
        writes.exec_driver_sql(
            "SELECT setval(pg_get_serial_sequence('cases', 'key'), (SELECT coalesce(max(key), 1) FROM cases))"
        )
    return _count(target)


def _sound(backup: Path) -> Database:
    """A backup that is a store and whole, of this program's version or an older one."""
    place = store_place(f"sqlite:///{backup}")
    if not backup.exists():
        raise StorageError(f"{backup}: there is no such file; name a backup that 'leakdx store backup' wrote")
    look_at(place, backup)
    database = Database(place, engine_of(backup, writable=False), writable=False)
    faults = page_faults(database)
    if faults:
        raise damaged(place, faults[0])
    with database.reading() as connection:
        version = migrate.version_of(connection)
    migrate.refuse_newer(place, version)
    return database


def _count(database: Database) -> int:
    with database.reading() as connection:
        return int(connection.execute(select(func.count()).select_from(cases)).scalar_one())
