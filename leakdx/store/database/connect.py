"""A store opened: found, looked at, made or brought up to date."""

from datetime import datetime
from pathlib import Path

from sqlalchemy import Engine, create_engine, inspect
from sqlalchemy.pool import QueuePool

from leakdx.errors import StorageError
from leakdx.folders import data_folder
from leakdx.store.database import migrate
from leakdx.store.database.backup import back_up
from leakdx.store.database.place import StorePlace
from leakdx.store.database.sqlite import engine_of, look_at, make_file, may_write
from leakdx.store.database.tables import VERSION_TABLE
from leakdx.store.database.transactions import Database
from leakdx.store.database.words import LONGEST_WAIT


def open_database(place: StorePlace) -> Database:
    """The store at a place: made where there is none, brought up to date where an older leakdx wrote it.

    Raises StorageError where it is damaged, another program's, a newer leakdx's, or cannot be reached.
    """
    database = _sqlite(place, place.path) if place.path is not None else _postgres(place)
    with database.reading() as connection:
        version = migrate.version_of(connection)
    migrate.refuse_newer(place, version)
    if version < migrate.NEWEST and database.writable:
        _bring_up_to_date(database, version)
    elif version < migrate.NEWEST:
        raise StorageError(
            f"{place.name}: an older leakdx wrote it, it may only be read here, and it has to be brought up to date "
            "first; open it once where it may be written to"
        )
    return database


def as_it_stands(place: StorePlace) -> Database:
    """A store to look at only: not made, not brought up to date, not written to.

    Raises StorageError where there is none, or it is another program's.
    """
    if place.path is None:
        database = _postgres(place)
        database.writable = False
        return database
    if not place.path.exists():
        raise StorageError(f"{place.name}: there is no case store; the first 'leakdx ask' makes one")
    look_at(place, place.path)
    return Database(place, engine_of(place.path, writable=False), writable=False)


def backup_folder(place: StorePlace) -> Path:
    """Where the backups before a migration lie: beside the file, or in the user's data folder."""
    return (place.path.parent if place.path is not None else data_folder()) / "backups"


def _bring_up_to_date(database: Database, version: int) -> None:
    """Migrate in one transaction, after a backup unless the store was just made."""
    if version:
        stamp = datetime.now().strftime("%Y%m%d-%H%M%S-%f")  # two who start at once do not meet
        stem = database.place.path.stem if database.place.path else database.place.url.database
        back_up(database, backup_folder(database.place) / f"{stem}-version-{version}-{stamp}.db")
    with database.writing() as connection:
        if database.place.path is None:
            connection.exec_driver_sql("SELECT pg_advisory_xact_lock(482771)")  # two programs that start at once
        if migrate.version_of(connection) < migrate.NEWEST:
            migrate.upgrade(connection)


def _sqlite(place: StorePlace, path: Path) -> Database:
    if not path.exists():
        make_file(place, path, lambda engine: _fill(place, engine))
    look_at(place, path)
    writable = may_write(path)
    return Database(place, engine_of(path, writable=writable), writable)


def _fill(place: StorePlace, engine: Engine) -> None:
    with Database(place, engine, writable=True).unchecked_writing() as connection:
        migrate.upgrade(connection)


def _postgres(place: StorePlace) -> Database:
    options = f"-c lock_timeout={LONGEST_WAIT:.0f}s -c client_min_messages=warning"
    engine = create_engine(
        place.url,
        poolclass=QueuePool,
        pool_pre_ping=True,
        connect_args={"connect_timeout": int(LONGEST_WAIT), "application_name": "leakdx", "options": options},
    )
    database = Database(place, engine, writable=True)
    with database.reading() as connection:
        database.writable = connection.exec_driver_sql("SHOW transaction_read_only").scalar_one() == "off"
        tables = inspect(connection).get_table_names()
        if tables and VERSION_TABLE not in tables:
            wrong = "holds another program's tables and was not touched"
            raise StorageError(f"{place.name}: {wrong}; make a database of its own with createdb")
    return database
