"""The transactions of a store: reading one state of it, writing all or nothing."""

import sqlite3
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from datetime import UTC, datetime

from sqlalchemy import Column, Engine, Table, select
from sqlalchemy.engine import Connection
from sqlalchemy.exc import IntegrityError, SQLAlchemyError

from leakdx.errors import StorageError
from leakdx.store.database.place import StorePlace
from leakdx.store.database.sqlite import WRITES
from leakdx.store.database.words import damaged, sentence

CHECKED_WHOLE = 32 << 20
"""Bytes up to which a SQLite file is checked each time before it is first written to; that takes under .1 s."""


class Database:
    """The database of one store: ``reading()`` and ``writing()`` are its transactions."""

    def __init__(self, place: StorePlace, engine: Engine, writable: bool) -> None:
        self.place = place
        self.engine = engine
        self.writable = writable
        self._sound = place.path is None

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """A transaction that reads one state of the store. Raises StorageError."""
        with _in_words(self.place), self.engine.connect() as connection:
            if self.place.path is None:  # several queries see one state; SQLite's do anyway
                connection.execution_options(isolation_level="REPEATABLE READ")
            with connection.begin():
                yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """A transaction that writes all or nothing, durably; waits for others LONGEST_WAIT. Raises StorageError."""
        if not self.writable:
            wrong = "not saved, it may only be read here; what it holds can still be shown"
            raise StorageError(f"{self.place.name}: {wrong}")
        self._refuse_damaged()
        with self.unchecked_writing() as connection:
            yield connection

    @contextmanager
    def unchecked_writing(self) -> Iterator[Connection]:
        """As ``writing``, for a file that is being made."""
        with _in_words(self.place), self.engine.connect() as connection:
            connection.execution_options(**{WRITES: True})
            with connection.begin():
                yield connection

    @contextmanager
    def overwriting(self) -> Iterator[Connection]:
        """As ``writing``, where what is taken out is overwritten in a SQLite file too."""
        with self.writing() as connection:
            if self.place.path is not None:
                connection.exec_driver_sql("PRAGMA secure_delete = ON")
            yield connection

    def _refuse_damaged(self) -> None:
        """A file in which damage is found is not written to. A large one is checked by ``store check`` only."""
        path = self.place.path
        if self._sound or path is None or path.stat().st_size > CHECKED_WHOLE:
            return
        faults = page_faults(self)
        if faults:
            raise damaged(self.place, faults[0])
        self._sound = True


def page_faults(database: Database) -> list[str]:
    """What SQLite's own check finds wrong with the file; nothing for PostgreSQL, which checks its own pages."""
    if database.place.path is None:
        return []
    with database.reading() as connection:
        rows = connection.exec_driver_sql("PRAGMA integrity_check(20)").scalars().all()
    return [str(row) for row in rows if row != "ok"]


def insert_once(connection: Connection, table: Table, key: Column[str], values: Mapping[str, object]) -> None:
    """Insert a row unless one of its key is there already; ``key`` names its content, so that both are the same."""
    if connection.execute(select(key).where(key == values[key.name])).first() is None:
        with suppress(IntegrityError), connection.begin_nested():  # someone else may insert it at the same moment
            connection.execute(table.insert().values(values))


def now() -> str:
    """This moment as the tables keep it."""
    return datetime.now(UTC).isoformat(timespec="seconds")


@contextmanager
def _in_words(place: StorePlace) -> Iterator[None]:
    """What a database raises, as one sentence."""
    try:
        yield
    except (SQLAlchemyError, sqlite3.Error) as error:
        raise sentence(place, error) from error
