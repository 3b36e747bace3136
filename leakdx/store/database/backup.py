"""A whole store as one SQLite file, whatever it is kept in."""

import os
import sqlite3
from contextlib import closing, suppress
from pathlib import Path

from sqlalchemy import Engine, Table, select
from sqlalchemy.engine import Connection

from leakdx.errors import StorageError
from leakdx.store.database import migrate
from leakdx.store.database.place import StorePlace, store_place
from leakdx.store.database.sqlite import look_at, make_file
from leakdx.store.database.tables import VERSION_TABLE
from leakdx.store.database.transactions import Database
from leakdx.store.database.words import sentence
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
        vacuum_into(database.place, database.place.path, path)
    look_at(store_place(f"sqlite:///{path}"), path)


def vacuum_into(place: StorePlace, source: Path, path: Path) -> None:
    """One SQLite store written whole to a new file, which bears its name only once it is. Raises StorageError."""
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
        version = migrate.version_of(reads)
        place = store_place(f"sqlite:///{path}")

        def fill(engine: Engine) -> None:
            with Database(place, engine, writable=True).unchecked_writing() as writes:
                migrate.upgrade(writes, version)
                copy_rows(reads, writes)

        make_file(place, path, fill)


def copy_rows(reads: Connection, writes: Connection) -> None:
    """All rows of all tables, those that others name first."""
    for table in migrate.tables_of(reads).sorted_tables:
        if table.name != VERSION_TABLE:
            _copy_table(reads, writes, table)


def _copy_table(reads: Connection, writes: Connection, table: Table) -> None:
    found = reads.execution_options(stream_results=True).execute(select(table).order_by(*table.primary_key.columns))
    for part in found.mappings().partitions(_AT_ONCE):
        writes.execute(table.insert(), [dict(row) for row in part])
