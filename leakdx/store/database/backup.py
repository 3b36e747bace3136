"""A whole store as one SQLite file, whatever it is kept in, and back."""

import os
import sqlite3
from contextlib import closing, suppress
from pathlib import Path

from sqlalchemy import Engine, Table, func, select
from sqlalchemy.engine import Connection

from leakdx.errors import StorageError
from leakdx.store.database import migrate
from leakdx.store.database.connect import Database, open_database, page_faults
from leakdx.store.database.place import StorePlace, store_place
from leakdx.store.database.sqlite import engine_of, look_at, make_file
from leakdx.store.database.tables import VERSION_TABLE, cases
from leakdx.store.database.words import damaged, sentence
from leakdx.store.files import reason

_AT_ONCE = 500
"""Rows copied at once."""


def back_up(database: Database, path: Path) -> None:
    """Write the store as it stands now, whole, to a new file; an existing one is refused. Raises StorageError.

    Others may go on writing. A plain copy of the file would miss what is still in the log beside it.
    """
    path = Path(os.path.abspath(path))
    if os.path.lexists(path):
        raise StorageError(f"{path}: stands already and was not overwritten; give another name")
    if database.place.path is None:
        _copy_to_file(database, path)
    else:
        _vacuum_into(database.place, database.place.path, path)
    look_at(store_place(f"sqlite:///{path}"), path)


def restore(backup: Path, place: StorePlace) -> int:
    """Make a store out of a backup; the number of its cases. Raises StorageError, and then nothing is changed.

    In SQLite the file must not be there yet, in PostgreSQL the store must hold no case.
    """
    source = _sound(backup)
    if place.path is not None:
        if place.path.exists():
            raise StorageError(f"{place.path}: stands already and was not overwritten; move it away first")
        _vacuum_into(place, backup, place.path)
        return _count(open_database(place))
    target = open_database(place)
    if _count(target):
        raise StorageError(f"{place.name}: holds cases and was not overwritten; give an empty database")
    with source.reading() as reads, target.writing() as writes:
        if writes.execute(select(func.count()).select_from(cases)).scalar_one():
            raise StorageError(f"{place.name}: holds cases and was not overwritten; give an empty database")
        _copy_rows(reads, writes)
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


def _vacuum_into(place: StorePlace, source: Path, path: Path) -> None:
    temporary = path.with_name(f".{path.name[:40]}.{os.urandom(6).hex()}.new")
    try:
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        os.close(os.open(temporary, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600))
        with closing(sqlite3.connect(source.as_uri() + "?mode=ro", uri=True, isolation_level=None)) as connection:
            connection.execute("VACUUM INTO ?", (str(temporary),))
        with closing(sqlite3.connect(temporary, isolation_level=None)) as connection:
            connection.execute("PRAGMA journal_mode = WAL")
        with temporary.open("rb+") as file:
            os.fsync(file.fileno())
        os.link(temporary, path)
    except FileExistsError as error:
        raise StorageError(f"{path}: stands already and was not overwritten; give another name") from error
    except OSError as error:
        raise StorageError(f"{path}: not written ({reason(error)})") from error
    except sqlite3.Error as error:
        raise sentence(place, error) from error
    finally:
        for left in (temporary, *temporary.parent.glob(f"{temporary.name}-*")):
            with suppress(OSError):
                left.unlink(missing_ok=True)


def _copy_to_file(database: Database, path: Path) -> None:
    with database.reading() as reads:
        reads.exec_driver_sql("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ")
        version = migrate.version_of(reads)
        place = store_place(f"sqlite:///{path}")

        def fill(engine: Engine) -> None:
            with Database(place, engine, writable=True).unchecked_writing() as writes:
                migrate.upgrade(writes, version)
                _copy_rows(reads, writes)

        make_file(place, path, fill)


def _copy_rows(reads: Connection, writes: Connection) -> None:
    """All rows of all tables, those that others name first."""
    for table in migrate.tables_of(reads).sorted_tables:
        if table.name != VERSION_TABLE:
            _copy_table(reads, writes, table)


def _copy_table(reads: Connection, writes: Connection, table: Table) -> None:
    found = reads.execution_options(stream_results=True).execute(select(table).order_by(*table.primary_key.columns))
    for part in found.mappings().partitions(_AT_ONCE):
        writes.execute(table.insert(), [dict(row) for row in part])


def _count(database: Database) -> int:
    with database.reading() as connection:
        return int(connection.execute(select(func.count()).select_from(cases)).scalar_one())
